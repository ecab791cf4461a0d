"""A joint that was let go with a bond across it, and readings made elsewhere since.

J-1 and J-2 stand 15 m apart; J-3, which is let go, some 330 m from them.
"""

import datetime as dt

import pytest

from jointmap.changes.change import Change
from jointmap.changes.retire_joint import Way, retire
from jointmap.pages.boundary.page import boundary_text
from jointmap.workflows.why import why_text
from tests.opened_site import FIRST, findings, opened, sent, shown

ON = dt.date(2026, 5, 1)
GONE = dt.date(2026, 1, 20)
JOINTS = {
    "joints.csv": "tag,boundary,area,state,in_duty_on,latitude,longitude\n"
    "J-3,B-1,East,in duty,2020-01-10,31.403,-41.9\n",
    "devices.csv": "joint,fitted_on,kind,layout,stud_count\n"
    "J-3,2020-01-05,flange kit,two-side,8\n",
    "sources.csv": "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n",
}
HEAD = (
    "scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
    "interrupted_side,sources_cycling,cycles\n"
)
ROW = (
    "joint,{},{},potential-shift,routine,measured,{} V,-0.{} V,-0.55 V,-0.55 V,A,R1,5\n"
)
BEFORE = HEAD + ROW.format("J-3", "2026-01-05", -1.21, 91)
BEFORE += ROW.format("J-1", "2026-01-06", -1.22, 90)


@pytest.fixture
def site(tmp_path):
    found = opened(tmp_path, {**JOINTS, "tests.csv": BEFORE})
    change = Change(GONE, FIRST + dt.timedelta(days=40), "T1", "a reason", "A1")
    retire(found, "J-3", Way.BONDED, change)
    yield found
    found.register.close()


def read(site, joint, day):
    tests = HEAD + ROW.format(joint, day, -1.18, 88)
    sent(site, {"tests.csv": tests}, FIRST + dt.timedelta(days=60))


def said(site):
    return " ".join(boundary_text(site, "B-1", on=ON, known=None).split())


def test_the_bond_joins_since_its_day_whatever_is_good_elsewhere_later(site):
    assert "last good: 2026-01-06 first bad after it: 2026-01-20" in said(site)
    read(site, "J-1", "2026-02-02")
    assert (
        "last good: 2026-02-02 bad since: 2026-01-20; the good reading is of another "
        "place and does not reach what joins" in said(site)
    )


def test_a_good_reading_at_the_bond_contradicts_it_and_its_own_day_is_told(site):
    read(site, "J-3", "2026-02-02")
    told = [t for k, at, t in findings(site, ON) if k == "bond_contradicted"]
    (one,) = told
    assert one.startswith("read good on 2026-02-02, and on record as joining: ")


def test_beside_its_verdict_a_joint_that_was_let_go_bears_that(site):
    with shown(site, ON) as showing:
        notes = {j.tag: showing.joint_sign(i).note for i, j in showing.joints.items()}
    gone = "out of duty since 2026-01-20"
    assert notes == {"J-1": "", "J-2": "", "J-3": gone}
    with shown(site, GONE - dt.timedelta(days=1)) as showing:
        assert {showing.joint_sign(i).note for i in showing.joints} == {""}
    assert "nothing is due; J-3 is out of duty" in " ".join(
        why_text(site, "J-3", on=ON, known=None).split()
    )
