"""Test groups, and what a reading is credited to."""

import numpy as np
import pytest

from jointmap.register.codes import Layout, Scope, Side, Stage, Verdict
from jointmap.sections import evidence
from jointmap.sections import test_groups as groups_of
from tests.judging_samples import joints_of, judged, readings

GOOD, HALF, BAD, OPEN = "isolating", "doubtful", "shorted", "inconclusive"
SHIFT = "potential-shift"


def line(*metres, **values):
    return joints_of(len(metres), x_metre=[float(m) for m in metres], **values)


def seen(joints, tests, verdicts, tells_device=False):
    """(joint, test, verdict, credited) of every row of evidence."""
    words = judged([Verdict(v) for v in verdicts], tells_device)
    found = evidence(joints, tests, words, groups_of(joints, 50.0), 50.0)
    verdict = [str(list(Verdict)[v]) for v in found.verdict]
    columns = (
        found.joint_id.tolist(),
        found.test_id.tolist(),
        verdict,
        found.credited.tolist(),
    )
    return list(zip(*columns, strict=True))


@pytest.mark.parametrize(
    ("metres", "groups"),
    [
        ((0, 0, 0), [1, 1, 1]),
        ((0, 50, 51), [1, 1, 3]),
        # No chain: the third is within reach of the second, not of the seed.
        ((0, 45, 90, 135), [1, 1, 3, 3]),
        # 23 km apart: credit stops.
        ((0, 23000), [1, 2]),
        # The lower id is the seed, wherever it stands.
        ((45, 90, 0), [1, 1, 1]),
        ((90, 0, 45), [1, 2, 1]),
    ],
)
def test_groups(metres, groups):
    assert groups_of(line(*metres), 50.0).tolist() == groups


def test_groups_keep_boundaries_apart_and_the_unplaced_alone():
    joints = line(0, 1, 2, 3, boundary_id=[1, 2, 1, 0])
    assert groups_of(joints, 50.0).tolist() == [1, 2, 1, 4]
    joints = joints_of(3, x_metre=[0.0, np.nan, 1.0])
    assert groups_of(joints, 50.0).tolist() == [1, 2, 1]
    assert groups_of(joints_of(0), 50.0).tolist() == []
    assert groups_of(line(0, 10, 0), 0.0).tolist() == [1, 2, 1]


def test_a_good_boundary_test_is_credited_as_far_as_it_reaches():
    joints = line(0, 40, 23000)
    tests = readings(method=SHIFT, scope=Scope.BOUNDARY, joint_id=1, boundary_id=1)
    assert seen(joints, tests, [GOOD]) == [(1, 1, GOOD, False), (2, 1, GOOD, True)]


def test_reach_is_from_where_it_was_read():
    # Both ends are within reach of the seed, not of each other.
    joints = line(40, 0, 80)
    tests = readings(method=SHIFT, joint_id=2)
    assert seen(joints, tests, [GOOD]) == [(1, 1, GOOD, True), (2, 1, GOOD, False)]


def test_a_bad_boundary_test_condemns_no_joint():
    tests = readings(method=SHIFT, joint_id=1)
    rows = seen(line(0, 10), tests, [BAD])
    assert [(joint, verdict) for joint, _, verdict, _ in rows] == [(1, OPEN), (2, OPEN)]


def test_what_does_not_decide_stays_where_it_was_read():
    tests = readings(method=SHIFT, joint_id=1)
    assert seen(line(0, 10), tests, [OPEN]) == [(1, 1, OPEN, False)]


@pytest.mark.parametrize(
    ("metres", "verdict", "joints"),
    [((0, 10), GOOD, [1, 2]), ((0, 900), GOOD, []), ((0, 900), BAD, [1, 2])],
)
def test_a_boundary_test_without_a_place(metres, verdict, joints):
    tests = readings(method=SHIFT, scope=Scope.BOUNDARY, boundary_id=1)
    assert [row[0] for row in seen(line(*metres), tests, [verdict])] == joints


def test_a_place_on_another_boundary_is_no_place():
    joints = line(0, 10, boundary_id=[1, 2])
    tests = readings(method=SHIFT, scope=Scope.BOUNDARY, boundary_id=1, joint_id=2)
    assert seen(joints, tests, [GOOD]) == [(1, 1, GOOD, True)]


