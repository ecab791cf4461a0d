"""What was removed, retired or renamed by one person, and days that do not fit it."""

import csv
import datetime as dt
import io

import pytest

from jointmap.changes.change import Change
from jointmap.changes.change_joint import rename, replace_device
from jointmap.changes.decide_held import decide
from jointmap.changes.retire_joint import retire
from jointmap.changes.revise import revise
from jointmap.changes.see_change import see
from jointmap.errors import WrongUse
from jointmap.workflows.late import late_shown
from tests.opened_site import FIRST, ON, findings, opened, sent
from tests.storage.samples import DAY

PEOPLE = "code,role\nE1,integrity engineer\nP1,planner\nC1,piping contractor\n"
DECIDED = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
HIRED = f"{DECIDED}D-E1,2026-01-10,role given,T1,A1,person,E1,hired\n"
LATER = FIRST + 100 * DAY  # 2026-04-20
TEST = (
    "scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off\n"
    "joint,J-1,{},potential-shift,routine,measured,-1.20 V,-0.90 V,-0.55 V,-0.55 V\n"
)
PATHS = (
    "name,boundary,kind,state,fitted_on{}\n"
    "TB-1,B-1,temporary bond,joining,2025-10-01{}\n"
)


@pytest.fixture
def site(tmp_path):
    made = opened(tmp_path, {"people.csv": PEOPLE, "decisions.csv": HIRED})
    yield made
    made.register.close()


def change(by, on="2026-04-20", second="", now=LATER):
    return Change(dt.date.fromisoformat(on), now, by, "a reason", second)


def told(site, kind, on=ON):
    return [f[2] for f in findings(site, on) if f[0] == kind]


def removed(site, on="2025-09-01"):
    revise(site, "device", "J-1 2020-01-05", {"removed_on": on}, change("P1"))


def test_a_device_removed_by_correction_is_told(site):
    removed(site)
    (found,) = told(site, "correction_unseen")
    assert "device J-1 2020-01-05 (removed_on)" in found
    see(site, 3, change("A1", now=LATER + DAY))
    assert told(site, "correction_unseen") == []


def test_a_removal_that_one_accepted_of_a_contractor_is_told(site):
    row = "J-1,2020-01-05,flange kit,2025-09-01\n"
    sheet = {"devices.csv": f"joint,fitted_on,kind,removed_on\n{row}"}
    (waits,) = sent(site, sheet, LATER, by="C1").held
    assert waits.column == "removed_on"
    decide(site, 1, now=LATER + DAY, by="P1", reason="as sent", accept=True)
    (found,) = told(site, "correction_unseen")
    assert "entry 4 of 2026-04-21 by P1" in found
    assert "device J-1 2020-01-05 (removed_on)" in found


def test_a_device_that_was_replaced_is_told_if_that_was_long_before(site):
    replace_device(site, "J-1", {}, change("P1", on="2026-04-01"))
    assert told(site, "correction_unseen") == []
    replace_device(site, "J-2", {}, change("P1", on="2025-09-01"))
    (found,) = told(site, "correction_unseen")
    assert "device J-2 2020-01-05 (removed_on)" in found


def test_a_path_removed_is_told_unless_somebody_decided_it(site):
    sent(site, {"paths.csv": PATHS.format("", "")}, LATER)
    gone = PATHS.format(",removed_on,correction_reason", ",2026-04-01,gone")
    sent(site, {"paths.csv": gone}, LATER + DAY)
    (found,) = told(site, "correction_unseen")
    assert "path TB-1 (removed_on)" in found


def test_a_path_let_go_by_a_decision_is_not_told(site):
    sent(site, {"paths.csv": PATHS.format("", "")}, LATER)
    gone = PATHS.format(",removed_on,correction_reason", ",2026-04-01,gone")
    why = f"{DECIDED}D-2,2026-04-21,released,T1,,path,TB-1,gone\n"
    sent(site, {"paths.csv": gone, "decisions.csv": why}, LATER + DAY)
    assert told(site, "correction_unseen") == []


@pytest.mark.parametrize(
    ("proved_on", "is_told"),
    [("2024-01-10", True), ("2024-01-09", True), ("2024-01-11", False)],
)
def test_a_bad_lead_made_sound_is_told_unless_proved_again(site, proved_on, is_told):
    leads = "test_point,colour,side,state,proved_on\nTP-1,blue,A,broken,2024-01-10\n"
    points = "name,joint\nTP-1,J-1\n"
    sent(site, {"test_points.csv": points, "leads.csv": leads}, LATER)
    sound = {"state": "sound", "proved_on": proved_on}
    if proved_on == "2024-01-10":
        del sound["proved_on"]
    revise(site, "lead", "TP-1 blue", sound, change("P1", now=LATER + DAY))
    assert bool(told(site, "correction_unseen")) is is_told


