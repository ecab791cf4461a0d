"""Fitting: what must hold for any torque, any stud count, any layout."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.assembly import Result, fittings_of_records, review_all
from jointmap.assembly.order import ORDERS, cross_order
from jointmap.assembly.passes import allowed_shares, pass_torques
from jointmap.assembly.sleeve import hole_clearance, length_window, projection
from jointmap.assembly.stud_length import (
    length_for_threads,
    nearest_quarter,
    next_quarter,
    point_allowance,
    threads_past_nut,
)
from jointmap.assembly.torque import (
    load_by_nut_factor,
    load_range,
    load_share_with_other_lubricant,
    torque_by_nut_factor,
    torque_for_other_lubricant,
)
from jointmap.errors import WrongUse
from jointmap.register import Device, Installation
from jointmap.register.codes import DeviceKind
from jointmap.tables.flanges import FLANGES
from jointmap.tables.tightening import SCHEMES
from tests.fitting_strategies import DAY, KITS, PAPERS, TORQUES

METRES = st.floats(0.001, 2.0)
FACTORS = st.floats(0.08, 0.4)


@given(st.sampled_from([*ORDERS.values()]), st.integers(2, 200))
def test_every_stud_is_tightened_once_a_pass(order, count):
    found = order(count).tolist()
    assert found[0] == 1
    assert sorted(found) == list(range(1, count + 1))


@given(st.integers(2, 50).map(lambda n: 4 * n))
def test_cross_goes_to_the_stud_opposite_and_then_a_quarter_on(count):
    groups = cross_order(count).reshape(-1, 4)
    steps = (groups - groups[:, :1]) % count
    assert (steps == np.array([0, count // 2, count // 4, 3 * count // 4])).all()


@given(st.integers(1, 60).map(lambda n: 2 * n))
def test_an_even_count_begins_with_opposite_studs(count):
    first, second = cross_order(count)[:2]
    assert abs(second - first) == count // 2


def test_one_stud_makes_no_order():
    with pytest.raises(WrongUse) as caught:
        cross_order(1)
    assert caught.value.problems[0].id == "fitting.too_few_studs"


@given(TORQUES, FACTORS, METRES)
def test_torque_and_load_are_each_others_inverse(torque, factor, diameter):
    load = load_by_nut_factor(factor, diameter, torque)
    assert torque_by_nut_factor(factor, diameter, load) == pytest.approx(torque)
    low, high = load_range(load)
    assert low < load < high


@given(TORQUES, FACTORS, FACTORS, METRES)
def test_the_torque_of_another_lubricant_gives_the_planned_load(t, planned, used, d):
    other = torque_for_other_lubricant(t, planned, used)
    planned_load = load_by_nut_factor(planned, d, t)
    assert load_by_nut_factor(used, d, other) == pytest.approx(planned_load)
    share = load_share_with_other_lubricant(planned, used)
    assert load_by_nut_factor(used, d, t) == pytest.approx(share * planned_load)


@given(st.sampled_from([*SCHEMES.values()]), st.floats(20.0, 30_000.0))
def test_passes_as_set_are_passes_as_allowed(scheme, target):
    low, high = allowed_shares(scheme)
    for torque, least, most in zip(
        pass_torques(target, scheme), low, high, strict=True
    ):
        assert torque <= target
        # Half of the allowance may go to the wrench's step, never all of it.
        assert least * target <= torque * 1.0001 or torque < 20.0
        assert torque <= most * target * 1.0001


@given(METRES, st.floats(0.005, 0.1), st.floats(0.001, 0.006), st.floats(0, 9))
def test_a_length_for_threads_leaves_those_threads(grip, nut, pitch, threads):
    length = length_for_threads(threads, grip, nut, pitch)
    assert threads_past_nut(length, grip, nut, pitch) == pytest.approx(
        threads, abs=1e-6
    )


@given(METRES)
def test_next_quarter_is_never_shorter_and_less_than_a_quarter_longer(length):
    quarter = 0.00635
    assert -1e-8 <= next_quarter(length) - length < quarter
    assert abs(nearest_quarter(length) - length) <= quarter / 2 + 1e-8
    assert float(point_allowance(length)) in {
        0.06 * 0.0254,
        0.12 * 0.0254,
        0.25 * 0.0254,
    }


@given(METRES, st.floats(0.001, 0.02), st.floats(-0.01, 0.03))
def test_a_sleeve_in_its_window_stands_out_less_than_the_washers(span, washers, more):
    low, high = length_window(span, washers)
    inside = low <= span + more <= high
    out = projection(span + more, span)
    # Within a rounding of either end both answers are right.
    assert inside == (0 <= out <= washers) or min(abs(out), abs(out - washers)) < 1e-9


@given(st.floats(0.013, 0.12), st.floats(0.0, 0.004))
def test_each_wall_takes_its_own_thickness_twice(hole, wall):
    assert hole_clearance(hole, hole - 0.003175, wall) == pytest.approx(
        0.003175 - 2 * wall
    )


@given(st.lists(st.tuples(KITS, PAPERS), min_size=1, max_size=5))
def test_many_are_judged_as_each_alone(pairs):
    kits, papers = [k for k, _ in pairs], [p for _, p in pairs]
    together = review_all(fittings_of_records(kits, papers))
    for row, (kit, paper) in enumerate(pairs):
        alone = review_all(fittings_of_records([kit], [paper])).of(0)
        # As text, in which a value that is not there equals itself.
        assert repr(together.of(row)) == repr(alone)


@given(st.lists(st.tuples(KITS, PAPERS), min_size=1, max_size=5), st.data())
def test_rows_taken_are_judged_as_in_the_whole(pairs, data):
    rows = fittings_of_records([k for k, _ in pairs], [p for _, p in pairs])
    taken = data.draw(st.lists(st.integers(0, len(pairs) - 1), max_size=4))
    whole, part = review_all(rows), review_all(rows.take(np.array(taken, np.int64)))
    for place, row in enumerate(taken):
        assert repr(part.of(place)) == repr(whole.of(row))


@given(st.lists(st.tuples(KITS, PAPERS), min_size=1, max_size=3))
def test_what_is_missing_never_condemns(pairs):
    kits, papers = [k for k, _ in pairs], [p for _, p in pairs]
    rows = fittings_of_records(kits, papers)
    for row, check in review_all(rows).faults():
        assert check.result is Result.DOES_NOT_MEET
        assert rows.kind[row] == 0 or check.name == "proven"


@given(st.sampled_from(FLANGES), st.integers(1, 59))
def test_only_the_very_row_of_a_flange_is_used(flange, count):
    kit = Device(
        joint_id=1,
        fitted_on=DAY,
        kind=DeviceKind.FLANGE_KIT,
        nominal_size=f"NPS {flange.size}",
        pressure_class=flange.pressure_class,
        facing="RF",
        stud_count=count,
    )
    paper = Installation(device_id=1, installed_on=DAY)
    found = review_all(fittings_of_records([kit], [paper])).found["stud_count"].check(0)
    assert (found.result is Result.MEETS) == (count == flange.stud_count)
