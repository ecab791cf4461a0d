"""The rules common to all methods: what stops a reading from being used."""

import numpy as np
import pytest

from jointmap.acceptance import REASONS, judge
from jointmap.register.codes import (
    Indication,
    Layout,
    Outcome,
    Purpose,
    Scope,
    Side,
    Stage,
    Verdict,
)
from jointmap.register.paper_states import Counting, PaperState, paper_code
from tests.judging_samples import DEFAULT, limits_of, readings

LIMITS = limits_of(*DEFAULT)
NOT_COUNTING, BY_RULE = paper_code(
    PaperState.ENDED.code, [Counting.NOT.code, Counting.BY_RULE.code]
).tolist()
GOOD_RF = {"method": "radio-frequency", "indication": Indication.NO_SHORT}
BAD_RF = {"method": "radio-frequency", "indication": Indication.SHORT}
SHIFT = {
    "method": "potential-shift", "a_on_volt": -1.25, "a_off_volt": -0.95,
    "b_on_volt": -0.62, "b_off_volt": -0.615, "interrupted_side": Side.A,
    "sources_named": True,
}  # fmt: skip


def told(**values):
    found = judge(readings(**values), LIMITS)
    return REASONS[found.reason[0]].removeprefix("verdict.")


SAID = {"indication": Indication.SHORT}


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        (
            {"method": "joint-resistance", "reading_ohm": 5.0, "reading_bound": 0},
            "said_short",
        ),
        (
            {"method": "joint-resistance", "reading_ohm": 0.0005, "reading_bound": 0},
            "joint_contact",
        ),
        ({"method": "joint-resistance"}, "said_short"),
        ({"method": "joint-resistance", "outcome": Outcome.GATE_LOCKED}, "gate_locked"),
        ({**SHIFT}, "said_short"),
        ({**SHIFT, "b_on_volt": -0.95}, "shift_shorted"),
        (
            {"method": "stud-resistance", "scope": Scope.STUD, "side": Side.A},
            "said_short",
        ),
        ({"method": "hum"}, "screen_only"),
        ({"method": "source-output", "scope": Scope.SOURCE}, "no_reading"),
        ({"method": "look", "scope": Scope.PATH}, "path_joining"),
    ],
)
def test_a_short_that_the_tester_wrote_is_never_passed_over(changes, reason):
    """From the general property; common practice, no source."""
    assert told(**{**SAID, **changes}) == reason


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({}, "rf_isolating"),
        ({"outcome": Outcome.GATE_LOCKED}, "gate_locked"),
        ({"outcome": Outcome.AC_TOO_HIGH}, "ac_too_high"),
        ({"outcome": Outcome.OTHER_REASON}, "other_reason"),
        ({"ac_volt": 15.0}, "ac_stop"),
        ({"ac_volt": 15.0, "outcome": Outcome.STORM}, "storm"),
        ({"leads_proven": 0}, "leads_bad"),
        ({"leads_proven": -1}, "rf_isolating"),
        ({"leads_proven": 2}, "leads_not_proved"),
        ({"purpose": Purpose.NOT_STATED}, "no_purpose"),
        ({"purpose": -1}, "no_purpose"),
        ({"purpose": Purpose.NOT_STATED, "indication": Indication.SHORT}, "rf_shorted"),
        ({"scope": Scope.BOUNDARY}, "scope_unfit"),
        ({"indication": Indication.UNCLEAR}, "unclear"),
        ({"indication": -1}, "no_reading"),
        ({"method": "of our own"}, "method_unknown"),
        ({"method": "of our own", "outcome": Outcome.FLOODED}, "flooded"),
        ({"is_buried": True, "stage": Stage.BEFORE_TIE_IN}, "rf_isolating"),
    ],
)
def test_what_stops_a_reading(changes, reason):
    assert told(**{**GOOD_RF, **changes}) == reason


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"interrupted_side": -1}, "interrupted_side_missing"),
        ({"b_off_volt": np.nan}, "no_reading"),
        ({"a_off_volt": -1.25}, "shift_small"),
        ({"b_off_volt": -0.62}, "shift_isolating"),
        ({"cycles": 3}, "shift_isolating"),
        ({"cycles": 1}, "too_few_cycles"),
    ],
)
def test_shift_that_is_not_whole(changes, reason):
    assert told(**{**SHIFT, **changes}) == reason


def test_difference_without_a_second_side():
    assert told(method="potential-difference", a_on_volt=-0.8) == "no_reading"


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"test_current_ampere": 0.0}, "no_reading"),
        ({"span_current_ampere": 12.0}, "leak_out_of_range"),
        ({"span_current_ampere": -2.0}, "leak_out_of_range"),
        ({"span_current_ampere": 0.0}, "leak_isolating"),
    ],
)
def test_leakage(changes, reason):
    usual = {"test_current_ampere": 10.0, "span_current_ampere": 0.2, "geometry": 0}
    assert told(method="span-current", **{**usual, **changes}) == reason


