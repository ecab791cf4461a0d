"""Facts that shorten an interval or open a re-test, as columns."""

from collections.abc import Iterator

import numpy as np

from jointmap.acceptance import StudStates
from jointmap.intervals import TRIGGERS, TriggerColumns, stack, trigger_code
from jointmap.register.codes import OccurrenceKind, Subject
from jointmap.register.columns import Codes, Days, Ids
from jointmap.register.rule_codes import SIDE_LOST
from jointmap.snapshot.fittings import FittedNow, reviewed_now
from jointmap.snapshot.occurrences import joints_near
from jointmap.snapshot.site_columns import Ground
from jointmap.snapshot.snapshot import Snapshot

# What it is about, its id, the word of the trigger, and since when.
Fact = tuple[Subject, int, str, np.datetime64]
_FITTING_FAULT = "fitting fault"
# A tool out of date is a doubt about the record, not a fault of the joint.
_FITTING_TRIGGERS = {"lubricant": "wrong lubricant", "tool": ""}


def read_triggers(
    state: Snapshot, ground: Ground, studs: StudStates, not_proved: Days
) -> TriggerColumns:
    """Return lost stud sides, fitting faults, and occurrences near joints and paths.

    ``not_proved`` is the day of each joint's repair that no test has proved.
    """
    return stack(
        [
            _lost_sides(studs),
            *(_fitting_faults(part) for part in reviewed_now(state, ground)),
            _of_facts(list(_occurrences(state, ground))),
            _repairs(ground, not_proved),
        ]
    )


def _lost_sides(studs: StudStates) -> TriggerColumns:
    lost = (studs.sides_left >= 0) & (studs.sides_left < studs.sides_possible)
    joints, days = studs.joint_id[lost], studs.lost_on[lost]
    order = np.lexsort((days, joints))
    joints, first = np.unique(joints[order], return_index=True)
    return _of_joints(joints, trigger_code(SIDE_LOST), days[order][first])


def _fitting_faults(part: FittedNow) -> TriggerColumns:
    rows, codes = [np.empty(0, np.int64)], [np.empty(0, np.int64)]
    for name, failed in part.review.failed():
        code = trigger_code(_FITTING_TRIGGERS.get(name, _FITTING_FAULT))
        if code >= 0:
            rows.append(failed)
            codes.append(np.full(len(failed), code))
    row, code_of_row = np.concatenate(rows), np.concatenate(codes)
    # However many checks a joint fails, each trigger is raised once.
    keys = row * len(TRIGGERS) + code_of_row
    first = np.sort(np.unique(keys, return_index=True)[1])
    row = row[first]
    return _of_joints(part.joint_id[row], code_of_row[first], part.installed_on[row])


def _of_joints(joints: Ids, trigger: Codes | Ids | int, days: Days) -> TriggerColumns:
    rows = len(joints)
    return TriggerColumns(
        np.full(rows, Subject.JOINT.code, np.int16),
        joints,
        np.broadcast_to(np.asarray(trigger, np.int16), rows),
        days.astype("datetime64[D]"),
    )


def _of_facts(facts: list[Fact]) -> TriggerColumns:
    return TriggerColumns(
        np.array([subject.code for subject, _, _, _ in facts], dtype=np.int16),
        np.array([id_ for _, id_, _, _ in facts], dtype=np.int64),
        np.array([trigger_code(word) for _, _, word, _ in facts], dtype=np.int16),
        np.array([day for _, _, _, day in facts], dtype="datetime64[D]"),
    )


def _occurrences(state: Snapshot, ground: Ground) -> Iterator[Fact]:
    for record in state.occurrences.values():
        happened = np.datetime64(record.happened_on, "D")
        if happened > ground.on or record.kind is OccurrenceKind.REPAIR:
            continue
        joints = joints_near(state, record, ground)
        for joint in joints:
            yield Subject.JOINT, joint, str(record.kind), happened
        beside = np.isin(ground.paths.joint_id, joints) & (ground.paths.joint_id > 0)
        for path in ground.paths.path_id[beside].tolist():
            yield Subject.PATH, path, str(record.kind), happened


def _repairs(ground: Ground, not_proved: Days) -> TriggerColumns:
    open_ = ~np.isnat(not_proved)
    code = trigger_code(str(OccurrenceKind.REPAIR))
    return _of_joints(ground.joints.joint_id[open_], code, not_proved[open_])
