"""A technician tries each kind by delivery, and every act: refused, nothing changed."""

import shutil
from pathlib import Path

import pytest

from tests.command_line import jointmap, with_site
from tests.small_site import kept, write

# As in a hostile sheet: with a reason, dated back, under an old decision's name.
RULES = (
    "name,from_on,shape,basis,subject,years,months,source,mark,decision,"
    "correction_reason\n"
)
RULE = "cfr-192.465a-joint,2020-01-01,calendar years,law,joint,1,120,x,seen,{},typo\n"
LIMITS = "name,from_on,method,role,value,unit,source,mark,decision,correction_reason\n"
LIMIT = "{},2020-01-01,potential-shift,shorted above,90,%,x,seen,D-1,typo\n"
DECIDED = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
PEOPLE = "code,role,correction_reason\n"
TRIED = {
    "this_site": ("this_site.toml",
        'code = "SML"\nname = "Small site"\nreach = "9 km"\n'
        'time_zone = "Atlantic/Azores"\nworking_crs = "EPSG:32624"\n'
        'correction_reason = "typo"\n'),
    "raise himself": ("people.csv", f"{PEOPLE}W1,register keeper,promoted\n"),
    "a friend": ("people.csv", f"{PEOPLE}Z9,auditor,\n"),
    "a paper of his own": ("qualifications.csv",
        "person,task,valid_from_on,valid_until_on\nW1,test,2020-01-01,2030-01-01\n"),
    "a meter": ("instruments.csv", "name,kind\nM-9,tester\n"),
    "a structure": ("structures.csv",
        "name,kind,is_protected,correction_reason\nS1,pipeline section,no,typo\n"),
    "a purpose": ("boundaries.csv",
        "name,structure_a,structure_b,purpose,correction_reason\n"
        "B-1,S1,Plant,not stated,typo\n"),
    "out of duty": ("joints.csv",
        "tag,boundary,area,state,out_of_duty_on,correction_reason\n"
        "J-1,B-1,East,out of duty,2020-02-01,typo\n"),
    "another name": ("aliases.csv", "joint,name\nJ-1,J-2b\n"),
    "a device": ("devices.csv",
        "joint,fitted_on,kind,layout,correction_reason\n"
        "J-1,2020-01-05,flange kit,one-side-a,typo\n"),
    "a bond": ("paths.csv",
        "name,boundary,kind,state\nBP-1,B-1,bond on purpose,joining\n"),
    "a test": ("tests.csv",
        "scope,joint,tested_on,method,stage,outcome,a_on,correction_reason\n"
        "joint,J-1,2025-03-01,potential-shift,routine,measured,-1.30 V,typo\n"),
    "a rule": ("rules.csv", RULES + RULE.format("D-1")),
    "a proposed rule": ("rules.csv", (RULES + RULE.format("")).replace(",typo", ",")),
    "a limit": ("limits.csv", LIMITS + LIMIT.format("Shift ratio shorted 0.50")),
    "an own limit": ("limits.csv", LIMITS + LIMIT.format("Own")),
    "a set": ("adopted.csv",
        "catalogue,name,from_on,decision\nlimits,AC stop 15 V,2020-01-01,D-1\n"),
    "a model": ("adopted.csv",
        "catalogue,name,from_on\nmodels,default-prior,2020-01-01\n"),
    "an exception": ("decisions.csv",
        f"{DECIDED}D-9,2025-03-01,accepted exception,E1,A1,joint,J-1,fine\n"),
    "the same twice": ("decisions.csv",
        f"{DECIDED}D-9,2025-03-01,accepted exception,W1,W1,joint,J-1,fine\n"),
    "a crew": ("crews.csv", "name,persons,depot,day_from,day_until,working_days\n"
        "C,2,Gate,07:00,15:00,Mon\n"),
}  # fmt: skip
BY_W1 = ("--by", "W1", "--reason", "a reason")
DECIDED_THEN = ("--day", "2026-05-15", "--authority", "me")
ACTS = [
    ("change", "defer", "J-2", "--until", "2026-06-01", *DECIDED_THEN),
    ("change", "retire", "J-2", "--how", "left, bonded"),
    ("change", "retire", "J-2", "--how", "cut out"),
    ("change", "join", "B-1", "--authority", "me"),
    ("change", "rename", "J-2", "J-9"),
    (
        "change",
        "correct",
        "rule",
        "cfr-192.465a-joint 2020-01-01",
        "--set",
        "months=90",
    ),
    ("change", "correct", "person", "W1", "--set", "role=register keeper"),
    ("change", "correct", "test", "J-1", "--set", "a_on=-1.3 V"),
    ("model", "learn", "--adopt"),
    ("change", "seen", "1"),
    ("waiting", "--accept", "1"),
]


