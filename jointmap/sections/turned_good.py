"""Where a place that was bad reads good again, and whether anything says why."""

from typing import NamedTuple

import numpy as np

from jointmap.register.codes import Scope, Verdict
from jointmap.register.columns import Days, Flags, Ids, TestColumns
from jointmap.register.joining import NO_ROW, alike
from jointmap.register.judged import Judgements
from jointmap.register.time_order import time_key

# What is read again and again of one place by one method.
_PLACE = ("scope", "joint_id", "boundary_id", "stud", "side", "method")
_OF_A_PLACE = [
    s.code for s in (Scope.JOINT, Scope.STUD, Scope.GASKET_CORE, Scope.BOUNDARY)
]


class Turned(NamedTuple):
    """Places whose last bad reading was followed by good ones: rows of the tests."""

    bad: Ids
    good: Ids  # the first good one after it
    last: Ids  # the last one of all


class Happened(NamedTuple):
    """What was done or found, by the id of its place and its day."""

    id: Ids
    day: Days


def turned_good(tests: TestColumns, said: Judgements) -> Turned:
    """Return the places that are good now by a method, and were bad by it before."""
    shows = said.shows
    decides = (shows == Verdict.ISOLATING) | (shows == Verdict.SHORTED)
    rows = np.flatnonzero(decides & np.isin(tests.scope, _OF_A_PLACE))
    place = alike(*(getattr(tests, name)[rows] for name in _PLACE))
    order = np.lexsort((tests.test_id[rows], time_key(tests, said, rows), place))
    rows, place = rows[order], place[order]
    count = int(place.max(initial=-1)) + 1
    at, is_bad = np.arange(len(rows)), shows[rows] == Verdict.SHORTED
    bad, last = np.full(count, NO_ROW), np.full(count, NO_ROW)
    bad[place[is_bad]] = at[is_bad]
    last[place] = at
    turned = (bad >= 0) & (last > bad)
    return Turned(rows[bad[turned]], rows[bad[turned] + 1], rows[last[turned]])


def is_explained(happened: Happened, ids: Ids, from_on: Days, until_on: Days) -> Flags:
    """Return whether anything happened at each place between two days, both in."""
    known = np.sort(_key(happened.id, happened.day))
    first = np.searchsorted(known, _key(ids, from_on))
    found: Flags = np.searchsorted(known, _key(ids, until_on), "right") > first
    return found


def _key(ids: Ids, day: Days) -> Ids:
    """Return a number that rises by id, then by day (years 0 to 9999)."""
    days = day.astype("datetime64[D]").astype(np.int64) + 1_000_000
    return ids.astype(np.int64) * 10_000_000 + days
