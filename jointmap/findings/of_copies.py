"""Readings that look copied: whole sheets, and single visits by their figures."""

from collections.abc import Iterator

from jointmap.acceptance.same_figures import RARE, figures_again
from jointmap.assessment.recorded_tests import as_written
from jointmap.assessment.site_on_day import day_of
from jointmap.findings.ac_read import place_of_row
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.findings.of_records import in_order
from jointmap.register.codes import Outcome
from jointmap.snapshot.histories.figures_read import figures_read
from jointmap.tables import METHODS

# A sheet is looked at when so many of its readings, and at least half, are copies.
COPIES_AT_LEAST = 4
COPIED_READING = Kind(
    "copied_reading",
    Gravity.LOOK,
    "common_practice",
    day="tested",
    numbers={"count": COPIES_AT_LEAST},
)
FIGURES_AGAIN = Kind(
    "figures_again",
    Gravity.LOOK,
    "common_practice",
    day="tested",
    numbers={"odds": RARE},
)


@finds(COPIED_READING)
def copied_readings(seen: Seen) -> Iterator[Found]:
    """Yield each person's day on which many readings equal the ones before."""
    days: dict[tuple[int, object], list[bool]] = {}
    last: dict[object, tuple[tuple[str, str], ...]] = {}
    for test in in_order(seen):
        text = as_written(test) if test.outcome is Outcome.MEASURED else ()
        if not text or not test.as_written:
            continue
        place = (
            test.scope,
            test.joint_id,
            test.boundary_id,
            test.method,
            test.stud,
            test.side,
        )
        days.setdefault((test.person_id or 0, test.tested_on), []).append(
            last.get(place) == text
        )
        last[place] = text
    persons = seen.site.state.people
    for (person, tested_on), same in days.items():
        if sum(same) >= COPIES_AT_LEAST and sum(same) * 2 >= len(same):
            code = persons[person].code if person else "nobody named"
            facts = {"same": sum(same), "count": len(same), "tested": tested_on}
            about = About.called(f"{code}, {tested_on}")
            yield seen.finding(
                COPIED_READING, about, "copied_reading", person=code, **facts
            )


@finds(FIGURES_AGAIN)
def same_figures(seen: Seen) -> Iterator[Found]:
    """Yield each visit whose figures are those of an earlier one of the same place."""
    tests = seen.site.assessed.tests
    again = figures_again(figures_read(seen.site.state, tests))
    for id_, before, odds in zip(*(v.tolist() for v in again), strict=True):
        row, earlier = seen.site.test_rows[id_], seen.site.test_rows[before]
        yield seen.finding(
            FIGURES_AGAIN,
            place_of_row(tests, row),
            "figures_again",
            method=METHODS[int(tests.method[row])].label,
            tested=day_of(tests.tested_on[row]),
            before=day_of(tests.tested_on[earlier]),
            odds=_rounded(odds),
        )


def _rounded(odds: float) -> int:
    """Return one figure of a number: nobody knows a chance better than that."""
    return int(float(f"{odds:.1g}"))


COPY_FINDERS: tuple[Finder, ...] = (copied_readings, same_figures)
