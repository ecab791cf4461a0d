"""Every limit that ran, as it stood then: kept, or broken and by how many days.

Each time between two tests that count is held against each rule that was in force in
it, by that rule's own numbers, whatever is in force today.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from jointmap.intervals.calendar import year_of
from jointmap.intervals.candidates import FROM_RULE, REASONS
from jointmap.intervals.counted_limits import Limits, rules_with_limits
from jointmap.intervals.facts import CountingTests, SubjectColumns, day_key
from jointmap.intervals.rules import (
    begun_on,
    holds_from,
    in_order,
    refuse_unsound,
)
from jointmap.intervals.tenth import sampled_from
from jointmap.register.columns import Codes, Days, Flags, Ids, RuleColumns, Table

_ONE_DAY = np.timedelta64(1, "D")
_SIDES: tuple[Literal["left", "right"], ...] = ("left", "right")


@dataclass(frozen=True, slots=True)
class OffDuty(Table):
    """When each subject was not to be tested; one row per subject, NaT: never."""

    ends_on: Days  # last day in duty, or in place
    joined_from_on: Days  # joined on purpose, by permission
    joined_until_on: Days


@dataclass(frozen=True, slots=True)
class Away(Table):
    """One row per time out of duty that ended; any number of rows per subject."""

    row: Ids  # place in SubjectColumns
    from_on: Days  # the first day out of duty
    until_on: Days  # the first day back


@dataclass(frozen=True, slots=True)
class Periods(Table):
    """One row per subject row and time between two days of tests that count."""

    row: Ids  # place in SubjectColumns, rising
    from_on: Days  # a test, or the start where no test came before
    next_on: Days  # NaT: none up to the day asked about
    is_start: Flags  # begins where no test came before


@dataclass(frozen=True, slots=True)
class HeldLimits(Table):
    """One row per time between two tests and rule that was in force in it."""

    row: Ids  # place in SubjectColumns
    rule_id: Ids
    reason: Codes  # place in REASONS: which of the rule's limits came first
    from_on: Days
    limit_on: Days
    next_on: Days  # NaT: not yet
    until_on: Days  # last day looked at: next test, end of rule or life, day asked
    days_over: Ids  # zero or less: kept so far, with so many days to spare
    first_year: Codes  # calendar years in between, without a test; 0: none
    last_year: Codes
    gap_kept: Flags  # broken at the year's end only: the months were kept

    @property
    def is_broken(self) -> Flags:
        """Whether a day came after the last allowed one, without a test."""
        broken: Flags = self.days_over > 0
        return broken

    @property
    def is_met(self) -> Flags:
        """Whether a test came in time."""
        met: Flags = ~self.is_broken & ~np.isnat(self.next_on)
        return met


def never_off_duty(rows: int) -> OffDuty:
    """Return that each of ``rows`` subjects was to be tested all along."""
    never = np.full(rows, np.datetime64("NaT", "D"))
    return OffDuty(never, never, never)


def held_limits(
    subjects: SubjectColumns,
    tests: CountingTests,
    rules: RuleColumns,
    on: np.datetime64,
    off: OffDuty | None = None,
    away: Away | None = None,
) -> Iterator[HeldLimits]:
    """Yield, rule by rule, how each subject's times between tests kept its limit.

    Parameters
    ----------
    tests
        From ``counting_tests`` of the same subjects and day.
    rules
        All that were in force at any time up to ``on``.
    off, away
        Days that were none of duty are not counted as late.

    Raises
    ------
    Refused
        A rule lacks a number, or would lengthen an interval.
    """
    refuse_unsound(rules)
    rules = in_order(rules)
    periods = periods_of(subjects, tests)
    off = off or never_off_duty(len(subjects))
    for place, limits, row in rules_with_limits(subjects, rules):
        own = _counted(periods.take(np.isin(periods.row, row)), rules, place)
        rule = rules.take(slice(place, place + 1))
        # Where tenths took its place, the yearly rule ended the day before.
        tenths_on = sampled_from(subjects, rules, place)[own.row] - _ONE_DAY
        ends_on = np.fmin(rule.until_on, tenths_on)
        held = _held(own, limits(rules, place, own.from_on), rule, ends_on, off, on)
        if away is not None and len(away):
            held = _without(held, away, off)
        yield held.take(_was_in_force(held, rule, ends_on, on))


def periods_of(subjects: SubjectColumns, tests: CountingTests) -> Periods:
    """Return the times between tests, from the start where it came before them."""
    begins = np.flatnonzero(np.diff(tests.row, prepend=-1))
    tested_from = np.full(len(subjects), np.datetime64("NaT", "D"))
    tested_from[tests.row[begins]] = tests.tested_on[begins]
    start = np.flatnonzero(
        ~np.isnat(subjects.starts_on) & ~(subjects.starts_on >= tested_from)
    )
    row = np.concatenate([start, tests.row])
    from_on = np.concatenate([subjects.starts_on[start], tests.tested_on])
    _, first = np.unique(day_key(row, from_on), return_index=True)
    row, from_on, is_start = row[first], from_on[first], first < len(start)
    next_on = np.full(len(row), np.datetime64("NaT", "D"))
    next_on[:-1] = np.where(row[:-1] == row[1:], from_on[1:], next_on[:-1])
    return Periods(row, from_on, next_on, is_start)


def _counted(periods: Periods, rules: RuleColumns, rule: int) -> Periods:
    """Return the periods as a rule counts them: the first from the law's own day.

    What was over before the law was made is none.
    """
    first_on = begun_on(rules, rule, periods.from_on)
    from_on = np.where(periods.is_start, first_on, periods.from_on)
    begun = replace(periods, from_on=from_on)
    return begun.take(~(begun.next_on <= begun.from_on))


def _held(
    periods: Periods,
    limits: Limits,
    rule: RuleColumns,
    ends_on: Days,
    off: OffDuty,
    on: np.datetime64,
) -> HeldLimits:
    """Hold each period against the earliest of a rule's limits, while that held."""
    row, from_on, next_on = periods.row, periods.from_on, periods.next_on
    limit_on, reason = _earliest(limits, rule)
    until_on = np.fmin(np.fmin(_seen_on(next_on, on), ends_on), off.ends_on[row])
    days_over = _days_over(limit_on, until_on, off.take(row))
    first_year, last_year = year_of(from_on) + 1, year_of(until_on) - 1
    some = first_year <= last_year
    return HeldLimits(
        row,
        np.full(len(row), rule.rule_id[0]),
        reason,
        from_on,
        limit_on,
        next_on,
        until_on,
        days_over,
        np.where(some, first_year, 0).astype(np.int16),
        np.where(some, last_year, 0).astype(np.int16),
        (days_over > 0) & (until_on <= limits[0][1]),
    )


