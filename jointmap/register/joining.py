"""Joining columns by id, without a loop over rows."""

from dataclasses import dataclass
from typing import Any, Self

import numpy as np
import numpy.typing as npt

from jointmap.register.columns import Days, Ids, Table

Array = npt.NDArray[Any]
NO_ROW = -1


def row_of(ids: Ids, asked: Ids) -> Ids:
    """Return the row of each asked id in ``ids``; -1 where there is none.

    Ids are given one after the other, so a list with a place for each is small.
    """
    top = int(ids.max(initial=0))
    place = np.full(top + 1, NO_ROW, np.int64)
    place[ids] = np.arange(len(ids))
    place[0] = NO_ROW  # 0 stands for none
    found: Ids = place[np.where((asked > 0) & (asked <= top), asked, 0)]
    return found


def day_keys(ids: Ids, days: Days) -> Ids:
    """Return id and day of each in one number; of no day a number before all days."""
    # A day number needs 22 bits for the next 5,000 years; ids take the rest.
    numbers: Ids = days.astype("datetime64[D]").astype(np.int64) + 2**21
    return ids.astype(np.int64) * 2**23 + np.clip(numbers, 0, 2**22)


@dataclass(frozen=True, slots=True)
class Was(Table):
    """What a column was, by id and the first day of what came after, in order."""

    ids: Ids
    until_on: Days
    keys: Ids  # of both
    values: Array

    @classmethod
    def of(cls, ids: Ids, until_on: Days, values: Array) -> Self:
        """Return what finds values of these ids that held until these days."""
        keys = day_keys(ids, until_on)
        order = np.argsort(keys, kind="stable")
        return cls(ids[order], until_on[order], keys[order], values[order])

    def rows_at(self, asked: Ids, asked_on: Days) -> Ids:
        """Return for each asked (id, day) the row that held then; -1: what is now."""
        if not len(self.keys):
            return np.full(len(asked), NO_ROW, dtype=np.int64)
        # The day from which something else holds is none of its own any more.
        found = np.searchsorted(self.keys, day_keys(asked, asked_on), side="right")
        rows = np.minimum(found, len(self.keys) - 1)
        holds = (found < len(self.keys)) & (self.ids[rows] == asked)
        return np.where(holds, rows, NO_ROW)

    def at(self, asked: Ids, asked_on: Days, now: Array) -> Array:
        """Return for each asked (id, day) what held then; ``now`` where that did.

        >>> until = np.array(["2026-05-01"], "M8[D]")
        >>> was = Was.of(np.array([7]), until, np.array([3]))
        >>> days = np.array(["2026-04-30", "2026-05-01"], "M8[D]")
        >>> was.at(np.array([7, 7]), days, np.array([4, 4])).tolist()
        [3, 4]
        """
        if not len(self.keys):
            return now
        rows = self.rows_at(asked, asked_on)
        return np.where(rows >= 0, self.values[rows], now).astype(now.dtype)


def alike(*columns: npt.NDArray[Any]) -> Ids:
    """Return a number for each row that is the same for rows alike in all columns."""
    found = np.zeros(len(columns[0]), np.int64)
    for column in columns:
        _, code = np.unique(column, return_inverse=True)
        # Numbers and codes stay below the count of rows, so that no two pairs meet.
        _, found = np.unique(found * (len(column) + 1) + code, return_inverse=True)
    return found
