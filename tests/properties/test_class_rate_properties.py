"""What must hold for the rates of classes, counted by hand or learned from a plant."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from jointmap.hazard.class_rates import Pool, pooled
from jointmap.hazard.dates import LifeColumns, rates_of
from jointmap.hazard.failure_model import default_prior
from jointmap.hazard.learning import LEAST_FAILURES, learn
from tests.random_lives import (
    A_DAY,
    GOOD,
    ISOLATING,
    SHORTED,
    START,
    a_test,
    asked,
    events,
    joined,
    with_verdict,
)
from tests.sizes import examples

# One joint: its class, its place's class, and the gaps between its good tests.
JOINTS = st.lists(
    st.tuples(
        st.integers(0, 2),
        st.integers(0, 1),
        st.lists(st.integers(30, 1000), min_size=1, max_size=8),
    ),
    min_size=2,
    max_size=10,
)
DEVICES, PLACES = ("kit", "sleeve", "coupling"), ("protection", "sectioning")


def plant(joints):
    """Return the lives of a plant whose every test was good."""
    found = events([])
    for row, (_, _, gaps) in enumerate(joints):
        for day in START + np.cumsum(gaps):
            one = replace(a_test(day, GOOD, ISOLATING), row=np.array([row]))
            found = joined(found, one)
    starts = np.full(len(joints), START)
    device, place = (np.array([j[i] for j in joints], np.int16) for i in (0, 1))
    # Sleeves and couplings are buried.
    code = np.ones(len(joints), np.int16)
    codes = (device, place, code, np.minimum(device, code))
    return LifeColumns(starts, *codes, np.zeros((len(starts), 5))), found


def learned(own, record):
    return learn(default_prior(), own, record, DEVICES, PLACES)


@examples(20)
@given(JOINTS, st.lists(st.integers(0, 79), max_size=LEAST_FAILURES - 2), st.data())
def test_a_pass_turned_into_a_failure_never_lowers_nor_lengthens(joints, bad, data):
    """Learned anew from the whole plant, seen by any joint of the class.

    Which of its two causes is blamed may change, so their sum is looked at.
    """
    own, record = plant(joints)
    for at in bad:
        record = with_verdict(record, at % len(record), SHORTED)
    good = np.flatnonzero(record.verdict == ISOLATING)
    if not len(good):
        return
    at = data.draw(st.sampled_from(good.tolist()))
    worse = with_verdict(record, at, SHORTED)
    one = own.take(record.row[[at]])
    models = [learned(own, r) for r in (record, worse)]
    sums = [r.device_rate + r.place_rate for r in (rates_of(m, one) for m in models)]
    assert sums[1][0] >= sums[0][0] * (1 - 1e-6)
    before, after = (_due_untested(m, one) for m in models)
    assert after <= before + A_DAY


def _due_untested(made, one):
    dates = asked(made, events([]), of=one)
    return np.fmin(dates.end_on, dates.average_on)[0]


COUNTS = st.tuples(
    st.floats(0.001, 0.05), st.floats(0.3, 20), st.floats(0, 12), st.floats(1, 2000)
)


@given(COUNTS)
def test_one_failure_more_never_lowers_the_class(counts):
    mean, likeness, failures, years = counts
    columns = np.array([[failures, failures + 1], [years, years], [years, years]])
    found = pooled(Pool(mean, likeness), *columns)
    assert found.rate[1] >= found.rate[0]
    assert found.sureness[1] >= found.sureness[0]
    exposure = likeness / mean + years
    tau = exposure * np.expm1(-np.log1p(-0.05) / found.sureness)
    assert tau[1] <= tau[0]


@given(COUNTS, st.floats(0.1, 2000))
def test_a_class_lies_between_the_plant_and_its_own_count(counts, more):
    mean, likeness, failures, years = counts
    columns = np.array([[failures] * 2, [years, years + more], [years] * 2])
    found = pooled(Pool(mean, likeness), *columns)
    own = failures / years
    low, high = min(mean, own), max(mean, own)
    assert low * (1 - 1e-12) <= found.rate[0] <= high * (1 + 1e-12)
    assert 0 < found.rate[1] < found.rate[0]
