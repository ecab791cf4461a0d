"""Rules and records that cannot be right: each has its sentence, nothing is guessed."""

import csv
import io

import pytest

from tests.command_line import jointmap
from tests.small_site import WHO, kept, load

ON = ("--on", "2026-05-15")
RULES = "name,from_on,shape,basis,subject,months,purpose,severity,source,mark\n"
OWN = "plain months,owner procedure,joint"
TESTS = (
    "scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
    "interrupted_side,sources_cycling,cycles,line_id\n"
)
SHIFT = "2026-05-04,potential-shift,routine,measured,-1.20 V,-0.90 V,-0.55 V,-0.55 V"


def said(*words):
    """Return what a command says on one line, its wrapping taken away."""
    return " ".join(jointmap(*words, *ON).said.split())


def due(site):
    """Return the rows of the due list by subject."""
    ran = jointmap("due", site, *ON, "--format", "csv")
    assert ran.code == 0, ran.said
    return {row["subject"]: row for row in csv.DictReader(io.StringIO(ran.out))}


def test_rules_that_contradict_are_named_and_the_earlier_date_stands(site):
    rows = f"{OWN},{{}},,,manual,owner's choice\n"
    both = "ours,2020-01-01," + rows.format(9) + "theirs,2020-02-01," + rows.format(6)
    assert load(site, {"rules.csv": RULES + both}).code == 0
    assert (
        "ours of 2020-01-01 says months 9, theirs of 2020-02-01 says months 6, of the"
        " same subjects; the earlier date governs until one of them is ended"
    ) in said("findings", site)
    # Six months from its start: its one test does not count.
    assert due(site)["J-1"]["last_allowed_on"] == "2020-07-10"


@pytest.mark.parametrize(
    ("text", "code", "says"),
    [
        (
            f"{RULES}own,2026-01-01,{OWN},9,,,,owner's choice\n",
            1,
            "line 2, column sour",
        ),
        (f"{RULES}own,2026-01-01,{OWN},9,,, ,owner's choice\n", 1, "the value is miss"),
        (f"{RULES}own,2026-01-01,{OWN},9,,,manual,\n", 1, "line 2, column mark"),
        (
            f"name,from_on,shape,basis,subject,months,mark\nown,2026-01-01,{OWN},9,seen\n",
            3,
            "line 1, column source: a required column is missing",
        ),
    ],
    ids=["empty", "blank", "no-mark", "no-column"],
)
def test_a_rule_without_source_is_refused(site, text, code, says):
    before = kept(site)
    ran = load(site, {"rules.csv": text}, decided=False)
    assert (ran.code, says in ran.said) == (code, True), ran.said
    assert kept(site) == before


def test_a_rule_for_a_class_that_no_joint_has_is_said_to_move_nothing(site):
    row = f"ours,2026-01-01,{OWN},9,stray current,mild,manual,owner's choice\n"
    assert load(site, {"rules.csv": RULES + row}).code == 0
    empty = "Rule ours applies to nothing that is in duty: nothing moves by that."
    for asked in (("--months", "ours=3"), ("--without", "ours")):
        told = said("rules", "try", site, *asked)
        assert empty in told
        assert "Dates moved: 0 earlier, 0 later" in told
    assert empty not in said("rules", "try", site, "--without", "cfr-192.465a-joint")


def test_a_test_of_a_joint_without_device_is_refused(site):
    joint = "tag,boundary,area,state\nJ-9,B-1,East,in duty\n"
    ran = load(
        site,
        {"joints.csv": joint, "tests.csv": f"{TESTS}joint,J-9,{SHIFT},A,R1,5,\n"},
    )
    assert ran.code == 1
    assert (
        "tests.csv, line 2, column joint, value 'J-9': no device is on record at J-9,"
        " so nothing can have been tested there; load its device first"
    ) in ran.out


def test_tests_left_before_the_fitting_by_a_correction_are_named(site):
    day = ("device", "J-1 2020-01-05", "--set", "fitted_on=2025-06-01")
    assert jointmap("change", "correct", site, *day, *WHO).code == 0
    sentence = (
        "J-1 1 test, the last of 2025-03-01, is dated before the first device on"
        " record was fitted (2025-06-01). Correct the day of fitting, or load the"
        " earlier device"
    )
    assert sentence in said("findings", site)
    # The model takes no negative age either: it begins with the earliest day it has.
    model = "catalogue,name,from_on\nmodels,default-prior,2026-05-01\n"
    assert load(site, {"adopted.csv": model}).code == 0
    assert due(site)["J-1"]["state"]
    older = "joint,fitted_on,removed_on,kind\nJ-1,2020-01-05,2025-06-01,flange kit\n"
    assert load(site, {"devices.csv": older}).code == 0
    assert "dated before the first device" not in said("findings", site)


def test_200_tests_of_one_day_are_one_test_or_200_and_move_the_date_once(site):
    row = f"joint,J-1,{SHIFT},A,R1,5,"
    alike = load(site, {"tests.csv": TESTS + f"{row}\n" * 200})
    assert alike.code == 1
    assert (
        "1 new, 0 corrected, 0 known already, 0 awaiting a decision, 199 refused"
        in (alike.out)
    )
    assert "keep one row, or give each its own line_id if both were made" in alike.out
    assert "tests of one place" not in said("findings", site)
    once = due(site)
    assert once["J-1"]["last_allowed_on"] == "2027-08-04"
    told = "".join(f"{row}log {n}\n" for n in range(199))
    assert load(site, {"tests.csv": TESTS + told}).code == 0
    assert due(site) == once
    assert (
        "200 tests of one place; the same result counts once. Say whether that many"
        " were made, or one was sent again"
    ) in said("findings", site)


def test_a_joint_with_no_date_at_all_has_no_date_and_says_so(site):
    joint = "tag,boundary,area,state,consequence\nJ-9,B-1,East,in duty,A\n"
    assert load(site, {"joints.csv": joint}).code == 0
    model = "catalogue,name,from_on\nmodels,default-prior,2026-05-01\n"
    assert load(site, {"adopted.csv": model}).code == 0
    row = due(site)["J-9"]
    reason = "no test and no start day on record, so no date at all to count from"
    assert (row["state"], row["last_allowed_on"]) == ("no basis", "")
    assert reason in row["because"]
    assert reason in said("findings", site)
    why = said("why", site, "J-9")
    assert reason in why
    assert "No date by risk: no day of fitting, duty or test to count its life" in why
