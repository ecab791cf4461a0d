"""Isolating sides left per stud, by the kit's layout."""

import numpy as np
import pytest

from jointmap.acceptance import STUD_REASONS, judge, stud_counts, stud_states
from jointmap.register.codes import Indication, Layout, Scope, Side, Stage
from jointmap.wording import say
from tests.judging_samples import DEFAULT, joints_of, limits_of, readings

LIMITS = limits_of(*DEFAULT)
GOOD, NONE = 20e6, None
WORDS = {
    "what": "stud 5", "left": 1, "possible": 2, "side": "B", "other": "A",
    "since": "2020-05-01",
}  # fmt: skip


def states(readings_, joints=None, **values):
    """States after (side, ohm) readings of stud 5, one after the other."""
    sides = [side for side, _ in readings_]
    ohms = [ohm for _, ohm in readings_]
    usual = {
        "method": "stud-resistance",
        "scope": Scope.STUD,
        "stud": 5,
        "joint_id": 1,
        "device_id": 1,
        "side": sides,
        "reading_ohm": ohms,
    }
    tests = readings(len(sides), **{**usual, **values})
    return stud_states(
        tests, judge(tests, LIMITS), joints_of() if joints is None else joints
    )


A, B = Side.A, Side.B
CASES = [
    # layout, to A, to B, stage, (left, lost, reason)
    (Layout.TWO_SIDE, GOOD, GOOD, "routine", (2, -1, "all_left")),
    # Side B lost, 2 ohm of ground: 0.5 ohm to B and 2.5 ohm to A.
    (Layout.TWO_SIDE, 2.5, 0.5, "routine", (1, B, "one_lost_other_not_provable")),
    (Layout.TWO_SIDE, 0.5, 0.6, "routine", (1, A, "one_lost_other_not_provable")),
    (Layout.TWO_SIDE, GOOD, 0.5, "routine", (1, B, "one_lost")),
    (Layout.TWO_SIDE, 0.5, 0.4, "before tie-in", (0, -1, "all_lost")),
    (Layout.TWO_SIDE, 0.4, GOOD, "before tie-in", (1, A, "one_lost")),
    (Layout.TWO_SIDE, 5e5, GOOD, "routine", (-1, -1, "doubtful")),
    (Layout.TWO_SIDE, GOOD, NONE, "routine", (-1, -1, "not_read")),
    (Layout.TWO_SIDE, NONE, 0.5, "routine", (-1, B, "not_read")),
    (Layout.ONE_SIDE_A, GOOD, 0.0, "routine", (1, -1, "all_left")),
    (Layout.ONE_SIDE_B, 0.0, GOOD, "routine", (1, -1, "all_left")),
    (Layout.ONE_SIDE_A, 0.4, 0.0, "before tie-in", (0, A, "all_lost")),
    (Layout.ONE_SIDE_A, 5e5, 0.0, "before tie-in", (-1, -1, "doubtful")),
    (Layout.UNKNOWN, GOOD, GOOD, "routine", (2, -1, "all_left")),
    (Layout.UNKNOWN, GOOD, 5e5, "routine", (-1, -1, None)),
]


@pytest.mark.parametrize(("layout", "to_a", "to_b", "stage", "expected"), CASES)
def test_sides_left(layout, to_a, to_b, stage, expected):
    left, lost, reason = expected
    read = [(side, ohm) for side, ohm in ((A, to_a), (B, to_b)) if ohm is not None]
    found = states(read, joints_of(layout=layout), layout=layout, stage=Stage(stage))
    assert found.sides_left.tolist() == [left]
    assert found.lost_side.tolist() == [list(Side).index(lost) if lost != -1 else -1]
    name = STUD_REASONS[found.reason[0]]
    assert name == f"stud.{reason or 'layout_unknown'}"
    assert "not given" not in say(name, WORDS | {"left": left})


def test_words_of_a_lost_side():
    told = "stud 5 isolating on 1 of 2 sides, B lost since 2020-05-01"
    assert say("stud.one_lost", WORDS) == told


