"""A tenth of the separately protected sections each year, all of them in ten years.

Source: 49 CFR 192.465(a), for separately protected service lines and for mains or
transmission lines of at most 100 ft. The unit is the protected section: a test of any
joint of it is a test of the section. Those that wait longest come first, of equal ones
area by area, so that each year's tenth is spread over the whole system. A new section
comes last, so none has a second turn before all had one; a turn that was missed leaves
the ten years, and the year's count, as they are.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.intervals.calendar import year_end, year_of
from jointmap.intervals.candidates import REASONS, Candidates, candidates_at
from jointmap.intervals.facts import CountingTests, SubjectColumns
from jointmap.intervals.rules import of_shape, rows_under
from jointmap.intervals.standing import Standing
from jointmap.register.columns import Codes, Days, Flags, Ids, RuleColumns
from jointmap.register.rule_codes import RuleShape

PARTS = 10
# 100 ft: the longest main or transmission line that may be tested by tenths.
MOST_LENGTH_METRE = 30.48
_NONE = np.iinfo(np.int64).min


@dataclass(frozen=True, slots=True)
class Sections:
    """Protected sections under a rule, and to which each subject row belongs."""

    row: Ids  # of the subjects under the rule
    unit: Ids  # place of its section
    area: Codes  # of each section: that of its first row

    @classmethod
    def under(
        cls, subjects: SubjectColumns, rules: RuleColumns, rule: int
    ) -> "Sections":
        """Return the sections of the rows that a rule of this shape applies to."""
        row = rows_under(subjects, rules, rule)
        row = row[subjects.section[row] > 0]
        _, first, unit = np.unique(
            subjects.section[row], return_index=True, return_inverse=True
        )
        return cls(row, unit, subjects.area[row[first]])

    @property
    def count(self) -> int:
        """How many sections there are."""
        return len(self.area)

    @property
    def a_year(self) -> int:
        """How many must be tested each calendar year: a tenth, rounded up."""
        return -(-self.count // PARTS)

    def latest_year(self, years: Ids) -> Ids:
        """Return the greatest of ``years`` (one per row) of each section."""
        found = np.full(self.count, _NONE)
        np.maximum.at(found, self.unit, years)
        return found


def sampled_from(subjects: SubjectColumns, rules: RuleColumns, rule: int) -> Days:
    """Return the day since which tenths stand in the place of a yearly rule.

    One per subject, NaT where they do not. Only the yearly clock of the same clause is
    meant; every other rule stays.
    """
    since = np.full(len(subjects), np.datetime64("NaT", "D"))
    if rules.shape[rule] != RuleShape.CALENDAR_YEARS or rules.years[rule] != 1:
        return since
    for tenth in of_shape(rules, RuleShape.TENTH_A_YEAR):
        if rules.clause[tenth] == rules.clause[rule]:
            row = Sections.under(subjects, rules, tenth).row
            since[row] = np.fmin(since[row], rules.from_on[tenth])
    return since


def by_tenths(
    subjects: SubjectColumns, standing: Standing, rules: RuleColumns, on: np.datetime64
) -> Iterator[Candidates]:
    """Yield, rule by rule, the end of the year in which each section's turn comes."""
    for rule in of_shape(rules, RuleShape.TENTH_A_YEAR):
        found = Sections.under(subjects, rules, rule)
        if not found.count:
            continue
        from_on = standing.counts_from_on[found.row]
        year, is_last = _due_years(found, standing, on, int(rules.years[rule]))
        known = ~np.isnat(from_on)
        at = found.unit[known]
        reasons = REASONS.index("due.tenth_last"), REASONS.index("due.tenth")
        yield candidates_at(
            found.row[known],
            _last_day_of(year[at]),
            rule_id=rules.rule_id[rule],
            basis=rules.basis[rule],
            from_on=from_on[known],
            is_from_start=standing.is_from_start[found.row[known]],
            reason=np.where(is_last[at], *reasons),
            years=rules.years[rule],
        )


def _due_years(
    found: Sections, standing: Standing, on: np.datetime64, waits: int
) -> tuple[Ids, Flags]:
    """Return the year in which each section is due, and whether it may wait no longer.

    Of a section of which neither test nor start is on record the year says nothing.
    """
    from_on, (this_year,) = standing.counts_from_on[found.row], year_of(np.array([on]))
    known, years = ~np.isnat(from_on), year_of(from_on)
    last = found.latest_year(np.where(known, years, _NONE))
    tested = ~standing.is_from_start[found.row] & known & (years == this_year)
    done = len(np.unique(found.unit[tested]))
    turn, latest = _turns(found, last, done, this_year, waits), last + waits
    return np.minimum(turn, latest), turn > latest


def _last_day_of(year: Ids) -> Days:
    first = (year - 1970).astype("datetime64[Y]").astype("datetime64[D]")
    return year_end(first, 0)


def _turns(found: Sections, last: Ids, done: int, this_year: int, years: int) -> Ids:
    """Return the year from ``this_year`` on in which each section has its turn.

    Longest waiting first: a tenth a year of those that there are now, ``done`` of them
    this year; more only where more must not wait longer than the years can share.
    """
    order = np.lexsort((_rank(found.area), last))
    order = order[last[order] != _NONE]
    until = last[order] + years
    turn, year, begun = np.zeros(found.count, np.int64), this_year, 0
    while begun < len(order):
        share = max(found.a_year, _level_share(until[begun:], done, year))
        end = begun + max(share - done, 0)
        turn[order[begun:end]] = year
        begun, year, done = end, year + 1, 0
    return turn


def _level_share(until: Ids, done: int, year: int) -> int:
    """Return how many must be tested in ``year`` so that no later year has more.

    ``until``, rising, is the last year in which each may wait for its turn; ``done``
    of this year's are tested.
    """
    ends = np.arange(year, max(year, int(until[-1])) + 1)
    within = np.searchsorted(until, ends, "right")
    shares = -(-(done + within) // (ends - year + 1))
    return int(shares.max())


def _rank(area: Codes) -> Ids:
    """Return each section's place in the ring: every area evenly all around it."""
    order = np.argsort(area, kind="stable")
    _, first, size = np.unique(area[order], return_index=True, return_counts=True)
    within = np.arange(len(area)) - np.repeat(first, size)
    share = np.empty(len(area))
    share[order] = (within + 0.5) / np.repeat(size, size)
    rank = np.empty(len(area), np.int64)
    rank[np.lexsort((area, share))] = np.arange(len(area))
    return rank


def sections_tested(
    found: Sections, tests: CountingTests, rows: int, years: range
) -> Ids:
    """Return how many different sections were tested in each of ``years``."""
    unit_of = np.full(rows, -1)
    unit_of[found.row] = found.unit
    unit = unit_of[tests.row]
    year = year_of(tests.tested_on)
    kept = (unit >= 0) & (year >= years.start) & (year < years.stop)
    pairs = np.unique(np.stack([year[kept], unit[kept]]), axis=1)
    return np.bincount(pairs[0] - years.start, minlength=len(years))