def test_own_device_tests():
    stages = [Stage.ROUTINE, Stage.BENCH, Stage.BEFORE_TIGHTENING, Stage.BEFORE_TIE_IN]
    tests = readings(4, method="radio-frequency", joint_id=[1, 1, 1, 2], stage=stages)
    rows = seen(line(0, 10), tests, [BAD, GOOD, GOOD, GOOD], tells_device=True)
    assert rows == [(1, 1, BAD, False), (2, 4, GOOD, False)]


def test_unknown_joints_and_no_joints():
    tests = readings(2, method=[SHIFT, "radio-frequency"], joint_id=9)
    assert seen(line(0), tests, [GOOD, GOOD], tells_device=[False, True]) == []
    assert seen(joints_of(0), tests, [GOOD, GOOD], tells_device=[False, True]) == []
    assert seen(line(0), readings(0), []) == []


STUD = {"method": "stud-resistance", "scope": Scope.STUD, "stud": 3, "joint_id": 1}


@pytest.mark.parametrize(
    ("sides", "verdicts", "layout", "days", "shorts"),
    [
        ([Side.A, Side.B], [BAD, BAD], Layout.TWO_SIDE, ["2026-01-01"] * 2, True),
        (
            [Side.A, Side.B],
            [BAD, BAD],
            Layout.TWO_SIDE,
            ["2025-01-01", "2026-01-01"],
            False,
        ),
        ([Side.A, Side.B], [BAD, GOOD], Layout.TWO_SIDE, ["2026-01-01"] * 2, False),
        ([Side.A, Side.B], [GOOD, GOOD], Layout.TWO_SIDE, ["2026-01-01"] * 2, False),
        ([Side.A, Side.B], [BAD, OPEN], Layout.ONE_SIDE_A, ["2026-01-01"] * 2, True),
    ],
)
def test_of_the_studs_only_a_way_through(sides, verdicts, layout, days, shorts):
    tests = readings(2, **STUD, side=sides, layout=layout, tested_on=days)
    rows = seen(line(0), tests, verdicts, tells_device=True)
    assert [row[2] for row in rows] == ([BAD] if shorts else [])


def test_a_core_in_contact_with_one_side_shorts_nothing():
    values = {**STUD, "scope": Scope.GASKET_CORE, "layout": Layout.ONE_SIDE_A}
    tests = readings(1, **values, side=Side.A)
    assert seen(line(0), tests, [BAD], tells_device=True) == []


def test_what_was_read_on_the_device_before_this_one():
    days = ["2024-05-05", "2024-05-06", "2024-05-06", "2025-01-01"]
    stages = [Stage.ROUTINE, Stage.AS_FOUND, Stage.AS_LEFT, Stage.ROUTINE]
    tests = readings(
        4, method="radio-frequency", joint_id=1, tested_on=days, stage=stages
    )
    joints = line(0, fitted_on="2024-05-06")
    words = judged([Verdict.ISOLATING] * 4, tells_device=True)
    found = evidence(joints, tests, words, groups_of(joints, 50.0), 50.0)
    assert found.this_device.tolist() == [False, False, True, True]
    assert found.of_device.all()
    assert (found.verdict == Verdict.ISOLATING).all()


@pytest.mark.parametrize(
    ("there_since", "is_credited"),
    [("2025-06-03", True), ("2025-06-04", False), ("NaT", True)],
)
@pytest.mark.parametrize("verdict", [GOOD, BAD])
def test_no_credit_from_before_a_joint_was_there(there_since, is_credited, verdict):
    joints = line(0, 10, there_since=["2016-05-01", there_since])
    tests = readings(1, method=SHIFT, joint_id=1, tested_on="2025-06-03")
    found = seen(joints, tests, [verdict])
    assert [row[0] for row in found] == [1, 2] if is_credited else [1]


@pytest.mark.parametrize("verdict", [GOOD, BAD])
def test_no_credit_of_a_reading_without_a_place_either(verdict):
    joints = line(0, 10, there_since=["2016-05-01", "2025-06-04"])
    placeless = {"scope": Scope.BOUNDARY, "joint_id": 0, "boundary_id": 1}
    tests = readings(1, method=SHIFT, tested_on="2025-06-03", **placeless)
    assert [row[0] for row in seen(joints, tests, [verdict])] == [1]


def test_what_was_read_at_a_joint_before_its_first_day_stays_its_own():
    joints = line(0, there_since="2025-06-04")
    tests = readings(1, method=SHIFT, joint_id=1, tested_on="2025-06-03")
    assert [row[0] for row in seen(joints, tests, [GOOD])] == [1]