@pytest.fixture(scope="module")
def staffed(loaded, tmp_path_factory):
    """The small site with a technician W1, an engineer E1, and a value that waits."""
    site = Path(shutil.copytree(loaded, tmp_path_factory.mktemp("staff") / "site"))
    sheets = {
        "people.csv": "code,role\nW1,field technician\nE1,integrity engineer\n",
        "decisions.csv": f"{DECIDED}D-2,2025-03-01,role given,T1,A1,person,E1,hired\n"
        "D-1,2020-01-01,adopted,T1,A1,site,SML,old\n",
        "joints.csv": "tag,boundary,area,state\nJ-1,B-1,West,in duty\n",
    }
    who = ("--by", "T1", "--reason", "staff")
    ran = jointmap("load", site, write(site.parent / "staff", sheets), *who)
    assert ran.code == 1, ran.said
    assert ran.out.startswith(
        "people.csv, line 3: roles: E1 is integrity engineer from now on and may"
        " approve\nnew: 2 person, 2 decision\n"
    )
    return site


def answers(site):
    """Return verdicts of the boundaries and every date."""
    day = ("--on", "2026-05-15")
    return [jointmap(c, site, *day).out.splitlines()[1:] for c in ("due", "boundary")]


def sent(site, folder, tried):
    name, text = TRIED[tried]
    folder.mkdir()
    (folder / name).write_text(text, encoding="utf-8")
    return ("load", site, folder, "--rules", *BY_W1)


@pytest.mark.parametrize("tried", TRIED)
def test_a_technician_s_delivery_of_each_kind(staffed, tmp_path, tried):
    before = kept(staffed)
    ran = jointmap(*sent(staffed, tmp_path / "sent", tried))
    assert (ran.code, ran.out) == (3, ""), ran.said
    assert "W1 (field technician) may not" in ran.err
    assert "roles that may: register keeper, integrity engineer" in ran.err
    assert ", line " in ran.err
    assert kept(staffed) == before


@pytest.mark.parametrize("tried", ["raise himself", "a limit", "an exception"])
def test_a_refused_delivery_changes_no_answer(staffed, tmp_path, tried):
    before, told = kept(staffed), answers(staffed)
    ran = jointmap(*sent(staffed, tmp_path / "sent", tried))
    assert (ran.code, "may not" in ran.err, kept(staffed)) == (3, True, before)
    assert answers(staffed) == told


@pytest.mark.parametrize("act", ACTS, ids=" ".join)
def test_a_technician_s_acts(staffed, act):
    before = kept(staffed)
    two = ("--second", "A1") if {"seen", "waiting", "rename"}.isdisjoint(act) else ()
    ran = jointmap(*with_site(act, staffed), *BY_W1, *two)
    assert ran.code == 3, ran.said
    assert "W1 (field technician) may not" in ran.err
    assert kept(staffed) == before


@pytest.mark.parametrize(
    ("second", "code", "says"),
    [
        ((), 3, "asks for two different persons; name a second (--second CODE"),
        (("--second", "E1"), 3, "both are the same; accepted as second person: A1, T1"),
        (("--second", "W1"), 3, "roles that may: register keeper"),
        (("--second", "Q"), 2, "'Q' is no person on record"),
        (("--second", "A1"), 0, "put off until"),
    ],
)
def test_the_second_person_of_a_deferral(staffed, tmp_path, second, code, says):
    site = Path(shutil.copytree(staffed, tmp_path / "site"))
    day = ("--until", "2026-12-20", "--authority", "head")
    who = ("--by", "E1", "--reason", "flood")
    ran = jointmap("change", "defer", site, "J-2", *day, *who, *second)
    assert (ran.code, says in ran.said) == (code, True), ran.said


def test_a_deferral_without_end_is_refused(staffed):
    who = ("--by", "E1", "--reason", "x", "--second", "A1", "--authority", "me")
    ran = jointmap("change", "defer", staffed, "J-2", "--until", "2050-12-31", *who)
    assert ran.code == 3
    assert "a test is put off for at most 366 days; accepted: an end up to" in ran.err


