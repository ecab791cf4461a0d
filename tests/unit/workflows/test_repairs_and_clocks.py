"""A repair is proved by a test, or it is none; what ends and moves the clocks."""

import datetime as dt

import pytest

from jointmap.pages.clock_views import clock_text, joint_clocks
from jointmap.pages.joint_sentences import joint_summary
from tests.opened_site import findings, opened, shown

ADOPTED = """catalogue,name,from_on
limits,Joint resistance isolating 1 ohm,2020-01-01
limits,Joint resistance: metal contact 1 milliohm,2020-01-01
limits,Resistance before tie-in 1 Mohm,2020-01-01
limits,Resistance before tie-in: metal contact,2020-01-01
rules,owner-after-repair,2020-01-01
rules,owner-decide-joint,2020-01-01
rules,owner-plan-joint,2020-01-01
rules,owner-fix-joint,2020-01-01
rules,owner-decide-boundary,2020-01-01
rules,cfr-192.465d-plan,2020-01-01
rules,cfr-192.465d-fix,2020-01-01
rules,cfr-192.465d-fix-next-test,2020-01-01
rules,cfr-192.465d-fix-permits,2020-01-01
"""
SHORTED = "joint,J-1,2025-10-01,radio-frequency,as found,measured,,short"
TESTS = "scope,joint,tested_on,method,stage,outcome,reading,indication"
REPAIR = "happened_on,kind,place,joint,boundary\n2025-10-03,repair,stud 3,J-1,\n"
NEW = "joint,fitted_on,kind,layout,removed_on,correction_reason\n"
NEW += "J-1,2020-01-05,flange kit,two-side,2025-10-03,replaced\n"
NEW += "J-1,2025-10-03,flange kit,two-side,,\n"
ON = dt.date(2025, 11, 1)


def site_with(folder, tests=(), **more):
    rows = "\n".join([TESTS, SHORTED, *tests]) + "\n"
    sheets = {f"{name}.csv": text for name, text in more.items()}
    return opened(folder, {"adopted.csv": ADOPTED, "tests.csv": rows, **sheets})


def told(site, on=ON, tag="J-1"):
    """Verdict and sentence of a joint, its clocks, and what says repair not proved."""
    with shown(site, on) as showing:
        id_ = next(i for i, j in showing.joints.items() if j.tag == tag)
        summary = joint_summary(showing, id_)
        clocks = [
            f"{c.what} {c.until_on} {c.state}" for c in joint_clocks(showing, id_)
        ]
    open_ = [
        s for k, at, s in findings(site, on) if k == "repair_not_proved" if at == tag
    ]
    site.register.close()
    return summary, clocks, open_


GOOD = "joint,J-1,{day},{method},{stage},measured,{reading}"


@pytest.mark.parametrize("how", [{"occurrences": REPAIR}, {"devices": NEW}])
def test_a_repair_without_a_test_is_not_proved_and_the_joint_stays_bad(tmp_path, how):
    summary, clocks, open_ = told(site_with(tmp_path, **how))
    assert summary.startswith("Shorted. Repair not proved: bad on 2025-10-01, ")
    assert "2025-10-03, and no good test since" in summary
    assert clocks[0] == "plan by 2026-01-01 61 days left"
    assert clocks[1] == "fix by 2026-04-01 151 days left"
    assert len(open_) == 1
    assert "2025-10-03" in open_[0]


def test_a_new_device_that_nobody_tested_is_not_proved(tmp_path):
    good = SHORTED.replace(",,short", ",,no short")
    rows = f"{TESTS}\n{good}\n"
    sheets = {"adopted.csv": ADOPTED, "tests.csv": rows, "devices.csv": NEW}
    summary, _, open_ = told(opened(tmp_path, sheets))
    assert "No test of the device fitted now" in summary
    assert "Due 2025-10-17: repair on 2025-10-03" in summary
    assert open_[0].startswith("a new device fitted on 2025-10-03, and no good test")


PROOFS = [
    ("radio-frequency", "as left", "2025-10-03", ",no short"),
    ("radio-frequency", "routine", "2025-10-20", ",no short"),
    ("joint-resistance", "as left", "2025-10-03", "3 ohm,"),
]
# Before the work, on the bench, before tie-in, or by an ohmmeter.
NO_PROOFS = [
    ("radio-frequency", "as found", "2025-10-03", ",short"),
    ("insulation-resistance", "bench", "2025-10-03", "50 Mohm,"),
    ("insulation-resistance", "before tie-in", "2025-10-03", "50 Mohm,"),
    ("ohmmeter", "as left", "2025-10-03", "50 Mohm,"),
]


@pytest.mark.parametrize("test", [*PROOFS, *NO_PROOFS])
@pytest.mark.parametrize("how", [{"occurrences": REPAIR}, {"devices": NEW}])
def test_what_proves_a_repair(tmp_path, test, how):
    method, stage, day, reading = test
    row = GOOD.format(method=method, stage=stage, day=day, reading=reading)
    summary, clocks, open_ = told(site_with(tmp_path, [row], **how))
    proves = test in PROOFS
    assert summary.startswith("Isolating" if proves else "Shorted. Repair not proved")
    assert (clocks == []) == proves
    assert (open_ == []) == proves


def test_a_repair_that_did_not_hold_is_told_by_its_test(tmp_path):
    row = GOOD.format(
        method="radio-frequency", stage="as left", day="2025-10-03", reading=",short"
    )
    summary, clocks, open_ = told(site_with(tmp_path, [row], occurrences=REPAIR))
    assert summary.startswith("Shorted. By a test of this device on 2025-10-03")
    # The clock goes on from the first bad day, not from the last.
    assert clocks[1] == "fix by 2026-04-01 151 days left"
    assert len(open_) == 1


