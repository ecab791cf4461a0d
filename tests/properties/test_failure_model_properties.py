"""What must hold for hidden-failure dates, whatever the record.

Two things look as if they must hold and do not; nothing here asserts them: that a
failure never lengthens (a repaired ageing joint is young again: hence the ratchet), and
that a pass never shortens the interval's length (it never brings the date forward).
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.errors import Refused
from jointmap.intervals.class_rates import Pool, pooled
from jointmap.intervals.failure_model import (
    MECHANISMS,
    Ageing,
    ClassFamily,
    ageing_alike,
    default_prior,
)
from jointmap.intervals.hazard_ages import Change, LifeEvents
from jointmap.intervals.hazard_dates import LifeColumns, risk_dates
from jointmap.intervals.hazard_filter import HazardEvents, belief_after
from jointmap.intervals.hazard_interval import Ahead, years_to_average, years_to_end
from jointmap.intervals.hazard_nodes import dense_nodes
from jointmap.intervals.hazard_ratchet import ratchet_dates
from jointmap.register.codes import Verdict, code_of
from jointmap.tables import METHOD_CODES

GOOD, WEAK = METHOD_CODES["potential-shift"], METHOD_CODES["potential-difference"]
ISOLATING, DOUBTFUL, SHORTED = (
    code_of(v) for v in (Verdict.ISOLATING, Verdict.DOUBTFUL, Verdict.SHORTED)
)
START = np.datetime64("2005-01-01")
ON = np.datetime64("2026-05-15")
# Whole days: two sums that agree to a hundred-thousandth may fall on two sides of one.
A_DAY = np.timedelta64(1, "D")

TEST = st.tuples(
    st.integers(1, 1200),
    st.sampled_from([GOOD, WEAK]),
    st.integers(0, 2),
    st.booleans(),
)
RECORD = st.lists(TEST, min_size=1, max_size=8)


def model(rate, shape, likeness, spread, end, average):
    """A plant of one class; ``likeness`` says how sure its rate is."""
    half = ClassFamily(Pool(rate / 2, likeness / 2))
    made = default_prior()
    target = replace(made.targets[0], end_chance=end, average_chance=average)
    return replace(
        made,
        ageing=ageing_alike(shape),
        joint_spread=spread,
        device=replace(half, pool=Pool(rate / 2 * 0.8 ** (1 - shape), likeness / 2)),
        place=half,
        targets=(target,),
        cautious_class="",
    )


MODEL = st.builds(
    model,
    st.floats(0.002, 0.05),
    st.floats(0.7, 3.0),
    st.floats(0.6, 20.0),
    st.floats(0.8, 20.0),
    st.sampled_from([0.01, 0.02, 0.05, 0.1]),
    st.sampled_from([0.005, 0.02, 0.99]),
)


def record(tests):
    """Events of one joint: gaps in days, methods, verdicts, and whether repaired."""
    day, rows = START, []
    for gap, method, verdict, repaired in tests:
        day = day + gap
        rows.append((day, 0, Change.NONE, method, verdict, False))
        if repaired and verdict == SHORTED:
            rows.append((day, 1, Change.DEVICE, -1, -1, True))
    return events(rows)


def events(rows):
    columns = list(zip(*rows, strict=True)) if rows else [()] * 6
    day, turn, change, method, verdict, device = columns
    whole = [np.array(c, np.int16) for c in (turn, change, method, verdict)]
    device = np.array(device, bool)
    days = np.array(day, "datetime64[D]")
    return LifeEvents(
        np.zeros(len(rows), np.int64), days, *whole, device, ~device & False
    )


def life(consequence=0):
    code = np.zeros(1, np.int16)
    return LifeColumns(np.array([START]), code, code, code + consequence, code)


def asked(made, own, on=ON):
    return risk_dates(made, life(), own, on)


def due(made, own, on=ON):
    dates = asked(made, own, on)
    return np.fmin(dates.end_on, dates.average_on)[0]


def with_verdict(own, at, verdict):
    found = own.verdict.copy()
    found[at] = verdict
    return replace(own, verdict=found)


def joined(own, more):
    pairs = [
        (getattr(own, n), getattr(more, n)) for n in LifeEvents.__dataclass_fields__
    ]
    return LifeEvents(*(np.concatenate(p) for p in pairs))


def one_more(own, gap, method, verdict):
    day = own.happened_on.max() + gap
    return joined(own, events([(day, 0, Change.NONE, method, verdict, False)]))


@given(MODEL, RECORD, st.integers(0, 7))
def test_a_worse_verdict_never_lengthens_and_never_reassures(made, tests, which):
    own = record([(g, m, v, False) for g, m, v, _ in tests])
    at = which % len(own)
    kinds = [with_verdict(own, at, v) for v in (SHORTED, DOUBTFUL, ISOLATING)]
    dates = [due(made, k) for k in kinds]
    assert dates[0] <= dates[1] + A_DAY
    assert dates[1] <= dates[2] + A_DAY
    failed = [asked(made, k).failed[0] for k in kinds]
    assert failed[0] >= failed[1] * (1 - 1e-4) >= failed[2] * (1 - 2e-4)


@given(MODEL, RECORD, st.integers(0, 900), st.sampled_from([GOOD, WEAK]))
def test_one_more_isolating_test_never_brings_the_date_forward(
    made, tests, gap, method
):
    own = record(tests)
    assert due(made, one_more(own, gap, method, ISOLATING)) >= due(made, own) - A_DAY


@given(MODEL, RECORD, st.sampled_from([GOOD, WEAK]), st.integers(0, 2))
def test_a_short_without_repair_never_extends(made, tests, method, later):
    own = record(tests)
    day = due(made, own)
    last = own.happened_on.max()
    # The new test falls before the date it would move.
    gap = min(later, int((day - last).astype(int)))
    worse = one_more(own, max(gap, 0), method, SHORTED)
    assert due(made, worse) <= day + A_DAY


@given(MODEL, RECORD, st.floats(0.1, 1.0))
def test_a_stricter_target_never_lengthens(made, tests, factor):
    own, target = record(tests), made.targets[0]
    for name in ("end_chance", "average_chance"):
        row = replace(target, **{name: getattr(target, name) * factor})
        assert due(replace(made, targets=(row,)), own) <= due(made, own)


@given(MODEL, RECORD, st.integers(1, 3000))
def test_the_date_stays_while_nothing_happens(made, tests, days):
    own = record(tests)
    later = own.happened_on.max() + days
    assert due(made, own, later) == due(made, own, ON)
    waited = asked(made, own, later)
    assert waited.failed_on_day[0] >= waited.failed[0] - 1e-12


@given(MODEL, RECORD, st.floats(0.7, 3.0), st.sampled_from([0, 1]))
def test_the_ageing_of_one_mechanism_moves_no_date_of_the_other(
    made, tests, shape, moved
):
    own = record(tests)
    name = MECHANISMS[moved]
    other = replace(made, ageing={**made.ageing, name: Ageing(shape)})
    still = replace(life(), mechanism=np.array([1 - moved], np.int16))
    before, after = (risk_dates(m, still, own, ON) for m in (made, other))
    assert (before.end_on, before.average_on) == (after.end_on, after.average_on)
    assert before.failed == after.failed
    # And its own dates follow it, as they would with that shape for all.
    own_kind = replace(life(), mechanism=np.array([moved], np.int16))
    alike = replace(made, ageing=ageing_alike(shape))
    pair = [risk_dates(m, own_kind, own, ON) for m in (other, alike)]
    assert pair[0].end_on == pair[1].end_on
    assert pair[0].device_shape[0] == shape


@given(MODEL, RECORD)
def test_years_or_months_leave_the_date(made, tests):
    """Ages in months, rates in the same unit: twelve times as many come out."""
    steps = len(tests)
    gaps = np.array([t[0] for t in tests]) / 365.25
    age = np.concatenate([[0.0], np.cumsum(gaps)])
    shape, rate = made.shapes()[0], made.place.pool.mean_rate
    nodes = dense_nodes(made.joint_spread)
    years = []
    for unit in (1.0, 12.0):
        device = rate / unit**shape
        hazard = device * np.diff((age * unit) ** shape) + rate / unit * gaps * unit
        own = HazardEvents(
            np.zeros(steps, int), hazard, np.full(steps, 0.04), np.full(steps, 0.975),
            np.zeros(steps, bool),
        )  # fmt: skip
        ahead = Ahead(
            *(np.array([x]) for x in (age[-1] * unit, device, shape, rate / unit))
        )
        belief = belief_after(own, 1, nodes)
        end = years_to_end(belief, nodes, ahead, np.array([0.3]))
        mean = years_to_average(belief, nodes, ahead, np.array([0.1]), end)
        years.append(np.array([end[0], mean[0]]) / unit)
    assert years[0] == pytest.approx(years[1], rel=1e-8)


@given(MODEL, RECORD, st.randoms())
def test_order_of_rows_and_repeats_change_nothing(made, tests, chance):
    own = record(tests)
    order = list(range(len(own)))
    chance.shuffle(order)
    shuffled = own.take(np.array(order))
    assert due(made, shuffled) == due(made, own)
    assert due(made, joined(own, own.take(np.array(order[:2])))) == due(made, own)


@given(
    MODEL,
    RECORD,
    st.tuples(st.sampled_from([GOOD, WEAK]), st.integers(0, 2)),
    st.tuples(st.sampled_from([GOOD, WEAK]), st.integers(0, 2)),
)
def test_tests_of_one_day_commute(made, tests, first, second):
    own = record(tests)
    one = one_more(one_more(own, 30, *first), 0, *second)
    other = one_more(one_more(own, 30, *second), 0, *first)
    assert due(made, one) == due(made, other)
    failed = [asked(made, r).failed[0] for r in (one, other)]
    assert failed[0] == pytest.approx(failed[1], rel=1e-9)


@given(MODEL, RECORD, st.integers(1, 900))
def test_passing_a_more_sensitive_method_is_never_worse(made, tests, gap):
    own = record(tests)
    good, weak = (due(made, one_more(own, gap, m, ISOLATING)) for m in (GOOD, WEAK))
    # Only where the weak one finds fewer of the failed and clears fewer of the sound.
    assert good >= weak - A_DAY


@given(MODEL, st.lists(st.integers(1, 900), min_size=2, max_size=6))
def test_without_ageing_the_interval_never_shrinks_with_sure_passes(made, gaps):
    """One that may miss leaves more doubt after a longer gap: not asserted."""
    sure = [replace(e, failed=(1e-12, 1e-11, 1 - 1.1e-11)) for e in made.errors]
    shape = min(made.shapes()[0], 1.0)
    young = replace(made, ageing=ageing_alike(shape), errors=tuple(sure))
    lengths = []
    for n in range(1, len(gaps) + 1):
        own = record([(g, GOOD, ISOLATING, False) for g in gaps[:n]])
        lengths.append((due(young, own) - own.happened_on.max()).astype(int))
    assert all(b >= a - 1 for a, b in pairwise(lengths))


@given(MODEL, RECORD, st.floats(1.0, 2.0))
def test_a_higher_rate_never_lengthens(made, tests, factor):
    own = record(tests)
    more = {
        n: ClassFamily(
            Pool(
                getattr(made, n).pool.mean_rate * factor, getattr(made, n).pool.likeness
            )
        )
        for n in ("device", "place")
    }
    assert due(replace(made, **more), own) <= due(made, own) + A_DAY


@given(st.floats(0.001, 0.05), st.floats(0.3, 20), st.floats(0, 12), st.floats(1, 2000))
def test_a_pass_turned_into_a_failure_never_lowers_the_class(
    mean, likeness, failures, years
):
    counts = np.array([[failures, failures + 1], [years, years], [years, years]])
    found = pooled(Pool(mean, likeness), *counts)
    assert found.rate[1] >= found.rate[0]
    assert found.sureness[1] >= found.sureness[0]
    b = likeness / mean + years
    tau = b * np.expm1(-np.log1p(-0.05) / found.sureness)
    assert tau[1] <= tau[0]


@given(MODEL, RECORD)
def test_after_a_repair_no_longer_interval_than_before(made, tests):
    own = record([*tests, (400, GOOD, SHORTED, True)])
    until, days = ratchet_dates(made, life(), own, ON)
    repaired_on = own.happened_on.max()
    earlier = own.take(own.happened_on < repaired_on)
    allowed = due(made, earlier) - asked(made, earlier).last_on[0]
    assert until[0] == repaired_on + allowed
    assert days[0] == allowed.astype(int)
    proved = one_more(own, 0, GOOD, ISOLATING)
    left = replace(
        proved, turn=np.where(np.arange(len(proved)) == len(own), 2, proved.turn)
    )
    assert np.isnat(ratchet_dates(made, life(), left, ON)[0][0])


def test_a_test_before_the_start_is_refused():
    early = events([(START - 1, 0, Change.NONE, GOOD, ISOLATING, False)])
    with pytest.raises(Refused) as refused:
        asked(default_prior(), early)
    assert refused.value.problems[0].id == "risk.before_start"


def test_a_class_without_target_has_no_date():
    own = record([(300, GOOD, ISOLATING, False)])
    dates = risk_dates(default_prior(), life(consequence=-1), own, ON)
    assert np.isnat(dates.end_on[0])
    assert np.isnat(dates.average_on[0])


def test_a_short_then_a_repair_lengthens_an_ageing_joint():
    """The first trap, as a fact: not asserted of all, shown of one."""
    made = model(0.05, 3.0, 20.0, 20.0, 0.05, 0.99)
    gaps = [(700, GOOD, ISOLATING, False)] * 8
    passed = record([*gaps, (700, GOOD, ISOLATING, False)])
    failed = record([*gaps, (700, GOOD, SHORTED, True)])
    assert due(made, failed) > due(made, passed)
    assert ratchet_dates(made, life(), failed, ON)[0][0] < due(made, failed)


def test_a_pass_may_shorten_the_length_but_not_the_date():
    """The second trap: the joint is older, so the next interval is shorter."""
    made = model(0.05, 3.0, 20.0, 20.0, 0.05, 0.99)
    few = record([(700, GOOD, ISOLATING, False)] * 6)
    more = one_more(few, 700, GOOD, ISOLATING)
    lengths = [due(made, r) - r.happened_on.max() for r in (few, more)]
    assert lengths[1] < lengths[0]
    assert due(made, more) >= due(made, few)
