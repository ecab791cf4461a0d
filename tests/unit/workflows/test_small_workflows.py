"""Corrections, what is missing, what merges, pages written, what a load reports."""

import datetime as dt

import pytest

from jointmap.assessment.merged import merged_with, merges_if_shorted
from jointmap.changes.load import load
from jointmap.changes.telling import told
from jointmap.errors import Refused, WrongUse
from jointmap.findings.missing import missing_of
from jointmap.pages.dossier.corrections import corrections_of
from jointmap.pages.shown_tests import ShownTests
from jointmap.wording import say
from tests.opened_site import FIRST, findings, opened, sent, shown
from tests.small_site import write


def joint_id(showing, tag):
    return next(i for i, j in showing.joints.items() if j.tag == tag)


CORRECTION = {
    "joints.csv": "tag,boundary,area,state,correction_reason\n"
    "J-1,B-1,West,in duty,fence moved\n",
    "devices.csv": "joint,fitted_on,kind,stud_count,correction_reason\n"
    "J-1,2020-01-05,flange kit,12,counted\n",
    "positions.csv": "subject,name,latitude,longitude,correction_reason\n"
    "joint,J-1,31.4002,-41.9,surveyed\n",
    "boundaries.csv": "name,structure_a,structure_b,purpose,correction_reason\n"
    "B-1,S1,Plant,sectioning,drawing\n",
}


def test_corrections_say_old_new_who_and_why(tmp_path):
    site = opened(tmp_path, CORRECTION)
    with shown(site) as showing:
        rows = corrections_of(showing, joint_id(showing, "J-1"))
        other = corrections_of(showing, joint_id(showing, "J-2"))
    told_of = {(r.what, r.old, r.new, r.why) for r in rows}
    assert {
        ("joint: area", "East", "West", "fence moved"),
        ("device: stud count", "8", "12", "counted"),
        ("boundary: purpose", "protection", "sectioning", "drawing"),
    } <= told_of
    assert {w for w, *_ in told_of} >= {
        "position: latitude deg",
        "position: captured y",
    }
    assert {(r.who, r.recorded_on) for r in rows} == {("T1", dt.date(2026, 2, 9))}
    assert {r.what for r in other} == {"boundary: purpose"}


def test_no_corrections_before_they_were_made(tmp_path):
    site = opened(tmp_path, CORRECTION)
    with shown(site, known=dt.date(2026, 2, 8)) as showing:
        assert corrections_of(showing, joint_id(showing, "J-1")) == ()


@pytest.mark.parametrize(
    ("more", "tag", "said", "silent"),
    [
        ({}, "J-1", "installation record", "position"),
        ({}, "J-2", "severity of service", "position"),
        ({"joints.csv": "tag,boundary,area,state\nJ-5,B-1,East,in duty\n"},
         "J-5", "position", "lubricant"),
        ({"installations.csv": "joint,device_fitted_on,installed_on\n"
          "J-1,2020-01-05,2020-01-05\n"}, "J-1", "lubricant", "position"),
    ],
)  # fmt: skip
def test_what_is_not_on_record(tmp_path, more, tag, said, silent):
    site = opened(tmp_path, *([more] if more else []))
    with shown(site) as showing:
        found = missing_of(showing, ShownTests(showing), joint_id(showing, tag))
    text = " | ".join(map(say, found)).lower()
    assert said in text
    assert silent not in text


PATHS = "name,boundary,kind,state\nP-1,B-1,{kind},{state}\n"
THIRD = {
    "structures.csv": "name,kind,is_protected\nGrid,earth grid,no\n",
    "boundaries.csv": "name,structure_a,structure_b,purpose\n"
    "B-2,Plant,Grid,protection\n",
}


@pytest.mark.parametrize(
    ("kind", "state", "merged"),
    [
        ("bond on purpose", "joining", True),
        ("temporary bond", "joining", True),
        ("temporary bond", "apart", False),
        ("surge protective device", "apart", False),
    ],
)
def test_structures_that_are_one(tmp_path, kind, state, merged):
    paths = {"paths.csv": PATHS.format(kind=kind, state=state)}
    site = opened(tmp_path, {**THIRD, **paths})
    with shown(site) as showing:
        ids = {b.name: i for i, b in showing.boundaries.items()}
        names = {showing.structure(i) for i in merged_with(showing, ids["B-1"])}
        what_if = {showing.structure(i) for i in merges_if_shorted(showing, ids["B-2"])}
        assert merged_with(showing, ids["B-2"]) == []
    assert names == ({"S1", "Plant"} if merged else set())
    assert what_if == ({"S1", "Plant", "Grid"} if merged else {"Plant", "Grid"})


