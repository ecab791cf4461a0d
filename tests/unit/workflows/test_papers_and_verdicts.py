"""What a person and an instrument without papers do to verdicts; how it is told."""

import datetime as dt
from typing import NamedTuple

import pytest

from jointmap.pages.boundary_sentences import boundary_statement
from jointmap.pages.dossier.page import dossier_text
from jointmap.pages.joint_sentences import joint_summary
from jointmap.pages.shown_tests import ShownTests
from jointmap.workflows.why import why_text
from tests.opened_site import FIRST, findings, opened, sent, shown

ON = dt.date(2026, 5, 15)
SHEETS = {
    "people.csv": "code,role\nT2,field technician\nT3,field technician\n",
    "qualifications.csv": """\
person,task,valid_from_on,valid_until_on
T2,isolation test,2024-01-01,2025-06-30
T3,witness,2024-01-01,2026-12-31
A1,radio-frequency,2025-09-01,2026-12-31
""",
    "instruments.csv": """\
name,kind,needs_certificate
V-1,voltmeter,yes
RF-1,radio-frequency isolation tester,yes
RF-2,Radio-Frequency Isolation Tester,no
X-1,gauge,yes
""",
    "certificates.csv": """\
instrument,number,valid_from_on,valid_until_on
V-1,K-1,2024-01-01,2026-12-31
RF-1,K-2,2024-01-01,2025-06-30
""",
}
DECIDED = (
    "number,decided_on,kind,person,second_person,subject,subject_key,until_on,why\n"
)
HEAD = "scope,joint,tested_on,method,stage,outcome,indication,person,instrument\n"


def row(day, person, instrument, word="no short", outcome="measured"):
    what = f"radio-frequency,routine,{outcome},{word}"
    return f"joint,J-1,{day},{what},{person},{instrument}\n"


def decision(number, day, kind, about, until=""):
    return f"D-{number},{day},{kind},T1,A1,{about},{until},a reason\n"


# The small site asks for none from 2010 on.
ASKED = "".join(
    decision(n, "2010-01-02", "papers asked", f"{whose},none on record")
    for n, whose in ((90, "person"), (91, "instrument"))
)


class Stood(NamedTuple):
    """What the tests of a small site came to, and what is told of them."""

    rows: tuple  # newest first
    summary: str
    boundary: str
    why: str
    dossier: str
    found: list


def stood(folder, tests, decisions=""):
    sheets = {**SHEETS, "tests.csv": HEAD + tests}
    site = opened(folder, sheets, {"decisions.csv": DECIDED + ASKED + decisions})
    with shown(site, ON) as showing:
        shown_tests = ShownTests(showing, 1)
        told = (joint_summary(showing, 1), boundary_statement(showing, 1))
        rows = shown_tests.rows(shown_tests.of_joint[1])
    why = why_text(site, "J-1", on=ON, known=None, width=200)
    dossier = dossier_text(site, "J-1", on=ON, known=None, width=200)
    found = findings(site, ON)
    site.register.close()
    return Stood(rows, *told, why, dossier, found)


OUT = "does not count"
STATES = [
    ("2025-05-01", "T2", "RF-1", "valid", "valid"),
    ("2025-05-02", "T2", "RF-2", "valid", "not needed"),
    ("2025-05-03", "T2", "X-1", "valid", f"none on record, {OUT}"),
    ("2025-05-04", "T2", "", "valid", f"none named, {OUT}"),
    ("2025-05-05", "T1", "RF-2", f"none on record, {OUT}", "not needed"),
    ("2025-05-06", "", "RF-2", f"none named, {OUT}", "not needed"),
    ("2025-10-01", "A1", "RF-2", "valid", "not needed"),
    ("2025-05-07", "A1", "RF-2", f"not yet valid, {OUT}", "not needed"),
    ("2025-05-08", "T3", "RF-2", f"for another task, {OUT}", "not needed"),
    ("2025-05-09", "T2", "V-1", "valid", f"of a kind that cannot read this, {OUT}"),
    ("2025-08-01", "T2", "RF-2", f"ended, {OUT}", "not needed"),
    ("2025-10-02", "A1", "RF-1", "valid", f"ended, {OUT}"),
    ("2025-10-03", "T3", "RF-1", f"for another task, {OUT}", f"ended, {OUT}"),
]  # fmt: skip
FOUND = {
    "person_not_named": ("Small site", "2 tests by nobody named"),
    "person_without_paper": ("T1", "1 test by T1 (register keeper)"),
    "person_other_task": ("T3", "2 tests by T3 (field technician), the last of"),
    "person_lapsed": ("J-1", "of 2025-08-01 by T2 (field technician), qualification"),
    "instrument_not_named": ("Small site", "2 tests with no instrument named"),
    "instrument_without_paper": ("X-1", "1 test with X-1"),
    "instrument_other_kind": ("V-1", "1 test with V-1 (voltmeter)"),
    "instrument_kind_unknown": ("X-1", "its kind 'gauge' is not in the table"),
    "instrument_lapsed": ("J-1", "of 2025-10-02 with RF-1, certificate ended before"),
}


