"""A joint that was moved: what was read counts where the joint stood on that day."""

import numpy as np
import pytest

from jointmap.register.codes import Scope, Verdict
from jointmap.register.joining import Was
from jointmap.sections import boundary_states, evidence
from jointmap.sections import test_groups as groups_of
from jointmap.sections.stays import Stays
from tests.judging_samples import (
    boundaries_of,
    joints_of,
    judged,
    paths_of,
    readings,
)

SHIFT = "potential-shift"
GOOD, BAD = Verdict.ISOLATING, Verdict.SHORTED
BEFORE, AFTER = "2025-12-31", "2026-01-01"  # joint 2 was moved on the second day


def moved(*rows):
    """(joint, first day elsewhere, boundary before) as what joints were."""
    ids, days, values = zip(*rows, strict=True)
    return Was.of(np.array(ids), np.array(days, "M8[D]"), np.array(values))


def three(boundary_id=(1, 2, 1)):
    """Three joints ten metres apart; the second stands on another boundary now."""
    return joints_of(3, x_metre=[0.0, 10.0, 20.0], boundary_id=[*boundary_id])


def seen(joints, tests, verdicts, was, tells_device=False):
    """(joint, test) of every row of evidence."""
    words = judged(verdicts, tells_device)
    groups = groups_of(joints, 50.0)
    found = evidence(joints, tests, words, groups, 50.0, was)
    return list(zip(found.joint_id.tolist(), found.test_id.tolist(), strict=True))


MOVED = moved((2, AFTER, 1))


@pytest.mark.parametrize(
    ("read_at", "on", "boundary", "credited"),
    [
        # Read at the one that was moved: its neighbours of then keep the credit.
        (2, BEFORE, 1, [1, 2, 3]),
        (2, AFTER, 2, [2]),
        # Read beside it.
        (1, BEFORE, 1, [1, 2, 3]),
        (1, AFTER, 1, [1, 3]),
    ],
)
def test_a_reading_counts_for_those_that_stood_there(read_at, on, boundary, credited):
    tests = readings(method=SHIFT, joint_id=read_at, boundary_id=boundary, tested_on=on)
    rows = seen(three(), tests, [GOOD], MOVED)
    assert [joint for joint, _ in rows] == credited


@pytest.mark.parametrize(("on", "credited"), [(BEFORE, [1, 2, 3]), (AFTER, [1, 3])])
def test_a_reading_without_a_place(on, credited):
    tests = readings(method=SHIFT, scope=Scope.BOUNDARY, boundary_id=1, tested_on=on)
    rows = seen(three(), tests, [GOOD], MOVED)
    assert [joint for joint, _ in rows] == credited


def test_without_a_word_of_its_own_a_test_is_of_the_boundary_of_that_day():
    tests = readings(2, method=SHIFT, joint_id=2, tested_on=[BEFORE, AFTER])
    rows = seen(three(), tests, [GOOD, GOOD], MOVED)
    assert rows == [(1, 1), (2, 1), (2, 2), (3, 1)]


def test_two_joints_swapped_on_one_day():
    joints = three((2, 1, 1))
    was = moved((1, AFTER, 1), (2, AFTER, 2))
    tests = readings(
        2, method=SHIFT, joint_id=1, tested_on=[BEFORE, AFTER], boundary_id=[1, 2]
    )
    rows = seen(joints, tests, [GOOD, GOOD], was)
    assert rows == [(1, 1), (1, 2), (3, 1)]


def test_there_and_back_again():
    joints = three((1, 1, 1))
    was = moved((2, "2025-01-01", 1), (2, AFTER, 2))
    tests = readings(
        3,
        method=SHIFT,
        joint_id=1,
        boundary_id=1,
        tested_on=["2024-12-31", "2025-01-01", AFTER],
    )
    rows = seen(joints, tests, [GOOD] * 3, was)
    assert rows == [(1, 1), (1, 2), (1, 3), (2, 1), (2, 3), (3, 1), (3, 2), (3, 3)]


def test_a_test_of_the_device_goes_with_the_joint():
    tests = readings(method="radio-frequency", joint_id=2, boundary_id=1)
    assert seen(three(), tests, [GOOD], MOVED, tells_device=True) == [(2, 1)]


def test_what_was_of_a_joint_that_is_not_here_says_nothing():
    tests = readings(method=SHIFT, joint_id=1, boundary_id=1, tested_on=BEFORE)
    rows = seen(three(), tests, [GOOD], moved((9, AFTER, 1)))
    assert [joint for joint, _ in rows] == [1, 3]


def test_no_reading_of_another_boundary_speaks_for_the_one_it_stands_on_now():
    joints, tests = (
        three(),
        readings(method=SHIFT, joint_id=2, boundary_id=1, tested_on=BEFORE),
    )
    words = judged([GOOD])
    found = evidence(joints, tests, words, groups_of(joints, 50.0), 50.0, MOVED)
    states = boundary_states(
        boundaries_of(2),
        joints,
        paths_of(0),
        tests,
        words,
        np.datetime64("2026-05-15"),
        seen=found,
    )
    assert [Verdict.at(int(s)) for s in states.state] == [GOOD, Verdict.NOT_TESTED]


def test_groups_of_two_boundaries_are_two_even_of_one_joint():
    joints = three()
    stays = Stays.of(joints, groups_of(joints, 50.0), 50.0, MOVED)
    assert stays.row.tolist() == [0, 1, 2, 1]
    groups = stays.groups.tolist()
    assert groups[0] == groups[2] == groups[3] != groups[1]


def test_none_was_moved():
    joints = three()
    groups = groups_of(joints, 50.0)
    stays = Stays.of(joints, groups, 50.0, None)
    assert stays.joints is joints
    assert stays.groups is groups
    days = np.array([BEFORE, AFTER, AFTER], "M8[D]")
    assert stays.at(np.array([3, 1, 0]), days).tolist() == [2, 0, -1]


def test_nothing_that_was_is_looked_up_in_nothing():
    was = Was.of(np.array([], np.int64), np.array([], "M8[D]"), np.array([], np.int64))
    now = np.array([4])
    days = np.array([BEFORE], "M8[D]")
    assert was.at(np.array([1]), days, now).tolist() == [4]
