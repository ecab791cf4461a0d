"""Tests whose own parts, place or sources cannot be as they were written down."""

import datetime as dt

import pytest

from jointmap.acceptance import REASONS
from jointmap.changes.change import Change
from jointmap.changes.revise import revise
from jointmap.errors import Refused
from jointmap.wording import say
from tests.opened_site import FIRST, opened, sent, shown

LATER = FIRST + dt.timedelta(days=90)
SECOND = {
    "structures.csv": "name,kind,is_protected\nS2,pipeline section,yes\n",
    "boundaries.csv": "name,structure_a,structure_b,purpose\nB-2,S1,S2,sectioning\n",
    "joints.csv": "tag,boundary,area,state\nJ-9,B-2,East,in duty\n",
    "devices.csv": "joint,fitted_on,kind,layout\nJ-9,2020-01-05,flange kit,two-side\n",
    "test_points.csv": "name,joint\nTP-1,J-1\nTP-9,J-9\nTP-0,\nTP-X,J-9\n",
    "leads.csv": "test_point,colour,side,structure,state,proved_on\n"
    + "".join(
        f"{tp},red,A,{a},sound,2020-01-05\n{tp},blue,B,{b},sound,2020-01-05\n"
        for tp, a, b in [
            ("TP-1", "", ""),
            ("TP-9", "S1", "S2"),
            ("TP-0", "S1", ""),
            ("TP-X", "S1", "Plant"),
        ]
    ),
}
HEAD = "scope,joint,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
HEAD += (
    "interrupted_side,sources_cycling,cycles,test_point,reading,indication,stud,side\n"
)
START = "2026-03-11,potential-shift,routine,measured"
VOLTS = "-1.20 V,-0.90 V,-0.55 V,-0.55 V"


def row(place="joint,J-1,", start=START, volts=VOLTS, cycling="R1", end=",,,,"):
    return f"{place},{start},{volts},A,{cycling},10,{end}\n"


def told(problems):
    return [(p.id, p.column, p.value) for p in problems]


def loaded(site, *rows):
    report = sent(site, {"tests.csv": HEAD + "".join(rows)}, LATER)
    return told(report.refused), told(report.held)


@pytest.mark.parametrize("point", ["TP-1", "TP-X", "TP-9", "TP-0"])
@pytest.mark.parametrize("place", ["joint,J-1,", "boundary,,B-1"])
def test_a_test_point_belongs_to_the_boundary_it_reads(tmp_path, place, point):
    site = opened(tmp_path, SECOND)
    refused, held = loaded(site, row(place, end=f"{point},,,,"))
    site.register.close()
    is_there = point in ("TP-1", "TP-X")
    assert refused == (
        [] if is_there else [("row.point_elsewhere", "test_point", point)]
    )
    assert held == []


@pytest.mark.parametrize(
    ("volts", "wrong"),
    [
        ("-940 V,-0.90 V,-0.55 V,-0.55 V", ["a_on"]),
        ("-1.2 V,-0.9 V,10.1 V,-0.55 V", ["b_on"]),
        ("-9.9 V,-9.5 V,-9.9 V,-9.9 V", []),
    ],
)
def test_a_potential_of_more_than_some_volts_is_refused(tmp_path, volts, wrong):
    site = opened(tmp_path)
    refused, held = loaded(site, row(volts=volts))
    site.register.close()
    assert held == []
    assert [(id_, column) for id_, column, _ in refused] == [
        ("cell.beyond", column) for column in wrong
    ]


def test_a_potential_of_940_volt_is_no_correction(tmp_path):
    site = opened(tmp_path)
    change = Change(LATER.date(), LATER, "T1", "as written")
    with pytest.raises(Refused) as refused:
        revise(site, "test", "J-1 potential-shift", {"a_on": "-940 V"}, change)
    site.register.close()
    assert told(refused.value.problems) == [("cell.beyond", "a_on", "-940 V")]


SOURCES = "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n"
SOURCES += "R4,S4,rectifier,yes\n"
OTHER = "name,kind,is_protected\nS4,pipeline section,yes\n"


