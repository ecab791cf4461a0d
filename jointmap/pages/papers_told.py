"""How a paper of a test stands, and the decision by which it counts, as data."""

from collections.abc import Callable
from typing import cast

from jointmap.assessment.two_persons import by_one_person
from jointmap.register import Decision, IsolationTest
from jointmap.register.codes import DecisionKind
from jointmap.register.columns import Codes
from jointmap.register.paper_states import (
    SOUND,
    Counting,
    PaperState,
    counting_of,
    state_of,
)
from jointmap.register.told import Told
from jointmap.snapshot.papers.exceptions import Accepted
from jointmap.snapshot.papers.of_tests import Asked, PapersOfTests


def paper_told(
    papers: Callable[[], PapersOfTests], test: IsolationTest, whose: str, code: Codes
) -> Told:
    """Return how the paper of a test's person or instrument stands, and counts.

    ``papers`` are asked for only where a decision lets the test count.
    """
    state = PaperState.at(int(state_of(code)))
    counting = Counting.at(int(counting_of(code)))
    facts: dict[str, object] = {"state": state}
    if state in SOUND:
        return Told("paper.plain", facts)
    if counting is Counting.NOT:
        return Told("paper.not", facts)
    asked = Asked.of(test)
    if counting is Counting.BY_EXCEPTION:
        exception = cast("Accepted", papers().exception_on(whose, asked))
        return Told("paper.by_exception", facts | _named(exception.decision))
    rule = papers().rule_on(whose, asked, state.code)
    has_end = rule.kind is DecisionKind.PAPERS_NOT_KEPT
    facts |= _named(rule) | {"kind": rule.kind, "until": rule.until_on}
    return Told("paper.by_rule_until" if has_end else "paper.by_rule", facts)


def _named(decision: Decision) -> dict[str, object]:
    return {
        "number": decision.number,
        "decided_on": decision.decided_on,
        "by_one": by_one_person(decision),
    }