LOST_SINCE = [
    # (day, side, ohm), ..., since when a side is lost
    ([("2025-05-01", B, 0.5), ("2020-05-01", B, 0.5)], "2020-05-01"),
    ([("2020-05-01", B, 0.5), ("2022-05-01", B, GOOD)], "NaT"),
    ([("2020-05-01", B, 0.5), ("2022-05-01", B, GOOD), ("2024-05-01", B, 0.4)],
     "2024-05-01"),
    # Read, and no contact: it is not lost by that, nor found again.
    ([("2020-05-01", B, 5e5), ("2022-05-01", B, 0.4), ("2023-05-01", B, 5e5),
      ("2024-05-01", B, 0.4)], "2022-05-01"),
    # The other side is another side.
    ([("2020-05-01", A, 0.5), ("2021-05-01", A, GOOD), ("2024-05-01", B, 0.4)],
     "2024-05-01"),
]  # fmt: skip


@pytest.mark.parametrize(("read", "since"), LOST_SINCE)
def test_a_side_is_lost_since_the_first_reading_that_showed_it(read, since):
    days = np.array([day for day, _, _ in read] + ["2019-05-01"], "datetime64[D]")
    other = A if read[-1][1] == B else B
    found = states([(s, ohm) for _, s, ohm in read] + [(other, GOOD)], tested_on=days)
    assert str(found.lost_on[0]) == since


def test_of_two_lost_sides_since_the_first():
    days = np.array(["2021-05-01", "2023-05-01"], "datetime64[D]")
    found = states([(A, 0.5), (B, 0.4)], stage=Stage.BEFORE_TIE_IN, tested_on=days)
    assert found.sides_left.tolist() == [0]
    assert str(found.lost_on[0]) == "2021-05-01"


def test_one_side_kit_read_on_its_plain_side_only():
    found = states(
        [(B, 0.0)], joints_of(layout=Layout.ONE_SIDE_A), layout=Layout.ONE_SIDE_A
    )
    # Near zero is how it is built: the side with the washer is still to be read.
    assert found.sides_left.tolist() == [-1]
    assert STUD_REASONS[found.reason[0]] == "stud.not_read"
    both = [(A, GOOD), (B, 0.5)]
    kit = {"layout": Layout.ONE_SIDE_A}
    found = states(both, joints_of(**kit), **kit)
    assert (found.sides_left.tolist(), found.row_b.tolist()) == ([1], [1])


def test_the_last_reading_stands_whatever_the_order():
    read = [(A, GOOD), (B, 0.5), (B, GOOD)]
    days = np.array(["2025-01-01", "2025-01-01", "2026-01-01"], "datetime64[D]")
    found = states(read, tested_on=days)
    turned = states(read[::-1], tested_on=days[::-1], test_id=[3, 2, 1])
    assert found.sides_left.tolist() == turned.sides_left.tolist() == [2]
    assert str(found.tested_on[0]) == "2026-01-01"


def test_readings_on_a_device_before_this_one_are_of_another():
    assert len(states([(A, GOOD), (B, GOOD)], device_id=7)) == 0
    assert len(states([(A, GOOD), (B, GOOD)], joint_id=9)) == 0
    none = joints_of(0)
    assert len(states([(A, GOOD)], none)) == 0


def test_radio_frequency_sees_each_side_alone():
    found = states(
        [(A, np.nan), (B, np.nan)],
        method="radio-frequency",
        indication=Indication.SHORT,
    )
    assert found.sides_left.tolist() == [0]


def test_the_core_stands_apart_and_studs_are_counted():
    joints = joints_of(2)
    tests = readings(
        8,
        method=["stud-resistance"] * 6 + ["core-resistance"] * 2,
        scope=[Scope.STUD] * 6 + [Scope.GASKET_CORE] * 2,
        stud=[1, 1, 2, 2, 3, 3, 0, 0],
        side=[A, B] * 4,
        joint_id=1,
        device_id=1,
        reading_ohm=[GOOD, GOOD, GOOD, 0.5, 5e5, GOOD, GOOD, GOOD],
    )
    found = stud_states(tests, judge(tests, LIMITS), joints)
    assert found.stud.tolist() == [0, 1, 2, 3]
    assert found.sides_left.tolist() == [2, 2, 1, -1]
    counts = stud_counts(found, joints)
    assert counts.studs.tolist() == [12, 12]
    assert counts.read.tolist() == [3, 0]
    assert counts.whole.tolist() == [1, 0]
    assert counts.reduced.tolist() == [1, 0]
    assert counts.lost.tolist() == [0, 0]
    assert counts.not_known.tolist() == [1, 0]
