"""Tests with an instrument or by a person whose papers did not cover their day."""

from collections.abc import Iterator, Mapping
from typing import cast

import numpy as np

from jointmap.assessment.limits.deferrals import unknown_deferrals
from jointmap.assessment.reasons_told import deferral_told
from jointmap.assessment.two_persons import by_one_person
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.register import Instrument, IsolationTest, Person
from jointmap.register.codes import Outcome
from jointmap.register.columns import Codes
from jointmap.register.paper_states import (
    Counting,
    PaperState,
    counting_of,
    lets_count,
    state_of,
)
from jointmap.register.told import Told
from jointmap.snapshot.papers.exceptions import Accepted
from jointmap.snapshot.papers.of_tests import Asked, papers_of_tests
from jointmap.tables import METHODS

_LAPSED = (PaperState.ENDED, PaperState.NOT_YET)
_METHODS = {m.code: m.label for m in METHODS}
INSTRUMENT_LAPSED = Kind("instrument_lapsed", Gravity.LOOK, "record", "tested")
PERSON_LAPSED = Kind("person_lapsed", Gravity.LOOK, "record", "tested")
DEFERRAL = Kind("deferral", Gravity.ACT_SOON, "record")
DEFERRAL_UNKNOWN = Kind("deferral_unknown", Gravity.LOOK, "record", "decided_on")


@finds(INSTRUMENT_LAPSED)
def lapsed_instruments(seen: Seen) -> Iterator[Found]:
    """Yield each test with an instrument whose certificate did not cover its day."""
    names = seen.site.state.instruments
    for test, facts in _lapsed(seen, Instrument.KIND):
        name = names[cast("int", test.instrument_id)].name
        yield _of_test(seen, INSTRUMENT_LAPSED, test, facts | {"instrument": name})


@finds(PERSON_LAPSED)
def lapsed_persons(seen: Seen) -> Iterator[Found]:
    """Yield each test by a person whose qualification did not cover its day."""
    for test, facts in _lapsed(seen, Person.KIND):
        who = seen.site.person(test.person_id)
        yield _of_test(seen, PERSON_LAPSED, test, facts | {"person": who})


def _lapsed(seen: Seen, whose: str) -> Iterator[tuple[IsolationTest, dict[str, Told]]]:
    """Yield each reading with a paper that had ended or begins later, and its effect.

    Of a rule of the owner that lets it count is told at the test itself.
    """
    tests = seen.site.assessed.tests
    codes = getattr(tests, f"{whose}_paper")
    lapsed = np.isin(state_of(codes), [s.code for s in _LAPSED])
    lapsed &= counting_of(codes) != Counting.BY_RULE
    lapsed &= tests.outcome == Outcome.MEASURED
    rows = np.flatnonzero(lapsed).tolist()
    if not rows:
        return
    papers = papers_of_tests(seen.site.state)
    for row in rows:
        test, code = seen.tests.records[int(tests.test_id[row])], codes[row]
        word = "ended" if state_of(code) == PaperState.ENDED.code else "later"
        effect = _effect(papers.exception_on(whose, Asked.of(test)), code)
        yield test, {"lapse": Told(f"find.lapse.{word}"), "effect": effect}


def _of_test(
    seen: Seen, kind: Kind, test: IsolationTest, facts: Mapping[str, object]
) -> Found:
    method, tested = _METHODS[test.method], test.tested_on
    more = {"method": method, "tested": tested, **facts}
    return seen.finding(kind, place_of_test(test), kind.id, **more)


def _effect(exception: Accepted | None, code: Codes) -> Told:
    """Return what comes of such a test, and by what exception, if there is one."""
    if exception is None:
        return Told("find.does_not_count")
    decision = exception.decision
    facts = {
        "number": decision.number,
        "why": decision.why,
        "by_one": by_one_person(decision),
    }
    name = "excepted" if lets_count(code) else "exception_by_tester"
    return Told(f"find.{name}", facts)


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
