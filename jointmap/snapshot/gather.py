"""Values by row, and rows by id and day, without a loop over rows."""

from dataclasses import dataclass
from typing import Any, Self

import numpy as np
import numpy.typing as npt

from jointmap.register.columns import Days, Flags, Ids
from jointmap.register.joining import day_keys

Array = npt.NDArray[Any]


def pick(values: Array, rows: Ids, missing: object) -> Array:
    """Return ``values[rows]``, and ``missing`` where a row is -1."""
    if not len(values):
        return np.full(len(rows), missing, dtype=values.dtype)
    return np.where(rows >= 0, values[rows], np.array(missing, dtype=values.dtype))


@dataclass(frozen=True, slots=True)
class Latest:
    """Rows by id and day, put in order once and asked many times."""

    ids: Ids
    keys: Ids  # in rising order
    order: Ids

    @classmethod
    def of(cls, ids: Ids, days: Days) -> Self:
        """Return what finds rows of these ids and days; none: from the beginning."""
        keys = day_keys(ids, days)
        order = np.argsort(keys, kind="stable")
        return cls(ids, keys[order], order)

    def at(self, asked: Ids, asked_on: Days) -> Ids:
        """Return for each asked (id, day) the row with that id and the last day to it.

        -1 where there is none. ``asked_on`` may be one day for all.
        """
        if not len(self.keys):
            return np.full(len(asked), -1, dtype=np.int64)
        found = np.searchsorted(self.keys, day_keys(asked, asked_on), side="right") - 1
        rows = self.order[np.maximum(found, 0)]
        return np.where((found >= 0) & (self.ids[rows] == asked), rows, -1)


def is_within(ids: Ids, first: Days, last: Days, asked: Ids, asked_on: Days) -> Flags:
    """Return for each asked (id, day) whether a span of that id holds the day."""
    sound = first <= last
    begun, ended = (np.sort(day_keys(ids[sound], d[sound])) for d in (first, last))
    now = day_keys(asked, asked_on)
    # Of ids before its own every span counts on either side, of those after it none.
    started = np.searchsorted(begun, now, side="right")
    return np.asarray(started > np.searchsorted(ended, now, side="left"))
