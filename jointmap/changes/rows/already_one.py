"""A boundary between structures that are one metal already, seen as it is loaded."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from jointmap.errors import Problem
from jointmap.register import Boundary, Record
from jointmap.sections import electrical_groups
from jointmap.storage import Writing


@dataclass(slots=True)
class JoinedOnPurpose:
    """The boundaries that are joined on purpose on a day, by name."""

    today: dt.date
    job: Writing
    _sides: dict[str, tuple[int, int]] | None = None

    @property
    def sides(self) -> dict[str, tuple[int, int]]:
        """The structures of each; read when a boundary is first looked at."""
        if self._sides is None:
            self._sides = {}
            for _, record in self.job.known("boundary").filled("joined_from_on"):
                self.note(record)
        return self._sides

    def note(self, record: Record) -> None:
        """Remember a boundary that is joined, and forget one that is no longer."""
        if not isinstance(record, Boundary):
            return
        self.sides.pop(record.name, None)
        if self._is_joined(record):
            self.sides[record.name] = record.structure_a_id, record.structure_b_id

    def doubts(self, record: Record) -> Iterator[Problem]:
        """Yield a doubt where other boundaries join the two sides already.

        One that is itself joined on purpose keeps nothing apart and says so.
        """
        if not isinstance(record, Boundary) or self._is_joined(record):
            return
        others = {n: s for n, s in self.sides.items() if n != record.name}
        names = _joining(others, record.structure_a_id, record.structure_b_id)
        if names:
            (side,) = self.job.known("structure").record(record.structure_b_id).key()
            facts = {"names": ", ".join(names)}
            yield Problem("row.already_one", facts, column="structure_b", value=side)

    def _is_joined(self, record: Boundary) -> bool:
        start, end = record.joined_from_on, record.joined_until_on
        return (
            start is not None
            and start <= self.today
            and not (end is not None and end < self.today)
        )


def _joining(sides: Mapping[str, tuple[int, int]], a: int, b: int) -> list[str]:
    """Return the names of the joined boundaries of the group, if it holds both."""
    ends = np.array([*sides.values(), (a, b)], np.int64)
    joined = np.ones(len(ends), np.bool_)
    joined[-1] = False
    ids = np.unique(ends)
    groups = electrical_groups(ids, ends[:, 0], ends[:, 1], joined)
    group = dict(zip(ids.tolist(), groups.tolist(), strict=True))
    if group[a] != group[b]:
        return []
    return [name for name, (side, _) in sides.items() if group[side] == group[a]]
