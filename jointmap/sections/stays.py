"""On which boundary each joint stood when: one that was moved keeps what it was."""

from dataclasses import dataclass, replace
from typing import Self

import numpy as np

from jointmap.register.columns import Days, Flags, Ids, JointColumns
from jointmap.register.joining import Was, row_of
from jointmap.sections.grouping import test_groups

_NO_DAY = np.datetime64("NaT", "D")


@dataclass(frozen=True, slots=True)
class Stays:
    """One row per joint as it stands, in their order, then one per earlier stay.

    A stay holds from ``from_on`` until the day before ``until_on``; NaT: without end.
    """

    joints: JointColumns  # each as it stood
    groups: Ids  # its test group then
    row: Ids  # place in the joints as they stand
    from_on: Days
    until_on: Days
    before: Was | None  # the boundaries of earlier stays, in their order

    @classmethod
    def of(
        cls, joints: JointColumns, groups: Ids, reach_metre: float, before: Was | None
    ) -> Self:
        """Return the stays of all joints; ``before`` holds boundaries of before."""
        rows, never = np.arange(len(joints)), np.full(len(joints), _NO_DAY)
        if before is None:
            return cls(joints, groups, rows, never, never, None)
        own = before.take(row_of(joints.joint_id, before.ids) >= 0)
        row = np.concatenate([rows, row_of(joints.joint_id, own.ids)])
        stood = replace(
            joints.take(row),
            boundary_id=np.concatenate([joints.boundary_id, own.values]),
        )
        began = np.where(_is_same_as_before(own.ids), _shifted(own.until_on), _NO_DAY)
        now_from = never.copy()
        now_from[row[len(joints) :]] = own.until_on  # in order: the last of each stays
        return cls(
            stood,
            _of_a_boundary(stood, test_groups(stood, reach_metre)),
            row,
            np.concatenate([now_from, began]),
            np.concatenate([never, own.until_on]),
            own,
        )

    def at(self, joint_id: Ids, on: Days) -> Ids:
        """Return the stay of each joint on its day; -1 of no joint."""
        now = row_of(self.joints.joint_id[: self._count], joint_id)
        if self.before is None:
            return now
        earlier = self.before.rows_at(joint_id, on)
        return np.where((now >= 0) & (earlier >= 0), self._count + earlier, now)

    def holds(self, stay: Ids, on: Days) -> Flags:
        """Return whether each stay holds on its day."""
        if self.before is None:
            return np.ones(len(stay), np.bool_)
        begun, ended = on < self.from_on[stay], on >= self.until_on[stay]
        holds: Flags = ~begun & ~ended
        return holds

    @property
    def _count(self) -> int:
        return len(self.row) - (0 if self.before is None else len(self.before))


def _is_same_as_before(ids: Ids) -> Flags:
    same = np.zeros(len(ids), np.bool_)
    same[1:] = ids[1:] == ids[:-1]
    return same


def _shifted(days: Days) -> Days:
    return np.concatenate([np.full(1, _NO_DAY), days])[: len(days)]


def _of_a_boundary(stood: JointColumns, groups: Ids) -> Ids:
    """Return groups that no two boundaries share, even by stays of one joint."""
    pairs = np.stack([stood.boundary_id, groups])
    return np.unique(pairs, axis=1, return_inverse=True)[1].ravel()
