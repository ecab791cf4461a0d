"""Calendar years in which too few tests were made, counted apart from the dates."""

import datetime as dt
from collections.abc import Iterator

import numpy as np

from jointmap.intervals import CountingTests
from jointmap.intervals.calendar import SIX, years_short_of_six
from jointmap.intervals.rules import of_shape, rows_under
from jointmap.intervals.tenth import Sections, sections_tested
from jointmap.pages.due.steps import YEARS_BACK, rule_named
from jointmap.pages.findings.finder import Finder, Seen
from jointmap.pages.showing import subject_link
from jointmap.register.rule_codes import RuleShape
from jointmap.reports.views import Finding, Link


def short_counts(seen: Seen) -> Iterator[Finding]:
    """Yield each whole calendar year with fewer tests than a rule in force counts."""
    found = seen.showing.assessed
    tests = found.counting
    for rule in of_shape(found.ground.rules, RuleShape.SIX_A_YEAR):
        yield from _short_of_six(seen, rule, tests)
    for rule in of_shape(found.ground.rules, RuleShape.TENTH_A_YEAR):
        yield from _short_of_a_tenth(seen, rule, tests)


def _years(seen: Seen, rule: int) -> range:
    """Return the whole calendar years for which a rule has been in force."""
    found = seen.showing.assessed
    since = rule_named(seen.showing, int(found.ground.rules.rule_id[rule])).from_on
    return range(max(since.year + 1, found.on.year - YEARS_BACK), found.on.year)


def _short_of_six(seen: Seen, rule: int, tests: CountingTests) -> Iterator[Finding]:
    found = seen.showing.assessed
    years = _years(seen, rule)
    row = rows_under(found.subjects, found.ground.rules, rule)
    if not len(years) or not len(row):
        return
    counts = years_short_of_six(tests.row, tests.tested_on, len(found.subjects), years)
    # Of a subject without a start its first test is where its duty is known from.
    starts_on = found.subjects.starts_on.copy()
    first = np.flatnonzero(np.diff(tests.row, prepend=-1))
    known = tests.row[first]
    starts_on[known] = np.fmin(starts_on[known], tests.tested_on[first])
    started = starts_on.astype("datetime64[Y]").astype(np.int64) + 1970
    started[np.isnat(starts_on)] = found.on.year
    for one in row.tolist():
        short = [y for n, y in enumerate(years) if counts[one, n] and y > started[one]]
        if short:
            link = subject_link(
                seen.showing,
                int(found.subjects.subject[one]),
                int(found.subjects.subject_id[one]),
            )
            told = ", ".join(map(str, short))
            facts = {"years": told, "six": SIX, "ended": dt.date(short[-1], 12, 31)}
            yield seen.finding("short_count", link, "short_of_six", **facts)


def _short_of_a_tenth(seen: Seen, rule: int, tests: CountingTests) -> Iterator[Finding]:
    found = seen.showing.assessed
    years = _years(seen, rule)
    sections = Sections.under(found.subjects, found.ground.rules, rule)
    counts = sections_tested(sections, tests, len(found.subjects), years)
    name = rule_named(seen.showing, int(found.ground.rules.rule_id[rule])).name
    for year, count in zip(years, counts.tolist(), strict=True):
        if count < sections.a_year:
            yield seen.finding(
                "short_count",
                Link(name),
                "short_of_a_tenth",
                year=year,
                count=count,
                all=sections.count,
                wanted=sections.a_year,
                ended=dt.date(year, 12, 31),
            )


COUNT_FINDERS: tuple[Finder, ...] = (short_counts,)
