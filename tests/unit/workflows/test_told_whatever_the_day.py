"""What is to be said of a known value is said on every day that shows the value."""

import datetime as dt

import pytest

from jointmap.changes.change import Change
from jointmap.changes.revise import revise
from jointmap.changes.see_change import see
from jointmap.workflows.defer import Asked, defer
from jointmap.workflows.findings_listed import Wanted, found_shown
from tests.opened_site import FIRST, findings, opened, sent, text_of
from tests.storage.samples import DAY

PEOPLE = "code,role\nE1,integrity engineer\nP1,planner\n"
DECIDED = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
HIRED = f"{DECIDED}D-E1,2026-01-10,role given,T1,A1,person,E1,hired\n"
LATER = FIRST + 100 * DAY
BEFORE = dt.date(2026, 3, 15)  # asked about; the correction is of 2026-04-20


@pytest.fixture
def site(tmp_path):
    made = opened(tmp_path, {"people.csv": PEOPLE, "decisions.csv": HIRED})
    yield made
    made.register.close()


def change(by, second="", now=LATER):
    return Change(now.date(), now, by, "a reason", second)


def told(site, kind, on):
    return [f[2] for f in findings(site, on) if f[0] == kind]


def test_a_correction_of_a_later_day_is_told_on_every_day(site):
    revise(site, "test", "2025-03-01", {"tested_on": "2026-01-03"}, change("P1"))
    (found,) = told(site, "correction_unseen", BEFORE)
    assert "entry 3 of 2026-04-20 by P1" in found
    text = text_of(found_shown(site, Wanted(), on=BEFORE, known=LATER.date())[0])
    assert "no second person has seen it" in text
    earlier = (LATER - DAY).date()
    text = text_of(found_shown(site, Wanted(), on=BEFORE, known=earlier)[0])
    assert "P1 corrected" not in text
    see(site, 3, change("A1", now=LATER + DAY))
    assert told(site, "correction_unseen", BEFORE) == []


@pytest.mark.parametrize(
    ("on", "is_told"),
    [
        (dt.date(2025, 2, 28), False),  # the test is not there, before and after
        (dt.date(2025, 3, 1), True),  # it was there, and is no more
        (dt.date(2026, 1, 2), True),
        (dt.date(2026, 1, 3), True),
    ],
)
def test_a_test_that_was_put_on_a_later_day_is_told_from_its_first(site, on, is_told):
    revise(site, "test", "2025-03-01", {"tested_on": "2026-01-03"}, change("P1"))
    assert bool(told(site, "correction_unseen", on)) is is_told


def test_a_rule_put_on_a_later_day_is_told_on_the_days_it_held_before(site):
    held = "cfr-192.465a-joint 2020-01-01"
    revise(site, "rule", held, {"from_on": "2026-04-01"}, change("T1", "A1"))
    says = "entry 3 of 2026-04-20 by T1 changed 1 rule, limit"
    assert any(says in f for f in told(site, "law_unseen", BEFORE))
    assert not any(says in f for f in told(site, "law_unseen", dt.date(2019, 1, 1)))


def test_who_may_approve_now_is_told_on_every_day(site):
    assert any(
        "changed who may approve (E1: integrity engineer" in f
        for f in told(site, "law_unseen", dt.date(2025, 6, 1))
    )


def test_a_deferral_is_told_from_its_own_day(site):
    asked = Asked("J-2", "joint", "head", dt.date(2026, 6, 30))
    change_ = change("E1", "A1")
    defer(site, asked, change_)
    assert told(site, "by_one", BEFORE) == []


ENDED = {
    "joints.csv": (
        "tag,boundary,area,state,in_duty_on,out_of_duty_on,correction_reason\n"
        "J-2,B-1,East,removed,2020-01-10,{},rerouted\n"
    ),
    "decisions.csv": f"{DECIDED}D-7,2026-04-19,released,E1,A1,joint,J-2,rerouted\n",
}
JOINED = {
    "boundaries.csv": (
        "name,structure_a,structure_b,purpose,joined_by,joined_from_on,"
        "correction_reason\nB-1,S1,Plant,protection,head,{},agreed\n"
    ),
    "decisions.csv": (
        f"{DECIDED}D-7,2026-04-19,joined on purpose,E1,A1,boundary,B-1,agreed\n"
    ),
}


@pytest.mark.parametrize("sheets", [ENDED, JOINED], ids=["ended", "joined"])
@pytest.mark.parametrize(
    ("holds_from", "is_told"), [("2026-03-15", True), ("2026-03-16", False)]
)
def test_what_was_decided_later_is_told_from_where_it_holds(
    site, sheets, holds_from, is_told
):
    ready = {name: text.format(holds_from) for name, text in sheets.items()}
    assert sent(site, ready, LATER).is_clean
    found = told(site, "by_one", BEFORE)
    assert bool([f for f in found if "D-7 of 2026-04-19" in f]) is is_told