def test_report_of_a_load(tmp_path):
    site = opened(tmp_path)
    rows = "tag,boundary,area,state,latitude,longitude,correction_reason\n"
    rows += "J-1,B-1,West,in duty,31.4,-41.9,moved\n"
    rows += "J-2,B-1,West,in duty,31.4001,-41.9001,\n"
    rows += "J-3,B-1,East,in duty,91,-41.9,\nJ-4,B-8,East,in duty,,,\n"
    report = sent(site, {"joints.csv": rows}, FIRST + dt.timedelta(days=5))
    assert dict(report.revised) == {"joint": 1}
    assert dict(report.accepted) == {"joint": 1, "position": 1}
    assert dict(report.unchanged) == {"position": 2}
    assert [(p.line, p.column) for p in report.held] == [(3, "area"), (4, "position")]
    assert [(p.line, p.column) for p in report.refused] == [(5, "boundary")]
    assert not report.is_clean
    counts, next_one = list(told(report, site.path))[-2:]
    assert next_one == "next: mend the rows that were refused, and load them again"
    assert counts == (
        "2 new, 1 corrected, 2 known already, 2 awaiting a decision, 1 refused"
    )


def test_the_same_doubt_waits_once(tmp_path):
    rows = {"joints.csv": "tag,boundary,area,state\nJ-1,B-1,West,in duty\n"}
    site = opened(tmp_path, rows)
    with site.register.read() as state:
        before = state.last.fingerprint
    report = sent(site, rows, FIRST + dt.timedelta(days=30))
    assert len(report.held) == 1
    with site.register.read() as state:
        assert state.last.fingerprint == before


def test_a_folder_without_sheets_and_a_nameless_load(tmp_path):
    site = opened(tmp_path)
    empty = write(tmp_path / "empty", {".hidden.csv": "x", "delivery.toml": "x"})
    with pytest.raises(WrongUse):
        load(site, [empty], now=FIRST, by="T1", reason="r")
    for who in (("", "r"), ("T1", " "), ("T1", "\u200b")):
        with pytest.raises(WrongUse) as refused:
            load(site, [empty], now=FIRST, by=who[0], reason=who[1])
        assert refused.value.problems[0].id == "load.nameless"


def test_older_name_of_a_joint_is_taken(tmp_path):
    alias = {"aliases.csv": "joint,name\nJ-1,Old-1\n"}
    site = opened(tmp_path, alias)
    rows = "joint,device_fitted_on,installed_on\nOld-1,2020-01-05,2020-01-05\n"
    report = sent(site, {"installations.csv": rows}, FIRST + dt.timedelta(days=60))
    assert (dict(report.accepted), report.refused) == ({"installation": 1}, [])


def test_a_file_fault_lists_every_file(tmp_path):
    site = opened(tmp_path)
    with pytest.raises(Refused) as refused:
        sent(site, {"joints.csv": "", "nonsense.csv": "a\n", "tests.csv": "b\n"})
    files = {p.file for p in refused.value.problems}
    assert files == {"joints.csv", "nonsense.csv", "tests.csv"}


LAPSED = {
    "instruments.csv": "name,kind\nM-1,meter\n",
    "certificates.csv": "instrument,number,valid_from_on,valid_until_on\n"
    "M-1,c1,2024-01-01,2024-12-31\n",
    "tests.csv": "scope,boundary,joint,source,tested_on,method,stage,outcome,reading,"
    "test_current,instrument\n"
    "boundary,B-1,,,2025-11-01,joint-resistance,routine,measured,2 ohm,,M-1\n"
    "source,,,R1,2025-11-01,source-output,routine,measured,,5 A,M-1\n",
    "sources.csv": "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n",
    "decisions.csv": "number,decided_on,kind,person,second_person,subject,subject_key,"
    "why\n"
    "D-1,2025-12-01,accepted exception,T1,A1,instrument,M-1,as found in tolerance\n",
}


def test_an_accepted_exception_is_told_with_each_lapsed_test(tmp_path):
    site = opened(tmp_path, LAPSED)
    told_of = {at: t for kind, at, t in findings(site) if kind == "instrument_lapsed"}
    assert set(told_of) == {"B-1", "source"}
    assert all(
        "accepted exception D-1 is not by another person than the tester" in t
        for t in told_of.values()
    )


def test_correction_of_a_fitting_record_belongs_to_its_joint(tmp_path):
    head = "joint,device_fitted_on,installed_on,torque_target"
    row = "J-1,2020-01-05,2020-01-05"
    site = opened(
        tmp_path,
        {"installations.csv": f"{head}\n{row},200 N·m\n"},
        {"installations.csv": f"{head},correction_reason\n{row},271 N·m,leaflet\n"},
    )
    with shown(site) as showing:
        rows = corrections_of(showing, joint_id(showing, "J-1"))
        other = corrections_of(showing, joint_id(showing, "J-2"))
    assert [(r.what, r.why) for r in rows] == [
        ("installation: torque target", "leaflet")
    ]
    assert other == ()