def _seen_on(next_on: Days, on: np.datetime64) -> Days:
    return np.where(np.isnat(next_on), on, next_on)


def _earliest(limits: Limits, rule: RuleColumns) -> tuple[Days, Codes]:
    """Return the earliest of a rule's limits, and which of them that is."""
    every = np.stack([limit for _, limit in limits])
    reasons = np.array([REASONS.index(reason) for reason, _ in limits], np.int16)
    limit_on, floor = np.min(every, axis=0), holds_from(rule)[0]
    reason = np.where(
        limit_on < floor, REASONS.index(FROM_RULE), reasons[np.argmin(every, axis=0)]
    )
    return np.fmax(limit_on, floor), reason.astype(np.int16)


def _days_over(limit_on: Days, until_on: Days, off: OffDuty) -> Ids:
    """Return by how many days each limit was broken, in duty; to spare if negative."""
    over = (until_on - limit_on).astype(np.int64)
    first = np.fmax(limit_on + _ONE_DAY, off.joined_from_on)
    last = np.fmin(until_on, off.joined_until_on)
    joined = (last - first).astype(np.int64) + 1
    is_joined = ~np.isnat(off.joined_from_on) & (joined > 0)
    days: Ids = np.where((over > 0) & is_joined, over - joined, over)
    return days


def _without(held: HeldLimits, away: Away, off: OffDuty) -> HeldLimits:
    """Return limits with days out of duty taken off what they were broken by."""
    period, spell = _pairs(held.row, away)
    first = np.maximum(held.limit_on[period] + _ONE_DAY, away.from_on[spell])
    last = np.minimum(held.until_on[period], away.until_on[spell] - _ONE_DAY)
    joined = off.take(held.row[period])
    # Those joined on purpose were taken off before.
    from_on = np.fmax(first, joined.joined_from_on)
    until_on = np.fmin(last, joined.joined_until_on)
    twice = np.where(np.isnat(joined.joined_from_on), 0, _days(from_on, until_on))
    days = np.zeros(len(held), np.int64)
    np.add.at(days, period, _days(first, last) - twice)
    is_over = held.days_over > 0
    left = np.where(is_over, held.days_over - days, held.days_over)
    return replace(held, days_over=left, gap_kept=held.gap_kept & (left > 0))


def _days(first: Days, last: Days) -> Ids:
    days: Ids = np.maximum((last - first).astype(np.int64) + 1, 0)
    return days


def _pairs(row: Ids, away: Away) -> tuple[Ids, Ids]:
    """Return each pair of a period and a time out of duty of the same subject."""
    order = np.argsort(away.row, kind="stable")
    rows = away.row[order]
    begin, end = (np.searchsorted(rows, row, side=side) for side in _SIDES)
    count = end - begin
    period = np.repeat(np.arange(len(row)), count)
    within = np.arange(len(period)) - np.repeat(np.cumsum(count) - count, count)
    return period, order[np.repeat(begin, count) + within]


def _was_in_force(
    held: HeldLimits, rule: RuleColumns, ends_on: Days, on: np.datetime64
) -> Flags:
    """Return the periods in which the rule was broken, or in force at their end."""
    lived = held.until_on >= np.fmax(held.from_on, rule.held_from_on)
    kept: Flags = lived & (held.is_broken | ~(ends_on < _seen_on(held.next_on, on)))
    return kept
