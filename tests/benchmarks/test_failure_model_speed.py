"""Hidden-failure dates of many joints, as ratios to a named baseline."""

from dataclasses import replace

import numpy as np
import pytest

from jointmap.hazard.ages import gathered
from jointmap.hazard.class_rates import Pool, pooled
from jointmap.hazard.dates import (
    LifeColumns,
    LifeEvents,
    grids,
    hazard_events,
    rates_of,
    risk_dates,
)
from jointmap.hazard.failure_model import ClassFamily, ageing_alike, default_prior
from jointmap.hazard.filter import beliefs
from jointmap.hazard.nodes import laguerre_nodes
from jointmap.tables import METHOD_CODES
from tests.cpu_time import seconds

pytestmark = pytest.mark.benchmark
TESTS_EACH = 10
GOOD, SHORTED = 0, 2
ON = np.datetime64("2026-05-15")


def many(joints):
    """Joints with ten tests each in mixed order; about one in fifty reads shorted."""
    number = np.arange(joints)
    start = np.datetime64("2005-01-01") + number % 1000
    tests = joints * TESTS_EACH
    # A stride prime to the count mixes the rows without chance.
    row = (np.arange(tests) * 7919) % tests
    whose, turn = row % joints, row // joints
    day = start[whose] + 500 * (turn + 1) + whose * 31 % 97
    verdict = np.where((whose * 13 + turn * 7) % 50 == 0, SHORTED, GOOD)
    zero, no = np.zeros(tests, np.int16), np.zeros(tests, np.bool_)
    method = np.full(tests, METHOD_CODES["potential-shift"], np.int16)
    events = LifeEvents(
        whose, day, zero, zero, method, verdict.astype(np.int16), no, no
    )
    code = np.zeros(joints, np.int16)
    classes = (code, code, (number % 4).astype(np.int16), code)
    return LifeColumns(start, *classes, np.zeros((joints, 5))), events


def model():
    pool = Pool(0.004, 2.0)
    counts = np.array([[40.0], [9000.0], [9000.0]])
    family = ClassFamily(pool, ("one",), pooled(pool, *counts))
    aged = ageing_alike(1.4)
    return replace(default_prior(), ageing=aged, device=family, place=family)


def bare(hazard, failed, sound, nodes):
    """The same recursion as a person would write it: whole arrays, rank by rank."""
    rows = hazard.shape[1]
    z = nodes.multiplier[:, None]
    q = np.zeros((len(z), rows))
    w = np.repeat(nodes.weight[:, None], rows, axis=1)
    for h, f, s in zip(hazard, failed, sound, strict=True):
        q = 1 - (1 - q) * np.exp(-z * h)
        likely = q * f + (1 - q) * s
        q = q * f / likely
        w = w * likely
        w = w / w.sum(axis=0)
    return q, w


def test_filter_against_the_bare_recursion(count):
    joints = count(100_000, 1_000_000)
    lives, events = many(joints)
    made = model()
    steps, _ = gathered(lives.starts_on, events, made.repeat_days)
    rates = rates_of(made, lives)
    filled = hazard_events(made, rates, steps)
    grid = grids(rates, steps, filled)
    shape = (joints, TESTS_EACH)
    table = [
        np.ascontiguousarray(getattr(filled, n).reshape(shape).T)
        for n in ("hazard", "given_failed", "given_sound")
    ]
    nodes = laguerre_nodes(float(rates.likeness[1]))
    base, (q, w) = seconds(bare, *table, nodes)
    failed = np.empty(joints)

    def ours():
        for rows, _, belief, _ in beliefs(filled, rates.likeness, grid):
            failed[rows] = belief.failed

    own, _ = seconds(ours)
    whole, dates = seconds(risk_dates, made, lives, events, ON)
    print(  # noqa: T201
        f"{joints} joints, {len(events)} tests: filter {own:.2f} s, bare {base:.2f} s, "
        f"ratio {own / base:.2f}; ages, filter and both dates {whole:.2f} s, "
        f"ratio {whole / base:.2f}"
    )
    plain = (grid == 0) & (rates.likeness == rates.likeness[1])
    exact = np.einsum("kn,kn->n", q, w)
    assert failed[plain] == pytest.approx(exact[plain], abs=1e-10)
    assert len(dates) == joints
    assert own < 3 * base
    assert whole < 3 * base
