"""New tags that are easily taken for another wait, with the one that may be meant."""

import datetime as dt

import pytest

from jointmap.changes.change import Change
from jointmap.changes.change_joint import rename
from jointmap.changes.decide_held import decide
from jointmap.errors import WrongUse
from jointmap.storage.known import ALWAYS_FEW
from tests.opened_site import FIRST, opened, sent, waiting_lines

LATER = FIRST + dt.timedelta(days=60)
HEAD = "tag,boundary,area,state\n"


def joints(*tags):
    return {"joints.csv": HEAD + "".join(f"{t},B-1,East,planned\n" for t in tags)}


@pytest.fixture
def site(tmp_path):
    site = opened(tmp_path, joints("IJ-007", "3-4", "12000", "MAR-9"))
    assert waiting_lines(site) == []
    yield site
    site.register.close()


def held(report):
    return [(p.id, p.column, p.value, p.values.get("near", "")) for p in report.held]


@pytest.mark.parametrize(
    ("tag", "near"),
    [
        ("IJ-OO7", "IJ-007"), ("lJ-007", "IJ-007"), ("1J-007", "IJ-007"),
        ("IJ007", "IJ-007"), ("IJ 007", "IJ-007"), ("IJ_007", "IJ-007"),
        ("IJ\u2013007", "IJ-007"), ("IJ-7", "IJ-007"), ("IJ-07", "IJ-007"),
        ("4-Mar", "3-4"), ("9-Mar", "MAR-9"), ("1.20E+04", "12000"), ("J1", "J-1"),
        ("\uff2a\uff11", "J-1"),
    ],
)  # fmt: skip
def test_waits_with_the_joint_that_may_be_meant(site, tag, near):
    report = sent(site, joints(tag), LATER)
    assert not report.refused
    assert held(report) == [("row.like_tag", "tag", tag, near)]
    assert f"did you mean {near}?" in waiting_lines(site)[0]
    assert f"Proposed: {near}" in waiting_lines(site)[0]
    # The same row again asks nothing new.
    assert sent(site, joints(tag), LATER).is_clean


@pytest.mark.parametrize("tag", ["5-Apr", "1E5"])
def test_waits_without_one(site, tag):
    report = sent(site, joints(tag), LATER)
    assert held(report) == [("row.spreadsheet_tag", "tag", tag, "")]


@pytest.mark.parametrize("tag", ["#REF!", "n/a", "-"])
def test_what_is_no_tag_is_refused(site, tag):
    report = sent(site, joints("IJ-008", tag), LATER)
    assert [(p.id, p.line, p.column, p.value) for p in report.refused] == [
        ("row.no_tag", 3, "tag", tag)
    ]
    with pytest.raises(WrongUse):
        rename(site, "IJ-007", tag, Change(LATER.date(), LATER, "T1", "renumbered"))


def test_other_tags_do_not_wait(site):
    assert sent(
        site, joints("IJ-008", "IJ-0-7", "IJ-17", "13000", "MAR-8"), LATER
    ).is_clean


def test_what_is_longer_than_any_tag_is_not_looked_for(site):
    long = "1A" * 4_900
    assert sent(site, joints(f"X-0{long}", f"X-{long}"), LATER).is_clean


def test_an_older_name_is_met_as_well(site):
    rename(site, "IJ-007", "KP-1", Change(LATER.date(), LATER, "T1", "renumbered"))
    report = sent(site, joints("IJ-O07"), LATER + dt.timedelta(days=1))
    assert held(report) == [("row.like_tag", "tag", "IJ-O07", "IJ-007")]


def test_two_of_one_delivery(site):
    report = sent(site, joints("IJ-201", "IJ-2O1"), LATER)
    assert held(report) == [("row.like_tag", "tag", "IJ-2O1", "IJ-201")]


def test_of_many_in_one_delivery(site):
    many = [f"X-{n}" for n in range(1000, 1002 + ALWAYS_FEW)]
    report = sent(site, joints(*many, "IJ-7", "X-IOOO"), LATER)
    assert held(report) == [
        ("row.like_tag", "tag", "IJ-7", "IJ-007"),
        ("row.like_tag", "tag", "X-IOOO", "X-1000"),
    ]


def decided(site, *, accept):
    number = int(waiting_lines(site)[0].split()[0])
    reason = "looked at both"
    return decide(site, number, now=LATER, by="T1", reason=reason, accept=accept)


def test_a_joint_of_its_own_by_decision(site):
    sent(site, joints("IJ-7"), LATER)
    with pytest.raises(WrongUse) as refused:
        decided(site, accept=True)
    (problem,) = refused.value.problems
    assert problem.values == {"tag": "IJ-7", "near": "IJ-007"}
    decided(site, accept=False)
    assert waiting_lines(site) == []
    assert sent(site, joints("IJ-7"), LATER + dt.timedelta(days=1)).is_clean


def test_what_a_spreadsheet_made_names_no_other(site):
    sent(site, joints("5-Apr"), LATER)
    with pytest.raises(WrongUse) as refused:
        decided(site, accept=True)
    assert refused.value.problems[0].values["near"] == "another joint"
