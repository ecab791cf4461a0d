"""Halving along a main: every drain is found, in few readings."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.sections import halving_plan, most_readings


def followed(cuts, drain):
    """Follow the plan to the one service that drains; return it and the readings."""
    step, readings, first, last = 1, 0, None, None
    while step:
        cut = cuts[step - 1]
        readings += 1
        before = drain <= cut.after
        first, last = (cut.first, cut.after) if before else (cut.after + 1, cut.last)
        step = cut.next_before if before else cut.next_beyond
    assert first == last
    return first, readings


@given(st.lists(st.floats(0.0, 1.0), min_size=2, max_size=40))
def test_every_drain_is_found(chance):
    cuts = halving_plan(np.array(chance))
    assert [c.step for c in cuts] == list(range(1, len(chance)))
    most = most_readings(cuts)
    for drain in range(len(chance)):
        found, readings = followed(cuts, drain)
        assert found == drain
        assert readings <= most


@pytest.mark.parametrize("count", [2, 3, 4, 20, 64, 100])
def test_equal_chances_take_the_fewest_readings(count):
    cuts = halving_plan(np.full(count, 1 / count))
    assert most_readings(cuts) == math.ceil(math.log2(count))


def test_a_likely_one_is_cut_off_first():
    cuts = halving_plan(np.array([0.9, 0.02, 0.02, 0.06]))
    assert (cuts[0].after, cuts[0].next_before) == (0, 0)


@pytest.mark.parametrize("count", [0, 1])
def test_one_service_needs_no_reading(count):
    assert halving_plan(np.ones(count)) == ()
    assert most_readings(()) == 0