@pytest.fixture(scope="module")
def every(tmp_path_factory):
    visit = row("2025-05-10", "T3", "", "", "gate locked")
    tests = "".join(row(*case[:3]) for case in STATES) + visit
    return stood(tmp_path_factory.mktemp("states"), tests)


def test_both_papers_of_each_test_are_told(every):
    told = {str(r.tested_on): r for r in every.rows}
    for day, *_, person, instrument in STATES:
        found = told[day]
        assert (found.person_paper, found.instrument_paper) == (person, instrument)
        assert found.counts == (OUT not in person + instrument)
        assert found.person_fault == (OUT in person)
        assert found.instrument_fault == (OUT in instrument)
    visit = told["2025-05-10"]
    assert (visit.person_paper, visit.instrument_paper) == ("", "")


def test_a_dossier_as_text_tells_what_is_not_in_order(every):
    assert f": isolating. Qualification: ended, {OUT}. Certificate: not needed.\n" in (
        every.dossier
    )
    (sound,) = [t for t in every.dossier.splitlines() if "2025-05-02" in t]
    assert sound.endswith(": isolating")


def test_why_tells_both_of_the_test_that_a_verdict_rests_on(every):
    assert "Qualification: valid. Certificate: not needed.\n" in every.why
    both = f"for another task, {OUT}. Certificate: ended, {OUT}.\n"
    assert f"Qualification: {both}" in every.why
    newest = every.rows[0]
    assert newest.why_not == (
        "the person's qualifications are for another task, and the instrument's "
        "certificate had ended: moves no date and proves nothing"
    )


@pytest.mark.parametrize("kind", FOUND)
def test_what_is_missing_is_found(every, kind):
    at, says = FOUND[kind]
    own = [(subject, told) for k, subject, told in every.found if k == kind]
    assert any(subject == at and says in told for subject, told in own), own


def test_a_site_without_papers_gets_a_line_and_not_one_a_test(tmp_path):
    tests = "".join(row(f"2025-03-{n:02}", "T1", "") for n in range(1, 31))
    found = [f for f in stood(tmp_path, tests).found if "papers" not in f[0]]
    told = {k: t for k, _, t in found if k.startswith(("person_", "instrument_"))}
    assert {k: t.split(",")[0] for k, t in told.items()} == {
        "person_without_paper": "30 tests by T1 (register keeper)",
        "person_not_named": "1 test by nobody named",
        "instrument_not_named": "31 tests with no instrument named",
    }
    ours = [k for k, _, _ in found if k in told]
    assert sorted(ours) == sorted(told)


LAPSED = row("2025-08-01", "T2", "RF-2")
SHORT = row("2025-05-01", "T2", "RF-2", "short")


@pytest.mark.parametrize(
    ("who", "what", "day"),
    [
        ("T2", "RF-2", "2025-08-01"),
        ("T3", "RF-2", "2025-06-01"),
        ("A1", "V-1", "2025-10-01"),
        ("A1", "RF-1", "2025-10-01"),
    ],
)
def test_a_good_reading_that_does_not_count_proves_nothing(tmp_path, who, what, day):
    found = stood(tmp_path / "good", SHORT + row(day, who, what))
    assert found.summary.startswith("Shorted")
    assert not found.rows[0].counts
    good = row("2025-05-01", "T2", "RF-2")
    found = stood(tmp_path / "bad", good + row(day, who, what, "short"))
    assert found.summary.startswith("Shorted")


