"""One rule says which findings concern a thing: its own, and what it stands on.

P-1 goes around J-1 on B-1, and joins its sides by its record.
"""

import pytest

from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.shown_tests import ShownTests
from jointmap.snapshot.things_called import things_called
from jointmap.workflows.findings_listed import findings_of
from tests.opened_site import opened, shown

MORE = {
    "paths.csv": "name,boundary,joint,kind,state,fitted_on\n"
    "P-1,B-1,J-1,temporary bond,joining,2025-10-02\n",
    "occurrences.csv": "happened_on,kind,joint,place\n2025-12-01,repair,J-2,at J-2\n",
}
SHORT = {("boundary_shorted", "B-1"), ("temporary_bond", "B-1")}
REPAIR = {("repair_not_proved", "J-2")}


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    found = opened(tmp_path_factory.mktemp("concerning"), MORE)
    yield found
    found.register.close()


def told(site, name):
    with shown(site) as showing:
        found = findings_of(showing, things_called(showing.assessed.state, name))
        every = shown_findings(showing, ShownTests(showing)).all
    assert [f for f in every if f in found.findings] == [*found.findings]
    return {(f.kind, f.subject.text) for f in found.findings}


@pytest.mark.parametrize(
    ("name", "more", "not_of"),
    [
        ("B-1", SHORT | REPAIR, ["J-1", "P-1"]),
        ("J-1", SHORT | REPAIR | {("past_limit", "J-1")}, ["P-1"]),
        ("J-2", SHORT | REPAIR | {("past_limit", "J-2")}, ["J-1", "P-1"]),
        ("P-1", SHORT | REPAIR | {("past_limit", "J-1"), ("no_basis", "P-1")}, []),
    ],
)
def test_what_concerns_a_thing(site, name, more, not_of):
    found = told(site, name)
    assert more <= found, found
    assert not {subject for _, subject in found} & {*not_of}
    others = {kind for kind, subject in found if subject == "J-2" and name != "J-2"}
    assert others <= {"repair_not_proved"}
