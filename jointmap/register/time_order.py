"""Which of several tests came later: by day, stage, instant, and the worse one last."""

import numpy as np

from jointmap.register.codes import Verdict
from jointmap.register.columns import Codes, Days, Flags, Ids, TestColumns
from jointmap.register.judged import Judgements

# Minutes of a day at a site, with a day to each side for its distance from UTC.
_MINUTES = 1 << 13
_STAGES, _RANKS = 1 << 4, 1 << 2
_FIRST, _LAST = 0, _MINUTES - 1


def time_key(tests: TestColumns, said: Judgements, rows: Ids) -> Ids:
    """Return a number for each of the ``rows`` that rises with time; ids break ties.

    Of one day, as found comes before as left; then the instant decides. Where an
    instant is not known, or two are the same, nobody can say which came later: then
    the one that shows the worse is last, and stands until the record tells more.
    """
    rank = _badness(said.shows[rows])
    minute = tests.minute[rows].astype(np.int64) + 1
    unknown = np.where(rank > 0, _LAST, _FIRST)
    key = tests.tested_on[rows].astype("datetime64[D]").astype(np.int64)
    key = key * _STAGES + tests.stage[rows]
    key = key * _MINUTES + np.where(minute > 0, minute, unknown)
    found: Ids = key * _RANKS + rank
    return found


def first_since(group: Ids, good: Flags, bad: Flags, on: Days, groups: int) -> Days:
    """Return for each group the first day that was bad after its last good one.

    The rows come in order of time; NaT where nothing was bad since.
    """
    place = np.arange(len(group))
    good_at = np.full(groups, -1, np.int64)
    good_at[group[good]] = place[good]
    since = np.flatnonzero(bad & (place > good_at[group]))[::-1]
    found = np.full(groups, np.datetime64("NaT", "D"))
    # Written from the last to the first, so that the first stays.
    found[group[since]] = on[since]
    return found


def _badness(shown: Codes) -> Codes:
    return np.select(
        [shown == Verdict.SHORTED, shown == Verdict.DOUBTFUL],
        [np.int16(2), np.int16(1)],
        np.int16(0),
    )
