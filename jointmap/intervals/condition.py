"""Condition and occurrences: what shortens an interval or asks for a re-test."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.intervals.calendar import add_months
from jointmap.intervals.candidates import REASONS, Candidates, candidates_at
from jointmap.intervals.facts import CountingTests, SubjectColumns
from jointmap.intervals.rules import is_owner_base, is_under, of_shape, rows_under
from jointmap.intervals.standing import Raised, Standing, good_pair_from
from jointmap.intervals.triggers import TRIGGERS, WHILE_IT_STANDS
from jointmap.register.codes import RuleShape
from jointmap.register.columns import (
    Codes,
    Days,
    Flags,
    Floats,
    Ids,
    RuleColumns,
    Table,
)

# Keeps 12 months x 1/3 at 4 and not 3: far below any month, far above rounding.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Shortening(Table):
    """One row per subject row whose owner's interval is shortened now."""

    row: Ids
    rule: Ids  # place of the multiplier in the rules
    factor: Floats
    trigger: Codes
    since_on: Days


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


def shortenings(
    subjects: SubjectColumns, raised: Raised, rules: RuleColumns
) -> Shortening:
    """Return, per subject row, the smallest single multiplier of what is raised."""
    parts = [_none_shortened()]
    for rule in of_shape(rules, RuleShape.MULTIPLIER):
        mine = raised.take(raised.trigger == rules.trigger[rule])
        mine = mine.take(is_under(subjects, rules, rule, mine.row))
        count = len(mine)
        factor = np.full(count, rules.factor[rule], np.float64)
        places = np.full(count, rule, np.int64)
        parts.append((mine.row, places, factor, mine.trigger, mine.since_on))
    every = Shortening(*(np.concatenate(column) for column in zip(*parts, strict=True)))
    # The smallest factor; of equal ones the first rule, of one rule the latest day.
    order = np.lexsort(
        (-every.since_on.astype(np.int64), every.rule, every.factor, every.row)
    )
    ordered = every.take(order)
    return ordered.take(np.diff(ordered.row, prepend=-1) != 0)


def _none_shortened() -> tuple[Ids, Ids, Floats, Codes, Days]:
    whole = np.empty(0, np.int64)
    day = np.empty(0, "datetime64[D]")
    return whole, whole, np.empty(0, np.float64), np.empty(0, np.int16), day


def from_condition(
    subjects: SubjectColumns,
    standing: Standing,
    short: Shortening,
    rules: RuleColumns,
) -> Iterator[Candidates]:
    """Yield, per owner's interval, its shortened form where a multiplier is active."""
    floors = [int(rules.months[i]) for i in of_shape(rules, RuleShape.FLOOR)]
    place = np.full(len(subjects), -1, np.int64)
    place[short.row] = np.arange(len(short))
    for rule in of_shape(rules, RuleShape.PLAIN_MONTHS):
        if is_owner_base(rules, rule):
            row = rows_under(subjects, rules, rule)
            row = row[(place[row] >= 0) & ~np.isnat(standing.counts_from_on[row])]
            mine = short.take(place[row])
            base = int(rules.months[rule])
            months = _shortened(base, mine.factor, min(floors, default=0))
            yield _condition(standing, mine, rules, rule, months)


def _shortened(base: int, factor: Floats, floor: int) -> Ids:
    """Return whole months, rounded down; the floor never lengthens the base."""
    whole = np.floor(base * factor + _ROUNDING).astype(np.int64)
    return np.minimum(base, np.maximum(floor, whole))


def _condition(
    standing: Standing, short: Shortening, rules: RuleColumns, base: int, months: Ids
) -> Candidates:
    last = standing.counts_from_on[short.row]
    return candidates_at(
        short.row,
        add_months(last, months),
        rule_id=rules.rule_id[short.rule],
        basis=rules.basis[short.rule],
        from_on=last,
        is_from_start=standing.is_from_start[short.row],
        reason=REASONS.index("due.condition"),
        months=months,
        factor=short.factor,
        base_rule_id=rules.rule_id[base],
        base_months=rules.months[base],
        trigger=short.trigger,
        since_on=short.since_on,
    )


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