def test_a_joint_in_duty_with_nothing_fitted_is_found(site):
    assert told(site, "nothing_fitted") == []
    removed(site)
    (found,) = told(site, "nothing_fitted")
    assert "its last device on record was removed on 2025-09-01" in found
    assert told(site, "nothing_fitted", dt.date(2025, 8, 31)) == []


@pytest.mark.parametrize(
    ("tested_on", "is_refused"), [("2025-09-01", False), ("2025-09-02", True)]
)
def test_a_test_after_the_device_was_removed_is_refused(site, tested_on, is_refused):
    removed(site)
    report = sent(site, {"tests.csv": TEST.format(tested_on)}, LATER + DAY)
    ids = [p.id for p in report.refused]
    assert ids == ["row.after_removed"] * is_refused


def test_tests_that_a_removal_leaves_after_it_are_found(site):
    removed(site, "2025-02-28")
    (found,) = told(site, "after_end")
    assert found.startswith("1 test, the last of 2025-03-01, is dated after the last")
    assert told(site, "before_fitting") == []


def test_tests_after_the_end_of_duty_are_found(site):
    retire(site, "J-1", "left, gap proved", change("E1", "2025-02-28", "A1"))
    (found,) = told(site, "after_end")
    assert "after the joint left duty (2025-02-28)" in found


@pytest.mark.parametrize("how", ["cut out", "left, gap proved", "left, bonded"])
def test_a_joint_is_not_retired_before_its_duty(site, how):
    with pytest.raises(WrongUse) as refused:
        retire(site, "J-1", how, change("E1", "2020-01-09", "A1"))
    (problem,) = refused.value.problems
    assert problem.id == "change.before_first"
    retire(site, "J-1", how, change("E1", "2020-01-10", "A1"))


def test_a_joint_is_not_retired_before_its_device_was_fitted(site):
    replace_device(site, "J-1", {}, change("P1", on="2026-04-01"))
    later = LATER + DAY
    early = change("E1", "2026-03-31", "A1", later)
    with pytest.raises(WrongUse):
        retire(site, "J-1", "left, gap proved", early)
    retire(site, "J-1", "left, gap proved", change("E1", "2026-04-01", "A1", later))


@pytest.mark.parametrize(
    ("on", "is_refused"),
    [("1900-01-01", True), ("2020-01-04", True), ("2020-01-05", False)],
)
def test_a_joint_is_not_renamed_before_it_was_there(site, on, is_refused):
    try:
        rename(site, "J-1", "J-9", change("E1", on))
    except WrongUse as refused:
        assert is_refused
        (problem,) = refused.problems
        assert problem.values["first"] == dt.date(2020, 1, 5)
    else:
        assert not is_refused


def test_a_joint_is_not_renamed_before_the_name_that_it_has(site):
    rename(site, "J-1", "J-8", change("E1", "2026-04-01"))
    with pytest.raises(WrongUse):
        rename(site, "J-8", "J-9", change("E1", "2026-03-31", now=LATER + DAY))


def late(site):
    text, _ = late_shown(site, days=90, known=None, form="csv")
    return [(r["kind"], r["what"]) for r in csv.DictReader(io.StringIO(text))]


def test_ends_and_names_dated_back_are_late_and_found(site):
    retire(site, "J-1", "cut out", change("E1", "2024-04-02", "A1"))
    rename(site, "J-2", "J-9", change("E1", "2025-01-02", now=LATER + DAY))
    assert {("end of joint", "J-1"), ("old name", "J-9 J-2")} <= set(late(site))
    first, second = sorted(told(site, "correction_unseen"))
    assert "entry 3 of 2026-04-20 by E1 dates back" in first
    assert "J-1 removed since 2024-04-02" in first
    assert "J-2 called J-9 since 2025-01-02" in second
    assert told(site, "correction_unseen", dt.date(2024, 4, 1)) == []
    for entry in (3, 4):
        see(site, entry, change("A1", now=LATER + 2 * DAY))
    assert told(site, "correction_unseen") == []


def test_ends_of_these_days_are_neither(site):
    retire(site, "J-1", "cut out", change("E1", "2026-04-02", "A1"))
    rename(site, "J-2", "J-9", change("E1", "2026-04-02", now=LATER + DAY))
    assert [r for r in late(site) if r[0] in {"end of joint", "old name"}] == []
    assert told(site, "correction_unseen") == []