@pytest.mark.parametrize(
    ("cycling", "steady", "reason"),
    [
        ("R1", "", "shift_isolating"),
        ("R1;R4", "", "shift_isolating"),
        ("portable source on S1", "R1", "shift_isolating"),
        ("R4", "R1", "near_side_steady"),
        ("none", "R1", "near_side_steady"),
        ("portable source on Plant", "R1", "near_side_steady"),
        ("R4", "", "sources_not_named"),
    ],
)
def test_what_cycled_feeds_the_side_that_was_interrupted(
    tmp_path, cycling, steady, reason
):
    site = opened(tmp_path, {"structures.csv": OTHER, "sources.csv": SOURCES})
    text = HEAD.replace("cycles,", "cycles,sources_steady,", 1)
    text += row(cycling=cycling).replace(",10,", f",10,{steady},")
    sent(site, {"tests.csv": text}, LATER)
    with shown(site) as showing:
        found = showing.assessed
        (at,) = (found.tests.tested_on == dt.date(2026, 3, 11)).nonzero()[0].tolist()
        told_reason = REASONS[found.judgements.reason[at]]
    site.register.close()
    assert told_reason == f"verdict.{reason}"


ODDS = [
    (",0.001 ohm,short,,", None, "", ""),
    (",,short,,", "row.at_odds", "indication", "short"),
    (",0.001 ohm,no short,,", "row.at_odds", "indication", "no short"),
    (",0.001 ohm,,,", None, "", ""),
    (",> 5 kohm,short,,", "row.at_odds", "indication", "short"),
    (",> 5 kohm,no short,,", None, "", ""),
    (",30 ohm,unclear,,", None, "", ""),
]


@pytest.mark.parametrize(("end", "id_", "column", "value"), ODDS)
def test_a_test_that_contradicts_itself_waits(tmp_path, end, id_, column, value):
    site = opened(tmp_path)
    # A shift reads no resistance.
    method = "ohmmeter" if "ohm" in end else "potential-shift"
    start = START.replace("potential-shift", method)
    refused, held = loaded(site, row(start=start, end=end))
    site.register.close()
    assert refused == []
    assert held == ([] if id_ is None else [(id_, column, value)])


def test_a_short_shift_is_at_odds_with_no_short_and_a_small_one_with_neither(tmp_path):
    site = opened(tmp_path)
    start = START.replace("03-11", "03-12")
    refused, held = loaded(
        site,
        row(volts="-1.2 V,-0.9 V,-0.85 V,-0.6 V", end=",,no short,,"),
        row(start=start, volts="-1.2 V,-0.9 V,-0.65 V,-0.6 V", end=",,no short,,"),
    )
    site.register.close()
    assert (refused, held) == ([], [("row.at_odds", "indication", "no short")])


def test_a_visit_behind_a_locked_gate_has_no_reading(tmp_path):
    site = opened(tmp_path)
    start = START.replace("measured", "gate locked")
    _, held = loaded(site, row(start=start))
    site.register.close()
    assert held == [("row.no_visit", "outcome", "gate locked")]


@pytest.mark.parametrize(
    ("place", "end", "columns"),
    [
        ("joint,J-1,", ",,,3,A", ["stud", "side"]),
        ("boundary,,B-1", ",,,,B", ["side"]),
        ("boundary,,B-1", ",,,2,", ["stud"]),
    ],
)
def test_a_stud_or_a_side_of_a_whole_is_refused(tmp_path, place, end, columns):
    site = opened(tmp_path)
    refused, _ = loaded(site, row(place, end=end))
    site.register.close()
    assert [(id_, column) for id_, column, _ in refused] == [
        ("row.part", column) for column in columns
    ]


def test_each_sentence_says_what_would_be_accepted():
    facts = {"scope": "joint", "accepted": "stud", "boundary": "B-1", "joint": "J-9"}
    assert "accepted: an empty cell, or scope stud" in say("row.part", facts)
    assert "accepted: a test point at a joint of B-1" in say(
        "row.point_elsewhere", facts
    )
