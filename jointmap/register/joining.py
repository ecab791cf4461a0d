"""Joining columns by id, without a loop over rows."""

from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.register.columns import Ids

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


def alike(*columns: npt.NDArray[Any]) -> Ids:
    """Return a number for each row that is the same for rows alike in all columns."""
    found = np.zeros(len(columns[0]), np.int64)
    for column in columns:
        _, code = np.unique(column, return_inverse=True)
        # Numbers and codes stay below the count of rows, so that no two pairs meet.
        _, found = np.unique(found * (len(column) + 1) + code, return_inverse=True)
    return found
