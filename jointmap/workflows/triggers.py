"""Facts that shorten an interval or open a re-test, as columns."""

from collections.abc import Iterator

import numpy as np

from jointmap.acceptance import StudStates
from jointmap.intervals import TriggerColumns, trigger_code
from jointmap.register import Occurrence
from jointmap.register.codes import OccurrenceKind, Subject, code_of
from jointmap.register.columns import Days
from jointmap.storage import Reading
from jointmap.workflows.columns import Ground
from jointmap.workflows.fittings import fittings_in
from jointmap.workflows.occurrences import joints_near

# What it is about, its id, the word of the trigger, and since when.
Fact = tuple[Subject, int, str, np.datetime64]
_FITTING_FAULT = "fitting fault"
# A tool out of date is a doubt about the record, not a fault of the joint.
_FITTING_TRIGGERS = {"lubricant": "wrong lubricant", "tool": ""}


def read_triggers(
    state: Reading, ground: Ground, studs: StudStates, not_proved: Days
) -> TriggerColumns:
    """Return lost stud sides, fitting faults, and occurrences near joints and paths.

    ``not_proved`` is the day of each joint's repair that no test has proved.
    """
    facts = [
        *_lost_sides(studs),
        *_fitting_faults(state, ground),
        *_occurrences(state, ground),
        *_repairs(ground, not_proved),
    ]
    return TriggerColumns(
        np.array([code_of(subject) for subject, _, _, _ in facts], dtype=np.int16),
        np.array([id_ for _, id_, _, _ in facts], dtype=np.int64),
        np.array([trigger_code(word) for _, _, word, _ in facts], dtype=np.int16),
        np.array([day for _, _, _, day in facts], dtype="datetime64[D]"),
    )


def _lost_sides(studs: StudStates) -> Iterator[Fact]:
    lost = (studs.sides_left >= 0) & (studs.sides_left < studs.sides_possible)
    first: dict[int, np.datetime64] = {}
    pairs = zip(studs.joint_id[lost].tolist(), studs.tested_on[lost], strict=True)
    for joint, day in pairs:
        first[joint] = min(day, first.get(joint, day))
    for joint, day in first.items():
        yield Subject.JOINT, joint, "one side of a stud lost", day


def _fitting_faults(state: Reading, ground: Ground) -> Iterator[Fact]:
    fitted_now = set(ground.joints.device_id.tolist())
    for device, record, check in fittings_in(state, fitted_now=False).faults():
        word = _FITTING_TRIGGERS.get(check.name, _FITTING_FAULT)
        if word and record.device_id in fitted_now:
            day = np.datetime64(record.installed_on, "D")
            yield Subject.JOINT, device.joint_id, word, day


def _occurrences(state: Reading, ground: Ground) -> Iterator[Fact]:
    for record in state.records(Occurrence).values():
        happened = np.datetime64(record.happened_on, "D")
        if happened > ground.on or record.kind is OccurrenceKind.REPAIR:
            continue
        joints = joints_near(record, ground)
        for joint in joints:
            yield Subject.JOINT, joint, str(record.kind), happened
        beside = np.isin(ground.paths.joint_id, joints) & (ground.paths.joint_id > 0)
        for path in ground.paths.path_id[beside].tolist():
            yield Subject.PATH, path, str(record.kind), happened


def _repairs(ground: Ground, not_proved: Days) -> Iterator[Fact]:
    for row in np.flatnonzero(~np.isnat(not_proved)).tolist():
        joint = int(ground.joints.joint_id[row])
        yield Subject.JOINT, joint, str(OccurrenceKind.REPAIR), not_proved[row]
