"""Condition and occurrences: what shortens an interval or asks for a re-test."""

from collections.abc import Iterator

import numpy as np

from jointmap.intervals.calendar import add_months
from jointmap.intervals.candidates import REASONS, Candidates, candidates_at
from jointmap.intervals.facts import CountingTests, SubjectColumns
from jointmap.intervals.rules import is_owner_base, is_under, of_shape
from jointmap.intervals.standing import Raised, Standing, good_pair_from
from jointmap.intervals.triggers import WHILE_IT_STANDS
from jointmap.register.columns import Flags, RuleColumns
from jointmap.register.rule_codes import TRIGGERS, RuleShape

# Keeps 12 months x 1/3 at 4 and not 3: far below any month, far above rounding.
_ROUNDING = 1e-9


def not_restored(
    raised: Raised, tests: CountingTests, rows: int, rules: RuleColumns
) -> Flags:
    """Return which raised triggers no good pair of tests after their day has ended.

    Several restore rules: the longest wait applies; none: nothing is ever restored.
    """
    waits = [int(rules.months[i]) for i in of_shape(rules, RuleShape.RESTORE)]
    if not waits:
        return np.ones(len(raised), np.bool_)
    pair_from = good_pair_from(tests, rows, max(waits))
    stays = np.isin(raised.trigger, [TRIGGERS.index(w) for w in WHILE_IT_STANDS])
    flags: Flags = stays | ~(pair_from[raised.row] > raised.since_on)
    return flags


def from_condition(
    subjects: SubjectColumns, standing: Standing, active: Raised, rules: RuleColumns
) -> Iterator[Candidates]:
    """Yield the owner's intervals as each active multiplier shortens them.

    Multipliers do not multiply each other: each gives a candidate of its own, and the
    earliest governs. Law and standard are not shortened; their dates stand beside.
    """
    dated = ~np.isnat(standing.counts_from_on[active.row])
    active = active.take(dated)
    for rule in of_shape(rules, RuleShape.MULTIPLIER):
        mine = active.take(active.trigger == rules.trigger[rule])
        mine = mine.take(is_under(subjects, rules, rule, mine.row))
        for base in of_shape(rules, RuleShape.PLAIN_MONTHS):
            if is_owner_base(rules, base):
                short = mine.take(is_under(subjects, rules, base, mine.row))
                yield _shortened(standing, short, rules, rule, base)


def _shortened(
    standing: Standing, short: Raised, rules: RuleColumns, rule: int, base: int
) -> Candidates:
    """Shorten one owner's interval; never to a day before the trigger could be met.

    What is found today must not make a joint late since last year: the shortened limit
    ends no earlier than the floor (one month, say) after the trigger was raised.
    """
    floors = [int(rules.months[i]) for i in of_shape(rules, RuleShape.FLOOR)]
    floor = min(floors, default=0)
    months = shortened_months(int(rules.months[base]), float(rules.factor[rule]), floor)
    last = standing.counts_from_on[short.row]
    ends_on = add_months(last, months)
    least_on = add_months(short.since_on, floor)
    reasons = [REASONS.index(r) for r in ("due.condition_late", "due.condition")]
    return candidates_at(
        short.row,
        np.fmax(ends_on, least_on),
        rule_id=rules.rule_id[rule],
        basis=rules.basis[rule],
        from_on=last,
        is_from_start=standing.is_from_start[short.row],
        reason=np.where(least_on > ends_on, *reasons),
        months=months,
        factor=rules.factor[rule],
        base_rule_id=rules.rule_id[base],
        base_months=rules.months[base],
        trigger=short.trigger,
        since_on=short.since_on,
    )


def shortened_months(base: int, factor: float, floor: int) -> int:
    """Return whole months, rounded down; the floor never lengthens the base."""
    return min(base, max(floor, int(base * factor + _ROUNDING)))


def from_occurrences(
    subjects: SubjectColumns, standing: Standing, raised: Raised, rules: RuleColumns
) -> Iterator[Candidates]:
    """Yield a re-test for each occurrence that no later test has answered.

    A test of the same day does not answer it: which came first is not on record.
    """
    last_on = standing.last_on[raised.row]
    still_open = ~np.isnat(raised.since_on) & ~(last_on > raised.since_on)
    opened = raised.take(still_open)
    for rule in of_shape(rules, RuleShape.AFTER_OCCURRENCE):
        mine = opened.take(opened.trigger == rules.trigger[rule])
        mine = mine.take(is_under(subjects, rules, rule, mine.row))
        days = int(rules.days[rule])
        yield candidates_at(
            mine.row,
            mine.since_on + np.timedelta64(days, "D"),
            rule_id=rules.rule_id[rule],
            basis=rules.basis[rule],
            from_on=mine.since_on,
            reason=REASONS.index("due.occurrence"),
            days=days,
            trigger=mine.trigger,
            since_on=mine.since_on,
        )
