"""Limits broken in the past, and those kept with only days to spare."""

from dataclasses import dataclass, replace

import numpy as np

from jointmap.intervals.candidates import REASONS
from jointmap.intervals.counted_limits import Limits, rules_with_limits
from jointmap.intervals.facts import CountingTests, SubjectColumns, day_key, stack
from jointmap.intervals.rules import in_order, refuse_unsound
from jointmap.register.columns import Codes, Days, Flags, Ids, RuleColumns, Table


@dataclass(frozen=True, slots=True)
class Periods(Table):
    """One row per subject row and time between two days of tests that count."""

    row: Ids  # place in SubjectColumns, rising
    from_on: Days  # a test, or the start where no test came before
    next_on: Days  # NaT: none up to the day asked about


@dataclass(frozen=True, slots=True)
class Missed(Table):
    """One row per limit that was broken, or kept with few days to spare."""

    row: Ids  # place in SubjectColumns
    rule_id: Ids
    reason: Codes  # place in REASONS: which of the rule's limits came first
    from_on: Days
    limit_on: Days
    next_on: Days  # NaT: not yet
    days_over: Ids  # zero or less: kept, with so many days to spare
    first_year: Codes  # calendar years in between, without a test; 0: none
    last_year: Codes
    gap_kept: Flags  # broken at the year's end only: the months were kept


def missed_years(
    subjects: SubjectColumns,
    tests: CountingTests,
    rules: RuleColumns,
    years: range,
    on: np.datetime64,
    near_days: int,
) -> Missed:
    """Return every limit of active subjects broken, or nearly, within ``years``.

    Parameters
    ----------
    tests
        From ``counting_tests`` of the same subjects and day.
    rules
        Applied to the whole past; pass those that were in force in ``years``.
    years
        Calendar years; a limit broken earlier shows while it stayed broken.
    near_days
        A limit kept with at most so many days to spare shows too.

    Raises
    ------
    Refused
        A rule lacks a number, or would lengthen an interval.
    """
    refuse_unsound(rules)
    rules = in_order(rules)
    periods = periods_of(subjects, tests)
    found = [_none_missed()]
    for rule, limits, row in rules_with_limits(subjects, rules):
        own = periods.take(np.isin(periods.row, row))
        held = _held_against(own, limits(rules, rule, own.from_on), on)
        held = replace(held, rule_id=np.full(len(own), rules.rule_id[rule]))
        found.append(held.take(_is_shown(held, years, near_days)))
    return stack(found)


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
    row, from_on = row[first], from_on[first]
    next_on = np.full(len(row), np.datetime64("NaT", "D"))
    next_on[:-1] = np.where(row[:-1] == row[1:], from_on[1:], next_on[:-1])
    return Periods(row, from_on, next_on)


def _held_against(periods: Periods, limits: Limits, on: np.datetime64) -> Missed:
    """Hold each period against the earliest of a rule's limits."""
    every = np.stack([limit for _, limit in limits])
    earliest = np.argmin(every, axis=0)
    limit_on = np.min(every, axis=0)
    reasons = np.array([REASONS.index(reason) for reason, _ in limits], np.int16)
    seen_on = np.where(np.isnat(periods.next_on), on, periods.next_on)
    days_over = (seen_on - limit_on).astype(np.int64)
    first_year = _year(periods.from_on) + 1
    last_year = _year(seen_on) - 1
    some = first_year <= last_year
    return Missed(
        periods.row,
        np.zeros(len(periods), np.int64),
        reasons[earliest],
        periods.from_on,
        limit_on,
        periods.next_on,
        days_over,
        np.where(some, first_year, 0).astype(np.int16),
        np.where(some, last_year, 0).astype(np.int16),
        (days_over > 0) & (seen_on <= every[0]),
    )


def _is_shown(held: Missed, years: range, near_days: int) -> Flags:
    broken = held.days_over > 0
    near = ~np.isnat(held.next_on) & ~broken & (held.days_over >= -near_days)
    ends_on = held.limit_on + np.maximum(held.days_over, 0)
    within = (_year(held.limit_on) < years.stop) & (_year(ends_on) >= years.start)
    shown: Flags = (broken | near) & within
    return shown


def _year(days: Days) -> Ids:
    years: Ids = days.astype("datetime64[Y]").astype(np.int64) + 1970
    return years


def _none_missed() -> Missed:
    whole, day = np.empty(0, np.int64), np.empty(0, "datetime64[D]")
    code = np.empty(0, np.int16)
    flag = np.empty(0, np.bool_)
    return Missed(whole, whole, code, day, day, day, whole, code, code, flag)
