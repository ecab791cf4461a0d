"""Limits counted from the last test: calendar years, plain months, six a year."""

from collections.abc import Callable, Iterator

import numpy as np

from jointmap.intervals.calendar import add_months, calendar_years, six_a_year
from jointmap.intervals.candidates import REASONS, Candidates, candidates_at
from jointmap.intervals.facts import SubjectColumns
from jointmap.intervals.rules import begun_on, of_shape, rows_under
from jointmap.intervals.standing import Standing
from jointmap.intervals.tenth import sampled_from
from jointmap.register.columns import Days, Ids, RuleColumns
from jointmap.register.rule_codes import RuleShape

# Each limit of a shape, with the reason it is known by.
Limits = list[tuple[str, Days]]


def _of_calendar_years(rules: RuleColumns, rule: int, last: Days) -> Limits:
    years = int(rules.years[rule])
    gap, end = calendar_years(last, years, int(rules.months[rule]))
    word = "year" if years == 1 else "years"
    return [(f"due.{word}_gap", gap), (f"due.{word}_end", end)]


def _of_plain_months(rules: RuleColumns, rule: int, last: Days) -> Limits:
    return [("due.months", add_months(last, int(rules.months[rule])))]


def _of_six_a_year(rules: RuleColumns, rule: int, last: Days) -> Limits:
    whole, plain = six_a_year(last, int(rules.months[rule]), int(rules.days[rule]))
    return [("due.six_a_year", whole), ("due.six_a_year_days", plain)]


LIMITS: dict[RuleShape, Callable[[RuleColumns, int, Days], Limits]] = {
    RuleShape.CALENDAR_YEARS: _of_calendar_years,
    RuleShape.PLAIN_MONTHS: _of_plain_months,
    RuleShape.SIX_A_YEAR: _of_six_a_year,
}


def rules_with_limits(
    subjects: SubjectColumns, rules: RuleColumns
) -> Iterator[tuple[int, Callable[[RuleColumns, int, Days], Limits], Ids]]:
    """Yield the place of each rule that has limits, how they are reckoned, for whom."""
    for shape, limits in LIMITS.items():
        for rule in of_shape(rules, shape):
            yield rule, limits, rows_under(subjects, rules, rule)


def from_limits(
    subjects: SubjectColumns, standing: Standing, rules: RuleColumns
) -> Iterator[Candidates]:
    """Yield, rule by rule, a candidate of each limit for each subject under it.

    What is tested by tenths is not under the law's yearly survey as well.
    """
    for rule, limits, under in rules_with_limits(subjects, rules):
        sampled = sampled_from(subjects, rules, rule)[under]
        row = under[~np.isnat(standing.counts_from_on[under]) & np.isnat(sampled)]
        is_start, last = standing.is_from_start[row], standing.counts_from_on[row]
        begun = np.where(is_start, begun_on(rules, rule, last), last)
        is_from_law = begun != last
        for reason, limit in limits(rules, rule, begun):
            yield candidates_at(
                row,
                limit,
                rule_id=rules.rule_id[rule],
                basis=rules.basis[rule],
                from_on=begun,
                is_from_start=is_start,
                is_from_law=is_from_law,
                reason=REASONS.index(reason),
                years=rules.years[rule],
                months=rules.months[rule],
                days=rules.days[rule],
            )
