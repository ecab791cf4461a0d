"""Values by row, and rows by id and day, without a loop over rows."""

from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.register.columns import Days, Ids

Array = npt.NDArray[Any]


def pick(values: Array, rows: Ids, missing: object) -> Array:
    """Return ``values[rows]``, and ``missing`` where a row is -1."""
    if not len(values):
        return np.full(len(rows), missing, dtype=values.dtype)
    return np.where(rows >= 0, values[rows], np.array(missing, dtype=values.dtype))


def latest_at(ids: Ids, days: Days, asked: Ids, asked_on: Days) -> Ids:
    """Return for each asked (id, day) the row with that id and the last day up to it.

    -1 where there is none. ``asked_on`` may be one day for all. A row without a day
    is from the beginning.
    """
    keys = _keys(ids, days)
    order = np.argsort(keys, kind="stable")
    keys = keys[order]
    if not len(keys):
        return np.full(len(asked), -1, dtype=np.int64)
    found = np.searchsorted(keys, _keys(asked, asked_on), side="right") - 1
    rows = order[np.maximum(found, 0)]
    return np.where((found >= 0) & (ids[rows] == asked), rows, -1)


def _keys(ids: Ids, days: Days) -> Ids:
    # A day number needs 22 bits for the next 5,000 years; ids take the rest.
    numbers: Ids = days.astype("datetime64[D]").astype(np.int64) + 2**21
    return ids * 2**23 + np.clip(numbers, 0, 2**22)
