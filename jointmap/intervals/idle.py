"""A limit that runs out while nothing is used: then the test comes before the next use.

While it stays out of use there is no last allowed day, and once it is back the day of
its return was the last one. A limit that runs out in use is a plain one.
"""

from collections.abc import Iterator

import numpy as np

from jointmap.intervals.calendar import add_months
from jointmap.intervals.candidates import REASONS, Candidates, candidates_at
from jointmap.intervals.facts import SubjectColumns
from jointmap.intervals.rules import of_shape, rows_under
from jointmap.intervals.standing import Raised, Standing
from jointmap.register.columns import Days, RuleColumns
from jointmap.register.rule_codes import BACK_IN_USE, OUT_OF_USE, TRIGGERS, RuleShape

_FAR = np.iinfo(np.int64).max
_NO_DAY = np.datetime64("NaT", "D")


def before_next_use(
    subjects: SubjectColumns,
    standing: Standing,
    raised: Raised,
    rules: RuleColumns,
    on: np.datetime64,
) -> Iterator[Candidates]:
    """Yield, rule by rule, the limit of each subject, or the day it came back to use.

    ``raised`` holds the days on which each went out of use and came back, up to ``on``.
    """
    for rule in of_shape(rules, RuleShape.BEFORE_NEXT_USE):
        row = rows_under(subjects, rules, rule)
        row = row[~np.isnat(standing.counts_from_on[row])]
        limit = np.full(len(subjects), _NO_DAY)
        last = standing.counts_from_on[row]
        limit[row] = add_months(last, int(rules.months[rule]))
        since, back = idle_at(raised, limit)
        ran_out = ~np.isnat(since[row]) & (limit[row] < on)
        idle = ran_out & np.isnat(back[row])
        used = np.where(ran_out, "due.before_use", "due.months")
        reason = np.where(idle, "due.before_use_idle", used)
        yield candidates_at(
            row,
            np.where(ran_out, back[row], limit[row]),
            rule_id=rules.rule_id[rule],
            basis=rules.basis[rule],
            from_on=last,
            is_from_start=standing.is_from_start[row],
            reason=[REASONS.index(r) for r in reason.tolist()],
            months=rules.months[rule],
            since_on=np.where(ran_out, since[row], _NO_DAY),
        )


def idle_at(raised: Raised, at: Days) -> tuple[Days, Days]:
    """Return since when each row is out of use on its day, and when it came back.

    NaT, NaT for a row in use on that day; a return on the day of leaving is a return.
    """
    out, back = (
        raised.take(raised.trigger == TRIGGERS.index(word))
        for word in (OUT_OF_USE, BACK_IN_USE)
    )
    left = _last_upto(out, at)
    returned = _last_upto(back, at)
    idle = ~np.isnat(left) & ~(returned >= left)
    after = back.take(back.since_on > at[back.row])
    first = np.full(len(at), _FAR)
    np.minimum.at(first, after.row, after.since_on.astype(np.int64))
    comes = np.where(first == _FAR, _NO_DAY, first.astype("datetime64[D]"))
    return np.where(idle, left, _NO_DAY), np.where(idle, comes, _NO_DAY)


def _last_upto(events: Raised, at: Days) -> Days:
    own = events.take(events.since_on <= at[events.row])
    found = np.full(len(at), np.iinfo(np.int64).min)
    np.maximum.at(found, own.row, own.since_on.astype(np.int64))
    return found.astype("datetime64[D]")
