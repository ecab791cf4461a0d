"""The limits that ran for each subject of a site, without its days off duty."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Self

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.assessment.limits.deferrals import Named
from jointmap.intervals import (
    Away,
    HeldLimits,
    OffDuty,
    SubjectColumns,
    held_limits,
    no_limits,
    stack,
)
from jointmap.intervals.facts import rows_of
from jointmap.register import Joint
from jointmap.register.codes import JointState, Subject
from jointmap.register.columns import Days, Ids
from jointmap.register.joining import Was, row_of
from jointmap.snapshot.gather import pick
from jointmap.snapshot.site_columns import NO_DAY, Ground

_ONE_DAY = np.timedelta64(1, "D")
_BEFORE_ALL = np.datetime64("0001-01-01")


def limits_ever(found: Assessment) -> Iterator[HeldLimits]:
    """Yield, rule by rule, every limit that ran up to the day, as it stood then.

    ``row`` is a place in the subjects of ``found``. What was retired or taken off keeps
    its history up to that day.
    """
    ground = found.ground
    off = _off_duty(ground, found.subjects)
    subjects = _ever_active(ground, found.subjects, off.ends_on)
    away = _away(ground, found.subjects)
    return held_limits(
        subjects, found.counting, ground.rules_ever, ground.on, off, away
    )


@dataclass(frozen=True, slots=True)
class LimitsEver:
    """Every limit that ran, subject after subject, each from the first to the last."""

    held: HeldLimits
    rows: Mapping[Named, int]  # the place of each subject

    @classmethod
    def of_all(cls, found: Assessment) -> Self:
        """Return those of all subjects."""
        held = stack([no_limits(), *limits_ever(found)])
        held = held.take(np.lexsort((held.rule_id, held.from_on, held.row)))
        codes, ids = found.subjects.subject.tolist(), found.subjects.subject_id.tolist()
        places = zip(codes, ids, range(len(ids)), strict=True)
        return cls(held, {(code, id_): row for code, id_, row in places})

    def of(self, subject: Subject, id_: int) -> HeldLimits:
        """Return those of one subject."""
        row = self.rows[subject.code, id_]
        first, last = np.searchsorted(self.held.row, [row, row + 1]).tolist()
        return self.held.take(slice(first, last))


def _off_duty(ground: Ground, subjects: SubjectColumns) -> OffDuty:
    joints, facts, bounds = ground.joints, ground.joint_facts, ground.boundaries
    joint = _rows(subjects, Subject.JOINT, joints.joint_id)
    # A joint that came back to duty has none of its days told as its last.
    is_back = joints.state == JointState.IN_DUTY
    ended = np.where(
        np.isnat(facts.out_of_duty_on), _last_day(ground), facts.out_of_duty_on
    )
    ended = np.where(is_back, NO_DAY, ended)
    path = _rows(subjects, Subject.PATH, ground.paths.path_id)
    boundary = row_of(bounds.boundary_id, pick(joints.boundary_id, joint, 0))
    return OffDuty(
        np.fmin(
            pick(ended, joint, NO_DAY),
            pick(ground.paths.removed_on, path, NO_DAY),
        ),
        pick(bounds.joined_from_on, boundary, NO_DAY),
        pick(bounds.joined_until_on, boundary, NO_DAY),
    )


def _last_day(ground: Ground) -> Days:
    """Return the last day on which each joint is known to have been in duty before."""
    days = np.full(len(ground.joints), NO_DAY)
    was = ground.past.of(Joint, "state")
    if was is not None:
        own = was.take(was.values == JointState.IN_DUTY)
        row = row_of(ground.joints.joint_id, own.ids)
        days[row[row >= 0]] = own.until_on[row >= 0] - _ONE_DAY
    return days


def _away(ground: Ground, subjects: SubjectColumns) -> Away | None:
    """Return the times that joints were out of duty before they came back."""
    was = ground.past.of(Joint, "state")
    if was is None:
        return None
    before = _shifted(was)
    own = was.values != JointState.IN_DUTY
    ids, until_on = was.ids[own], was.until_on[own]
    now = pick(
        ground.joint_facts.out_of_duty_on, row_of(ground.joints.joint_id, ids), NO_DAY
    )
    ended = ground.past.at(Joint, "out_of_duty_on", ids, until_on - _ONE_DAY, now)
    # The day on which duty ended was the last one in duty.
    from_on = np.fmax(before[own], ended + _ONE_DAY)
    from_on = np.where(np.isnat(from_on), _BEFORE_ALL, from_on)
    subject = np.full(len(ids), Subject.JOINT.code, np.int16)
    row = rows_of(subjects, subject, ids)
    return Away(row, from_on, until_on).take(row >= 0)


def _shifted(was: Was) -> Days:
    """Return the day from which each value held; NaT of the first of each joint."""
    days = np.full(len(was), NO_DAY)
    again = was.ids[1:] == was.ids[:-1]
    days[1:][again] = was.until_on[:-1][again]
    return days


def _ever_active(
    ground: Ground, subjects: SubjectColumns, ends_on: Days
) -> SubjectColumns:
    """Return the subjects as active while they were in duty, from the first day on."""
    joints = ground.joints
    joint = _rows(subjects, Subject.JOINT, joints.joint_id)
    # In duty from a day of its own, else from the first device, not from the present.
    first = np.where(np.isnat(joints.in_duty_on), joints.there_since, joints.in_duty_on)
    in_duty = pick(joints.state, joint, -1) == JointState.IN_DUTY
    return replace(
        subjects,
        starts_on=np.where(joint >= 0, pick(first, joint, NO_DAY), subjects.starts_on),
        is_active=subjects.is_active | in_duty | ~np.isnat(ends_on),
    )


def _rows(subjects: SubjectColumns, kind: Subject, ids: Ids) -> Ids:
    """Return the row in ``ids`` of each subject of a kind; -1 of others."""
    return row_of(ids, np.where(subjects.subject == kind.code, subjects.subject_id, 0))
