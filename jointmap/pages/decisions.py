"""Decisions about a subject, as pages list them."""

from jointmap.findings.by_one import told_of_one
from jointmap.pages.showing import Showing
from jointmap.register import Decision
from jointmap.reports.views import DecisionRow
from jointmap.wording import say_told


def decisions_about(
    showing: Showing, names: tuple[str, ...]
) -> tuple[DecisionRow, ...]:
    """Return the decisions whose subject has or had a name, newest first."""
    own = [
        found
        for name in names
        for found in showing.state.records_of(Decision, "subject_key", name)
    ]
    return tuple(
        DecisionRow(
            decided_on=d.decided_on,
            kind=str(d.kind),
            what=f"{d.subject} {d.subject_key}",
            who=showing.person(d.person_id) + say_told(told_of_one(showing, id_, d)),
            why=d.why,
            until_on=d.until_on,
            second_person=showing.person(d.second_person_id),
            authority=d.authority,
        )
        for id_, d in sorted(own, key=lambda o: o[1].decided_on, reverse=True)
    )
