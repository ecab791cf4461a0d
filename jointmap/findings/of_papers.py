"""Tests made with an instrument or by a person whose papers had ended."""

from collections.abc import Iterator
from typing import cast

import numpy as np

from jointmap.assessment.limits.deferrals import unknown_deferrals
from jointmap.assessment.reasons_told import deferral_told
from jointmap.assessment.two_persons import by_one_person
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.register import IsolationTest, Qualification
from jointmap.register.told import Told
from jointmap.snapshot.exceptions import (
    Accepted,
    accepted_exceptions,
    exception_of,
)
from jointmap.snapshot.papers import ENDED, EXCEPTED, covers
from jointmap.tables import METHODS

_METHODS = {m.code: m.label for m in METHODS}
INSTRUMENT_LAPSED = Kind("instrument_lapsed", Gravity.LOOK, "record", "tested")
PERSON_LAPSED = Kind("person_lapsed", Gravity.LOOK, "record", "tested")
DEFERRAL = Kind("deferral", Gravity.ACT_SOON, "record")
DEFERRAL_UNKNOWN = Kind("deferral_unknown", Gravity.LOOK, "record", "decided_on")


@finds(INSTRUMENT_LAPSED)
def lapsed_instruments(seen: Seen) -> Iterator[Found]:
    """Yield each test made with an instrument whose certificate had ended."""
    tests = seen.site.assessed.tests
    names = seen.site.state.instruments
    excepted = accepted_exceptions(seen.site.state)
    lapsed = np.isin(tests.instrument_valid, (ENDED, EXCEPTED))
    for row in np.flatnonzero(lapsed).tolist():
        test = seen.tests.records[int(tests.test_id[row])]
        name = names[cast("int", test.instrument_id)].name
        exception = exception_of(excepted, test)
        yield seen.finding(
            INSTRUMENT_LAPSED,
            place_of_test(test),
            "instrument_lapsed",
            method=_METHODS[test.method],
            tested=test.tested_on,
            instrument=name,
            effect=_effect(exception, int(tests.instrument_valid[row])),
        )


def _effect(exception: Accepted | None, valid: int) -> Told:
    """Return what comes of such a test, and by what exception, if there is one."""
    if exception is None:
        return Told("find.does_not_count")
    decision = exception.decision
    facts = {
        "number": decision.number,
        "why": decision.why,
        "by_one": by_one_person(decision),
    }
    name = "excepted" if valid == EXCEPTED else "exception_by_tester"
    return Told(f"find.{name}", facts)


@finds(PERSON_LAPSED)
def lapsed_persons(seen: Seen) -> Iterator[Found]:
    """Yield each test by a person with qualifications, none of them for that day."""
    valid: dict[int, list[Qualification]] = {}
    for paper in seen.site.state.qualifications.values():
        valid.setdefault(paper.person_id, []).append(paper)
    for test in seen.tests.records.values():
        papers = valid.get(test.person_id or 0, [])
        day = test.tested_on
        if papers and not any(
            covers(p.valid_from_on, p.valid_until_on, day) for p in papers
        ):
            yield seen.finding(
                PERSON_LAPSED,
                place_of_test(test),
                "person_lapsed",
                method=_METHODS[test.method],
                tested=day,
                person=seen.site.person(test.person_id),
            )


@finds(DEFERRAL, DEFERRAL_UNKNOWN)
def deferrals_over(seen: Seen) -> Iterator[Found]:
    """Yield deferrals that ended without a test, and those of nothing on record."""
    site = seen.site
    for who, decision in site.deferrals.items():
        if decision.until_on is not None and decision.until_on < site.assessed.on:
            told = deferral_told(site, decision, site.item_rows[who])
            about, on = About.of(*who), decision.until_on
            yield Found(kind=DEFERRAL, about=about, told=told, on=on)
    for decision in unknown_deferrals(site.assessed):
        yield seen.finding(
            DEFERRAL_UNKNOWN,
            About.called(decision.subject_key),
            "deferral_unknown",
            number=decision.number,
            decided_on=decision.decided_on,
            what=decision.subject,
            key=decision.subject_key,
        )


def place_of_test(test: IsolationTest) -> About:
    """Return where a test was made."""
    if test.joint_id is not None:
        return About.joint(test.joint_id)
    if test.boundary_id is not None:
        return About.boundary(test.boundary_id)
    return About.called(str(test.scope))


PAPER_FINDERS: tuple[Finder, ...] = (
    lapsed_instruments,
    lapsed_persons,
    deferrals_over,
)
