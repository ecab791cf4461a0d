"""Lives and events for the tests of failure models, written short."""

import datetime as dt

import numpy as np

from jointmap.hazard.ages import Change, LifeEvents
from jointmap.hazard.dates import LifeColumns
from jointmap.tables import METHOD_CODES

ON = dt.date(2026, 5, 15)
DAY = np.datetime64(ON, "D")
SHIFT = METHOD_CODES["potential-shift"]
GOOD, SHORTED = 0, 2


def days(*texts):
    return np.array(texts, "datetime64[D]")


def events(*rows):
    """Rows of (joint, day, verdict), or (joint, day, a change and its cause)."""
    found = []
    for row, day, what in rows:
        test = isinstance(what, int)
        change, device, place = (Change.NONE, False, False) if test else what
        found.append(
            (row, day, 0 if test else 1, change, SHIFT if test else -1,
             what if test else -1, device, place)
        )  # fmt: skip
    columns = [list(c) for c in zip(*found, strict=True)] or [[]] * 8
    kinds = ("i8", "datetime64[D]", "i2", "i2", "i2", "i2", "?", "?")
    return LifeEvents(*(np.array(c, k) for c, k in zip(columns, kinds, strict=True)))


NEW_DEVICE = (Change.DEVICE, True, False)
WAY_AROUND = (Change.PLACE, False, True)


def lives(*starts, consequence=1):
    code = np.zeros(len(starts), np.int16)
    return LifeColumns(
        days(*starts), code, code, code + consequence, code, np.zeros((len(code), 5))
    )
