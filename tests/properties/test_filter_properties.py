"""The filter against full enumeration, its nodes against a far denser sum."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.hazard.filter import HazardEvents, belief_after
from jointmap.hazard.interval import Ahead, years_to_end
from jointmap.hazard.nodes import (
    dense_nodes,
    grid_needed,
    laguerre_nodes,
    nodes_of,
)

CHANCES = st.floats(0.01, 0.99)
STEPS = st.lists(
    st.tuples(st.floats(0, 1.5), CHANCES, CHANCES, st.booleans()),
    min_size=1,
    max_size=6,
)


def enumerated(steps, nodes):
    """Sum over every step in which a failure may lie; returns belief and likelihood."""
    total, failed_now = 0.0, 0.0
    for z, weight in zip(nodes.multiplier, nodes.weight, strict=True):
        paths = {False: weight, True: 0.0}
        for hazard, bad, good, renews in steps:
            dies = -np.expm1(-z * hazard)
            after = {True: 0.0, False: 0.0}
            for was, now in product((False, True), repeat=2):
                moved = (1.0 if now else 0.0) if was else (dies if now else 1 - dies)
                after[now] += paths[was] * moved * (bad if now else good)
            paths = {False: after[False] + after[True], True: 0.0} if renews else after
        total += paths[False] + paths[True]
        failed_now += paths[True]
    return failed_now / total, np.log(total)


@given(STEPS, st.floats(0.3, 30))
def test_the_filter_equals_full_enumeration(steps, likeness):
    nodes = laguerre_nodes(likeness)
    belief = _belief(steps, nodes)
    failed, log_likelihood = enumerated(steps, nodes)
    assert belief.failed[0] == pytest.approx(failed, abs=1e-12)
    assert belief.log_likelihood[0] == pytest.approx(log_likelihood, abs=1e-11)


@given(st.lists(st.floats(0.01, 1.0), min_size=2, max_size=6), st.floats(0.5, 3))
def test_perfect_tests_give_the_interval_censored_likelihood(hazards, likeness):
    nodes = laguerre_nodes(likeness)
    n = len(hazards)
    good = np.arange(n) < n - 1
    tiny = 1e-300
    own = HazardEvents(
        np.zeros(n, int), np.array(hazards), np.where(good, tiny, 1.0),
        np.where(good, 1.0, tiny), np.zeros(n, bool),
    )  # fmt: skip
    belief = belief_after(own, 1, nodes)
    h = np.cumsum(hazards)
    lived = np.exp(-nodes.multiplier * h[-2]) - np.exp(-nodes.multiplier * h[-1])
    assert belief.log_likelihood[0] == pytest.approx(
        np.log(nodes.weight @ lived), abs=1e-12
    )


@given(
    st.lists(
        st.tuples(st.floats(0.005, 0.8), st.integers(0, 5)), min_size=1, max_size=8
    ),
    st.floats(0.6, 20),
    st.sampled_from([0.01, 0.02, 0.05, 0.1]),
)
def test_the_nodes_chosen_agree_with_a_far_denser_sum(steps, likeness, target):
    hazard = np.array([h for h, _ in steps])
    bad = np.array([v == 0 for _, v in steps])
    own = HazardEvents(
        np.zeros(len(steps), int), hazard, np.where(bad, 0.93, 0.04),
        np.where(bad, 0.005, 0.975), bad,
    )  # fmt: skip
    facts = (np.array([x]) for x in (likeness, float(bad.sum()), hazard.sum()))
    nodes = nodes_of(likeness, int(grid_needed(*facts)[0]))
    ahead = Ahead(*(np.array([x]) for x in (3.0, 0.01, 1.5, 0.01)))
    goal = np.array([target])
    years = years_to_end(belief_after(own, 1, nodes), nodes, ahead, goal)
    finest = _fine_nodes(likeness)
    exact = years_to_end(belief_after(own, 1, finest), finest, ahead, goal)
    assert years[0] == pytest.approx(exact[0], rel=1e-3)


def _fine_nodes(likeness):
    log_z = np.linspace(-60.0, np.log(120.0 / likeness + 60.0), 4001)
    z = np.exp(log_z)
    weight = np.exp(likeness * log_z - likeness * z)
    return type(dense_nodes(1.0))(z, weight / weight.sum())


@given(STEPS, st.floats(0.3, 30), st.data())
def test_two_verdicts_with_no_time_between_commute(steps, likeness, data):
    nodes = laguerre_nodes(likeness)
    at = data.draw(st.integers(0, len(steps) - 1))
    hazard, bad, good, _ = steps[at]
    second = (0.0, data.draw(CHANCES), data.draw(CHANCES), False)
    pairs = (
        [(hazard, bad, good, False), second],
        [
            (hazard, *second[1:]),
            (0.0, bad, good, False),
        ],
    )
    found = [_belief([*steps[:at], *pair, *steps[at + 1 :]], nodes) for pair in pairs]
    for name in ("failed", "log_likelihood"):
        one, other = (getattr(b, name)[0] for b in found)
        assert one == pytest.approx(other, rel=1e-9, abs=1e-12)


@given(STEPS, st.floats(0.3, 30), CHANCES)
def test_a_verdict_as_likely_of_both_says_nothing(steps, likeness, chance):
    nodes = laguerre_nodes(likeness)
    before = _belief(steps, nodes)
    after = _belief([*steps, (0.0, chance, chance, False)], nodes)
    assert after.failed[0] == pytest.approx(before.failed[0], abs=1e-12)


def _belief(steps, nodes):
    columns = [np.array(c) for c in zip(*steps, strict=True)]
    return belief_after(HazardEvents(np.zeros(len(steps), int), *columns), 1, nodes)
