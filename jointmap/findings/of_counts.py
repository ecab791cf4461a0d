"""Calendar years in which too few tests were made, counted apart from the dates."""

import datetime as dt
from collections.abc import Iterator

import numpy as np

from jointmap.findings.finder import YEARS_BACK, Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.intervals import CountingTests
from jointmap.intervals.calendar import SIX, year_of, years_short_of_six
from jointmap.intervals.rules import of_shape, rows_under
from jointmap.intervals.tenth import Sections, sections_tested
from jointmap.register.rule_codes import RuleShape

SHORT_COUNT = Kind("short_count", Gravity.ACT_SOON, "rule", "ended")


@finds(SHORT_COUNT)
def short_counts(seen: Seen) -> Iterator[Found]:
    """Yield each whole calendar year with fewer tests than a rule in force counts."""
    found = seen.site.assessed
    tests = found.counting
    for rule in of_shape(found.ground.rules, RuleShape.SIX_A_YEAR):
        yield from _short_of_six(seen, rule, tests)
    for rule in of_shape(found.ground.rules, RuleShape.TENTH_A_YEAR):
        yield from _short_of_a_tenth(seen, rule, tests)


def _years(seen: Seen, rule: int) -> range:
    """Return the whole calendar years for which a rule has been in force."""
    found = seen.site.assessed
    since = seen.site.rule(int(found.ground.rules.rule_id[rule])).from_on
    return range(max(since.year + 1, found.on.year - YEARS_BACK), found.on.year)


def _short_of_six(seen: Seen, rule: int, tests: CountingTests) -> Iterator[Found]:
    found = seen.site.assessed
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
    started = year_of(starts_on)
    started[np.isnat(starts_on)] = found.on.year
    for one in row.tolist():
        short = [y for n, y in enumerate(years) if counts[one, n] and y > started[one]]
        if short:
            about = About.of(
                int(found.subjects.subject[one]),
                int(found.subjects.subject_id[one]),
            )
            told = ", ".join(map(str, short))
            facts = {"years": told, "six": SIX, "ended": dt.date(short[-1], 12, 31)}
            yield seen.finding(SHORT_COUNT, about, "short_of_six", **facts)


def _short_of_a_tenth(seen: Seen, rule: int, tests: CountingTests) -> Iterator[Found]:
    found = seen.site.assessed
    years = _years(seen, rule)
    sections = Sections.under(found.subjects, found.ground.rules, rule)
    counts = sections_tested(sections, tests, len(found.subjects), years)
    name = seen.site.rule(int(found.ground.rules.rule_id[rule])).name
    for year, count in zip(years, counts.tolist(), strict=True):
        if count < sections.a_year:
            yield seen.finding(
                SHORT_COUNT,
                About.called(name),
                "short_of_a_tenth",
                year=year,
                count=count,
                all=sections.count,
                wanted=sections.a_year,
                ended=dt.date(year, 12, 31),
            )


COUNT_FINDERS: tuple[Finder, ...] = (short_counts,)
