"""A joint of a small class is left out of its class's rate."""

from dataclasses import replace

import numpy as np
import pytest

from jointmap.hazard.dates import rates_of, risk_dates
from jointmap.hazard.failure_model import default_prior, from_json, to_json
from jointmap.hazard.learning import learn
from jointmap.hazard.small_classes import own_counts
from tests.failure_samples import DAY, GOOD, NEW_DEVICE, SHORTED, events, lives

# Four joints of one class, one of another, 22 of a third; one has failed.
CLASSES = np.array([0] * 4 + [1] + [2] * 22, np.int16)
START = ["2005-01-01"] * len(CLASSES)
RECORD = [(n, f"20{year:02d}-06-01", GOOD) for n in range(27) for year in (9, 15, 21)]
FAILED = [(0, "2018-03-01", SHORTED), (0, "2018-03-02", NEW_DEVICE)]
OTHER_FAILED = [(9, "2018-03-01", SHORTED), (9, "2018-03-02", NEW_DEVICE)]


def plant(*more):
    own = replace(lives(*START), device_class=CLASSES)
    return own, events(*RECORD, *FAILED, *OTHER_FAILED, *more)


@pytest.fixture(scope="module")
def model():
    own, record = plant()
    return learn(default_prior(), own, record, ("a", "b", "c"), ("all",))


def counted(model, own, record):
    return replace(own, own_counts=own_counts(model, own, record))


def test_the_joints_counts_add_up_to_their_class(model):
    own, record = plant()
    assert model.device.rates.joints.tolist() == [4, 1, 22]
    counts = own_counts(model, own, record)
    for n in (0, 1):
        of_class = counts[n == CLASSES].sum(axis=0)
        assert of_class[0] == pytest.approx(model.device.rates.failures[n], abs=5e-3)
        assert of_class[1] == pytest.approx(model.device.rates.exposure[n], rel=5e-3)
        assert of_class[4] == pytest.approx(model.device.rates.joint_years[n])
    assert not counts[CLASSES == 2, :4].any()
    # All 27 are of one class of places, which is not small.
    assert not counts[:, 2:4].any()


def test_alone_in_its_class_a_joint_has_the_plants_mean(model):
    own, record = plant()
    rates = rates_of(model, counted(model, own, record))
    mean = model.device.pool.mean_rate
    assert rates.device_rate[4] == pytest.approx(mean, rel=5e-3)
    assert rates.device_rate[9] == model.device.rates.rate[2]


def test_its_own_failure_counts_once(model):
    own, record = plant()
    twice = rates_of(model, own)
    once = rates_of(model, counted(model, own, record))
    assert once.device_rate[0] < twice.device_rate[0]
    assert (once.device_rate[1:4] > twice.device_rate[1:4]).all()
    ends = [
        risk_dates(model, o, record, DAY).end_on
        for o in (own, counted(model, own, record))
    ]
    assert ends[1][0] > ends[0][0]
    assert (ends[1][1:4] < ends[0][1:4]).all()
    assert (ends[1][5:] == ends[0][5:]).all()


def test_what_came_after_learning_is_not_taken_out(model):
    own, record = plant()
    _, later = plant((1, "2023-06-01", SHORTED))
    before, after = (own_counts(model, own, r) for r in (record, later))
    assert (before == after).all()


def test_how_small_is_a_number_of_the_model(model):
    own, record = plant()
    assert not own_counts(replace(model, small_class=0), own, record).any()
    read = from_json(to_json(replace(model, small_class=23)))
    assert read.learned_until == model.learned_until
    assert own_counts(read, own, record)[9, :2].any()
    # Without a record of the class's size or day nothing is left out.
    unsized = replace(model.device, rates=replace(
        model.device.rates, joints=np.zeros(3)
    ))  # fmt: skip
    assert not own_counts(replace(model, device=unsized), own, record).any()
    undated = replace(model, learned_until=None)
    assert not own_counts(undated, own, record).any()


def test_the_same_record_has_few_different_likenesses(model):
    """Joints of one likeness go as one chunk through the filter."""
    own, record = plant()
    rates = rates_of(model, counted(model, own, record))
    assert len(np.unique(rates.likeness[:4])) <= 3