def test_a_repair_asks_for_a_test_by_a_day(tmp_path):
    summary, _, _ = told(site_with(tmp_path, occurrences=REPAIR))
    assert "Due 2025-10-17: repair on 2025-10-03" in summary


def test_a_repair_of_a_boundary_is_held_against_its_tests(tmp_path):
    on_boundary = REPAIR.replace("J-1,", ",B-1")
    site = opened(tmp_path, {"occurrences.csv": on_boundary})
    found = [
        s for k, at, s in findings(site, ON) if (k, at) == ("repair_not_proved", "B-1")
    ]
    assert "repair recorded on 2025-10-03 (stud 3)" in found[0]
    earlier = [k for k, _, _ in findings(site, dt.date(2025, 10, 2))]
    site.register.close()
    assert "repair_not_proved" not in earlier


BAD_SHIFT = "scope,joint,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
BAD_SHIFT += "interrupted_side,sources_cycling,cycles\n"
BAD_SHIFT += "boundary,J-1,B-1,2025-10-01,potential-shift,routine,measured,"
BAD_SHIFT += "-1.20 V,-0.90 V,-0.85 V,-0.56 V,A,R1,5\n"
SOURCES = "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n"
DECISIONS = "number,decided_on,kind,subject,subject_key,why\n"


def clocks_of_boundary(folder, decisions, on=ON):
    site = opened(
        folder,
        {
            "sources.csv": SOURCES,
            "adopted.csv": ADOPTED,
            "tests.csv": BAD_SHIFT,
            "decisions.csv": DECISIONS + decisions,
        },
    )
    with shown(site, on) as showing:
        joint = next(iter(showing.joints))
        found = [
            f"{c.what} {c.until_on} {c.state}" for c in joint_clocks(showing, joint)
        ]
    over = [s for k, _, s in findings(site, on) if k == "clock_over"]
    site.register.close()
    return found, over


def test_the_next_required_test_comes_before_the_months(tmp_path):
    # Both joints count as read on 2025-10-01: the next test by law is due on
    # 2026-12-31, before the 15 months are over.
    found, over = clocks_of_boundary(tmp_path, "")
    assert found == [
        "decide by 2025-10-15 over by 17 days",
        "plan by 2026-04-01 151 days left",
        "fix by 2026-12-30 424 days left",
    ]
    assert len(over) == 1


def test_permits_and_a_plan_are_decisions(tmp_path):
    found, over = clocks_of_boundary(
        tmp_path,
        "D-0,2025-09-01,remedial plan,boundary,B-1,before it was bad\n"
        "D-1,2025-10-20,remedial plan,boundary,B-1,dig at J-1\n"
        "D-2,2025-10-22,remedial plan,boundary,B-1,dig at J-1 and J-2\n"
        "D-3,2025-10-25,permit received,boundary,B-1,road opening\n"
        "D-4,2025-10-10,permit received,boundary,B-1,river board\n",
    )
    assert found == [
        "decide by 2025-10-15 done on 2025-10-20 (D-1)",
        "plan by 2026-04-01 done on 2025-10-20 (D-1)",
        "fix by 2026-04-25 175 days left",
    ]
    assert over == []


def test_what_is_not_yet_decided_moves_nothing(tmp_path):
    later = "D-1,2025-11-02,remedial plan,boundary,B-1,after the day asked about\n"
    later += "D-2,2025-10-20,remedial plan,joint,J-9,no such joint\n"
    found, _ = clocks_of_boundary(tmp_path, later)
    assert found[0] == "decide by 2025-10-15 over by 17 days"


def test_clocks_of_other_subjects(tmp_path):
    site = opened(tmp_path)
    with shown(site, ON) as showing:
        assert clock_text(showing, 1, next(iter(showing.boundaries))) == ""
        assert clock_text(showing, 2, 1) == ""
    site.register.close()


STUD_RULES = """\
catalogue,name,from_on
limits,Stud side 1 Mohm,2020-01-01
limits,Stud side: metal contact,2020-01-01
limits,Joint resistance isolating 1 ohm,2020-01-01
rules,owner-decide-lost-side,2020-01-01
"""
STUDS = """\
scope,joint,tested_on,method,stage,outcome,reading,stud,side
stud,J-2,2025-06-01,stud-resistance,routine,measured,0.5 ohm,3,A
stud,J-2,2025-06-01,stud-resistance,routine,measured,50 Mohm,3,B
stud,J-2,2025-10-01,stud-resistance,routine,measured,0.4 ohm,3,A
"""
PLANNED = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
PLANNED += "D-5,2025-08-01,remedial plan,T1,A1,joint,J-2,new sleeve in spring\n"
LATER = [
    # What else is on record, and the clock of the lost side.
    ("", {}, ["decide by 2025-08-30 over by 63 days"]),
    ("stud,J-2,2025-10-02,stud-resistance,routine,measured,40 Mohm,3,A\n", {}, []),
    ("joint,J-2,2025-10-02,joint-resistance,routine,measured,3 ohm,,\n", {},
     ["decide by 2025-08-30 over by 63 days"]),
    ("", {"decisions.csv": PLANNED}, ["decide by 2025-08-30 done on 2025-08-01 (D-5)"]),
]  # fmt: skip


@pytest.mark.parametrize(("row", "more", "wanted"), LATER)
def test_a_lost_side_has_a_clock_since_its_first_reading(tmp_path, row, more, wanted):
    sheets = {"adopted.csv": STUD_RULES, "tests.csv": STUDS + row, **more}
    _, clocks, _ = told(opened(tmp_path, sheets), tag="J-2")
    assert clocks == wanted
