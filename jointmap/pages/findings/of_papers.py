"""Tests made with an instrument or by a person whose papers had ended."""

from collections.abc import Iterator
from typing import cast

import numpy as np

from jointmap.assessment.deferrals import unknown_deferrals
from jointmap.assessment.two_persons import one_person_words
from jointmap.pages.findings.finder import Finder, Seen
from jointmap.pages.showing import subject_link
from jointmap.register import Decision, Instrument, IsolationTest, Qualification
from jointmap.register.codes import DecisionKind
from jointmap.reports.views import Finding, Link
from jointmap.snapshot.papers import covers
from jointmap.tables import METHODS
from jointmap.wording import say

_METHODS = {m.code: m.label for m in METHODS}


def lapsed_instruments(seen: Seen) -> Iterator[Finding]:
    """Yield each test made with an instrument whose certificate had ended."""
    tests = seen.showing.assessed.tests
    names = seen.showing.assessed.state.records(Instrument)
    excepted = _exceptions(seen)
    for row in np.flatnonzero(tests.instrument_valid == 0).tolist():
        test = seen.tests.records[int(tests.test_id[row])]
        name = names[cast("int", test.instrument_id)].name
        yield seen.finding(
            "instrument_lapsed",
            place_link(seen, test),
            "instrument_lapsed",
            method=_METHODS[test.method],
            tested=test.tested_on,
            instrument=name,
            exception=excepted.get(name, ""),
        )


def _exceptions(seen: Seen) -> dict[str, str]:
    """Return what was decided on an instrument used all the same, by its name."""
    found = seen.showing.assessed.state.records(Decision).values()
    return {
        d.subject_key: say(
            "find.exception",
            {"number": d.number, "why": d.why + one_person_words(d)},
        )
        for d in found
        if d.kind is DecisionKind.ACCEPTED_EXCEPTION and d.subject == "instrument"
    }


def lapsed_persons(seen: Seen) -> Iterator[Finding]:
    """Yield each test by a person with qualifications, none of them for that day."""
    valid: dict[int, list[Qualification]] = {}
    for paper in seen.showing.assessed.state.records(Qualification).values():
        valid.setdefault(paper.person_id, []).append(paper)
    for test in seen.tests.records.values():
        papers = valid.get(test.person_id or 0, [])
        day = test.tested_on
        if papers and not any(
            covers(p.valid_from_on, p.valid_until_on, day) for p in papers
        ):
            yield seen.finding(
                "person_lapsed",
                place_link(seen, test),
                "person_lapsed",
                method=_METHODS[test.method],
                tested=day,
                person=seen.showing.person(test.person_id),
            )


def deferrals_over(seen: Seen) -> Iterator[Finding]:
    """Yield deferrals that ended without a test, and those of nothing on record."""
    showing = seen.showing
    for who, decision in showing.deferrals.items():
        if decision.until_on is not None and decision.until_on < showing.assessed.on:
            told = showing.deferral(showing.item_rows[who])
            link = subject_link(showing, *who)
            on = decision.until_on
            yield Finding(kind="deferral", subject=link, sentence=told, on=on)
    for decision in unknown_deferrals(showing.assessed):
        yield seen.finding(
            "deferral",
            Link(decision.subject_key),
            "deferral_unknown",
            number=decision.number,
            decided_on=decision.decided_on,
            what=decision.subject,
            key=decision.subject_key,
        )


def place_link(seen: Seen, test: IsolationTest) -> Link:
    """Return the link to where a test was made."""
    if test.joint_id is not None:
        return seen.showing.joint_link(test.joint_id)
    if test.boundary_id is not None:
        return seen.showing.boundary_link(test.boundary_id)
    return Link(str(test.scope))


PAPER_FINDERS: tuple[Finder, ...] = (
    lapsed_instruments,
    lapsed_persons,
    deferrals_over,
)