def test_a_day_beyond_all_plans_is_refused(staffed):
    who = ("--by", "E1", "--reason", "x", "--second", "A1", "--authority", "me")
    ran = jointmap("change", "defer", staffed, "J-2", "--until", "9999-12-31", *who)
    assert ran.code == 3
    assert "value '9999-12-31': accepted: at least 1900-01-01 and at most" in ran.err


def test_rules_are_told_first_need_a_word_and_are_shown_until_seen(staffed, tmp_path):
    site = Path(shutil.copytree(staffed, tmp_path / "site"))
    limit = "Shift ratio shorted 0.50,2020-01-01,potential-shift,shorted above,90,%"
    sheets = {
        "limits.csv": f"{LIMITS}{limit},own,seen,D-9,edition 2\n",
        "decisions.csv": f"{DECIDED}D-9,2026-01-01,adopted,E1,A1,site,SML,edition 2\n",
    }
    words = ("load", site, write(tmp_path / "sent", sheets))
    who = ("--by", "E1", "--reason", "edition 2")
    before = kept(site)
    changes = "limits.csv, line 2: rules: limit 'Shift ratio shorted 0.50 2020-01-01'"
    for more in ((), ("--dry-run",)):
        ran = jointmap(*words, *who, *more)
        assert (ran.code, ran.out) == (3, "")
        assert ran.err.startswith("this delivery changes 1 rule, limit, model")
        assert f"{changes} changes: value 0.5 -> 0.9" in ran.err
    ran = jointmap(*words, *who, "--rules", "--dry-run")
    assert ran.out.startswith(changes)
    assert kept(site) == before
    *told, _ = ran.out.splitlines()
    *kept_so, _ = jointmap(*words, *who, "--rules").out.splitlines()
    assert kept_so == told  # but for what is next
    findings = jointmap("findings", site).out
    assert "entry 3 of" in findings
    assert "jointmap change seen SITE 3" in " ".join(findings.split())
    for by in ("E1", "W1"):
        assert (
            jointmap("change", "seen", site, 3, "--by", by, "--reason", "fine").code
            == 3
        )
    told = jointmap("change", "seen", site, 3, "--by", "T1", "--reason", "compared")
    assert told.out == "entry 3: its changes were seen by T1\n"
    assert (
        jointmap("change", "seen", site, 3, "--by", "T1", "--reason", "compared").code
        == 2
    )
    assert "entry 3 of" not in jointmap("findings", site).out


def test_a_site_run_by_one_person(tmp_path):
    from tests.small_site import SHEETS

    site, folder = tmp_path / "site", tmp_path / "sheets"
    jointmap("new", site, "--code", "SML")
    left_out = ("adopted.csv", "decisions_papers.csv")
    own = {k: v for k, v in SHEETS.items() if k not in left_out}
    number = "number,decided_on,kind,person,subject,subject_key,why\n"
    write(folder, {
        **own,
        "people.csv": "code,role\nT1,register keeper\n",
        "adopted.csv": SHEETS["adopted.csv"].replace("_on\n", "_on,decision\n")
        .replace("2020-01-01\n", "2020-01-01,D-1\n"),
        "decisions.csv": f"{number}D-0,2020-01-01,run by one person,T1,site,SML,small\n"
        "D-1,2020-01-01,adopted,T1,site,SML,first\n",
    })  # fmt: skip
    who = ("--by", "T1", "--reason", "alone")
    assert jointmap("load", site, folder, *who, "--rules").code == 0
    until = ("--until", "2026-12-20", "--authority", "me")
    assert jointmap("change", "defer", site, "J-2", *until, *who).code == 0
    assert jointmap("change", "join", site, "B-1", "--authority", "me", *who).code == 0
    alone = " ".join(jointmap("findings", site).out.split())
    assert "the site is run by one person, T1 (register keeper)" in alone
    assert "stands by one person, T1 (register keeper)" in alone
    assert "by me (by one person)" in jointmap("boundary", site, "B-1").out
    more = {
        "people.csv": "code,role\nA1,auditor\n",
        "decisions.csv": f"{number}D-2,2026-01-01,role given,T1,person,A1,hired\n",
    }
    assert jointmap("load", site, write(tmp_path / "a1", more), *who).code == 0
    assert jointmap("change", "join", site, "B-1", "--authority", "I", *who).code == 3
    entries = range(1, 5)
    for entry in entries:
        seen = ("--by", "A1", "--reason", "looked at")
        assert jointmap("change", "seen", site, entry, *seen).code == 0
    assert "by one person" not in " ".join(jointmap("findings", site).out.split())