OLD = row("2025-02-01", "", "") + row("2025-02-02", "T1", "X-1")
PAST = decision(
    1, "2025-12-01", "papers not kept", "person,none on record", "2025-02-28"
)
PAST += decision(
    2, "2025-12-01", "papers not kept", "instrument,none on record", "2025-02-01"
)


def test_history_from_before_papers_were_kept(tmp_path):
    found = stood(tmp_path, OLD, PAST)
    _, later, first = found.rows
    by = "counts by decision D-{} of 2025-12-01, papers not kept until {}"
    assert first.person_paper == f"none named, {by.format(1, '2025-02-28')}"
    assert first.instrument_paper == f"none named, {by.format(2, '2025-02-01')}"
    assert later.person_paper == f"none on record, {by.format(1, '2025-02-28')}"
    assert later.instrument_paper == f"none on record, {OUT}"
    kinds = {k: t for k, _, t in found.found}
    assert "person_without_paper" not in kinds
    assert kinds["instrument_without_paper"].startswith("1 test with X-1")
    assert by.format(1, "2025-02-28") in found.why


def test_papers_are_asked_for_again_by_the_owner(tmp_path):
    rules = "".join(
        decision(n, "2025-02-01", "papers not asked", f"{whose},none on record")
        for n, whose in ((1, "person"), (2, "instrument"))
    )
    rules += decision(3, "2025-02-02", "papers asked", "person,none on record")
    found = stood(tmp_path, OLD, rules)
    _, later, first = found.rows
    assert later.person_paper == f"none on record, {OUT}"
    by = "counts by decision D-{} of 2025-02-01, papers not asked"
    assert first.person_paper == f"none named, {by.format(1)}"
    assert first.instrument_paper == f"none named, {by.format(2)}"
    assert later.why_not.startswith("no qualification of the person is on record")
    assert (first.counts, later.counts) == (True, False)


@pytest.mark.parametrize(
    ("who", "what", "paper"),
    [
        ("T1", "RF-2", "no qualification of the person is on record"),
        ("", "RF-2", "no person is named"),
        ("T2", "X-1", "no certificate of the instrument is on record"),
        ("T2", "", "no instrument is named"),
    ],
)
def test_leaving_a_paper_out_is_no_way_past_it(tmp_path, who, what, paper):
    found = stood(tmp_path, SHORT + row("2025-05-02", who, what))
    assert found.summary.startswith("Shorted")
    assert not found.rows[0].counts
    assert found.rows[0].why_not.startswith(paper)


def test_papers_are_not_asked_for_by_the_owner(tmp_path):
    let = decision(1, "2025-07-01", "papers not asked", "person,ended")
    found = stood(tmp_path, SHORT + LAPSED, let)
    assert found.summary.startswith("Isolating")
    told = "ended, counts by decision D-1 of 2025-07-01, papers not asked"
    assert found.rows[0].person_paper == told
    assert "person_lapsed" not in {k for k, _, _ in found.found}


def test_an_exception_about_a_person_lets_a_test_count_and_is_shown(tmp_path):
    accepted = decision(1, "2025-09-01", "accepted exception", "person,T2")
    found = stood(tmp_path, SHORT + LAPSED, accepted)
    assert found.summary.startswith("Isolating")
    told = "ended, counts by accepted exception D-1 of 2025-09-01"
    assert found.rows[0].person_paper == told
    (says,) = [t for k, _, t in found.found if k == "person_lapsed"]
    assert "counts by accepted exception D-1 (a reason)" in says


def test_a_load_ends_by_telling_what_lacks_a_paper(tmp_path):
    site = opened(tmp_path, SHEETS, tried=True)
    tests = HEAD + LAPSED + row("2025-05-01", "T2", "RF-2")
    report = sent(site, {"tests.csv": tests}, FIRST + dt.timedelta(days=60))
    told = {t.id: t.values for t in report.unanswered.told}
    assert told["unanswered.no_paper"] == {"count": 1, "of": 3}
    site.register.close()