@pytest.mark.parametrize(
    ("method", "shown", "reason"),
    [
        ("surge-device-check", Indication.SHORT, "path_joining"),
        ("bond-check", Indication.NO_SHORT, "path_apart"),
        ("look", Indication.UNCLEAR, "unclear"),
    ],
)
def test_a_path_needs_no_purpose(method, shown, reason):
    values = {"scope": Scope.PATH, "indication": shown, "purpose": -1}
    assert told(method=method, **values) == reason


def test_ac_stops_what_touches_metal_only():
    values = {"ac_volt": 40.0, "scope": Scope.PATH, "indication": Indication.NO_SHORT}
    assert told(method="look", **values) == "path_apart"
    assert told(method="bond-check", **values) == "ac_stop"


def test_a_source_counts_and_says_nothing_of_isolation():
    values = {"method": "source-output", "scope": Scope.SOURCE, "purpose": -1}
    tests = readings(2, **values, test_current_ampere=[8.0, np.nan])
    found = judge(tests, LIMITS)
    assert [REASONS[r] for r in found.reason] == [
        "verdict.source_read",
        "verdict.no_reading",
    ]
    assert found.verdict.tolist() == [Verdict.INCONCLUSIVE.code] * 2
    assert found.counts.tolist() == [True, False]


@pytest.mark.parametrize(
    ("changes", "counts"),
    [
        ({}, True),
        (BAD_RF, True),
        ({"instrument_paper": NOT_COUNTING}, False),
        ({"person_paper": NOT_COUNTING}, False),
        ({"instrument_paper": BY_RULE, "person_paper": BY_RULE}, True),
        ({"stage": Stage.BENCH}, False),
        ({"stage": Stage.BEFORE_TIGHTENING}, False),
        ({"stage": Stage.BEFORE_TIE_IN}, True),
        ({"indication": Indication.UNCLEAR}, False),
        ({"outcome": Outcome.NO_ACCESS}, False),
    ],
)
def test_what_may_move_a_date(changes, counts):
    found = judge(readings(**{**GOOD_RF, **changes}), LIMITS)
    assert found.counts.tolist() == [counts]


def test_a_lapsed_instrument_leaves_the_verdict():
    found = judge(readings(**GOOD_RF, instrument_paper=NOT_COUNTING), LIMITS)
    assert found.verdict[0] == Verdict.ISOLATING


def test_who_is_spoken_of():
    methods = ["radio-frequency", "stud-resistance", "potential-shift", "look"]
    found = judge(readings(4, method=methods), LIMITS)
    assert found.tells_device.tolist() == [True, True, False, False]


@pytest.mark.parametrize(
    ("layout", "side", "ohm", "stage", "reason"),
    [
        (Layout.TWO_SIDE, Side.A, 20e6, Stage.ROUTINE, "stud_isolating"),
        (Layout.TWO_SIDE, Side.A, 5e5, Stage.ROUTINE, "stud_doubtful"),
        (Layout.TWO_SIDE, Side.A, 0.5, Stage.ROUTINE, "stud_contact_installed"),
        (Layout.TWO_SIDE, Side.A, 0.5, Stage.BEFORE_TIE_IN, "stud_contact"),
        (Layout.ONE_SIDE_A, Side.B, 0.0, Stage.ROUTINE, "stud_plain_side"),
        (Layout.ONE_SIDE_B, Side.A, 0.0, Stage.ROUTINE, "stud_plain_side"),
        (Layout.ONE_SIDE_A, Side.A, 2.0, Stage.ROUTINE, "stud_ground_path"),
        (Layout.ONE_SIDE_A, Side.A, 20e6, Stage.ROUTINE, "stud_isolating"),
        (Layout.ONE_SIDE_A, Side.A, 0.5, Stage.BEFORE_TIE_IN, "stud_contact"),
        (Layout.UNKNOWN, Side.A, 0.5, Stage.ROUTINE, "layout_unknown"),
        (-1, Side.A, 0.5, Stage.ROUTINE, "layout_unknown"),
        (Layout.UNKNOWN, Side.A, 20e6, Stage.ROUTINE, "stud_isolating"),
        (Layout.TWO_SIDE, -1, 20e6, Stage.ROUTINE, "side_not_named"),
        (Layout.TWO_SIDE, Side.A, np.nan, Stage.ROUTINE, "no_reading"),
    ],
)
def test_one_side_of_a_stud(layout, side, ohm, stage, reason):
    values = {"layout": layout, "side": side, "reading_ohm": ohm, "stage": stage}
    found = told(method="stud-resistance", scope=Scope.STUD, stud=5, **values)
    assert found == reason


def test_a_core_has_no_layout():
    values = {"scope": Scope.GASKET_CORE, "side": Side.B, "layout": Layout.ONE_SIDE_A}
    assert told(method="core-resistance", reading_ohm=0.5, **values) == (
        "stud_contact_installed"
    )


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"side": Side.A}, "rf_isolating"),
        ({"side": -1}, "side_not_named"),
        ({"side": Side.B, "layout": Layout.ONE_SIDE_A}, "stud_plain_side"),
    ],
)
def test_radio_frequency_on_a_stud(changes, reason):
    assert told(**GOOD_RF, scope=Scope.STUD, stud=1, **changes) == reason


def test_no_rows():
    assert len(judge(readings(0), LIMITS)) == 0
