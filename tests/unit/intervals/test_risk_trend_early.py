"""Candidates by risk, learning, outlook, trend, early classes."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from jointmap.hazard import candidates as hazard_candidates
from jointmap.hazard import learning
from jointmap.hazard.candidates import risk_of
from jointmap.hazard.early_classes import (
    Watched,
    corrected_for_looks,
    early_classes,
    early_years,
)
from jointmap.hazard.failure_model import (
    default_prior,
)
from jointmap.hazard.learning import learn
from jointmap.hazard.outlook import average_hidden, predicted_and_found
from jointmap.hazard.trend import (
    Readings,
    lines_through,
    method_spread,
    remaining_years,
    trend_dates,
)
from jointmap.intervals.candidates import REASONS
from jointmap.register.codes import Basis
from jointmap.tables.risk import METHOD_ERRORS
from tests.failure_samples import (
    DAY,
    GOOD,
    NEW_DEVICE,
    SHORTED,
    days,
    events,
    lives,
)
from tests.simulated_plant import NAMES, Plant


def test_candidates_of_risk():
    model = default_prior()
    own = lives("2020-01-01", "2020-01-01", "2020-01-01", "2020-01-01", consequence=1)
    own = replace(own, consequence=np.array([1, 1, 1, -1], np.int16))
    record = events(
        (0, "2025-01-01", GOOD),
        (1, "2025-01-01", SHORTED),
        (2, "2024-01-01", GOOD),
        (2, "2025-01-01", SHORTED),
        (2, "2025-02-01", NEW_DEVICE),
    )
    risk = risk_of(model, own, record, np.array([10, 11, 12, 13]), DAY)
    found = {
        (int(r), REASONS[int(c)]): d
        for r, c, d in zip(
            risk.candidates.row,
            risk.candidates.reason,
            risk.candidates.last_allowed_on,
            strict=True,
        )
    }  # fmt: skip
    assert set(found) == {
        (10, "due.risk_average"),
        (11, "due.risk_least"),
        (12, "due.risk_average"),
        (12, "due.risk_ratchet"),
        (10, "due.risk_cap"),
        (11, "due.risk_cap"),
        (12, "due.risk_cap"),
    }
    assert found[11, "due.risk_least"] == days("2025-01-31")[0]
    assert found[10, "due.risk_cap"] == days("2027-01-01")[0]
    bases = dict(zip(risk.candidates.reason, risk.candidates.basis, strict=True))
    assert bases[REASONS.index("due.risk_cap")] == Basis.OWNER
    only_end = replace(
        model, targets=tuple(replace(t, average_chance=0.9) for t in model.targets)
    )
    ends = risk_of(only_end, own, record, np.arange(4), DAY).candidates
    assert REASONS.index("due.risk") in ends.reason


def test_blocks_of_joints_have_the_risk_of_the_whole(monkeypatch):
    model = default_prior()
    own = lives("2020-01-01", "2019-01-01", "2018-01-01", "2017-01-01", "2016-01-01")
    record = events(
        (0, "2025-01-01", GOOD),
        (4, "2024-01-01", GOOD),
        (2, "2025-01-01", SHORTED),
        (2, "2025-02-01", NEW_DEVICE),
        (3, "2025-03-01", GOOD),
    )
    whole = risk_of(model, own, record, np.arange(10, 15), DAY)
    monkeypatch.setattr(hazard_candidates, "_AT_A_TIME", 2)
    parts = risk_of(model, own, record, np.arange(10, 15), DAY)
    for name in ("last_on", "end_on", "average_on", "isolating"):
        assert (getattr(parts.dates, name) == getattr(whole.dates, name)).all()
    assert parts.dates.failed == pytest.approx(whole.dates.failed, rel=1e-12)
    said = [
        sorted(
            zip(
                risk.candidates.row.tolist(),
                risk.candidates.reason.tolist(),
                risk.candidates.last_allowed_on.tolist(),
                strict=True,
            )
        )
        for risk in (whole, parts)
    ]
    assert said[0] == said[1]


def test_learning_from_few_failures_keeps_the_prior_shape():
    own = lives("2010-01-01", "2010-01-01")
    record = events((0, "2015-01-01", GOOD), (1, "2015-01-01", SHORTED))
    model = learn(default_prior(), own, record, ("kit",), ("protection",))
    assert model.shapes().tolist() == [1.0, 1.0]
    assert model.ageing["above ground"].shorts == 1
    assert model.device.names == ("kit",)
    assert "effective failures in 10 joint-years" in model.data
    assert model.device.rates.joint_years[0] == pytest.approx(10, abs=0.01)


def test_learning_is_the_same_for_a_sample_that_is_the_whole(monkeypatch):
    plant = Plant(3, 150)
    plant.history(20.0)
    whole = learn(default_prior(), plant.lives(), plant.events(), NAMES, NAMES)
    monkeypatch.setattr(learning, "SAMPLE", 100)
    part = learn(default_prior(), plant.lives(), plant.events(), NAMES, NAMES)
    assert part.data.split(" in ")[1] == whole.data.split(" in ")[1]
    ratio = part.shapes() / whole.shapes()
    assert ((ratio > 0.5) & (ratio < 2.0)).all()


def test_what_a_plan_leaves_hidden():
    own = lives("2020-01-01", "2020-01-01")
    record = events((0, "2024-01-01", GOOD), (1, "2024-01-01", GOOD))
    hidden = average_hidden(default_prior(), own, record, days("2025-01-01", "NaT"))
    assert 0 < hidden[0] < 0.05
    assert np.isnan(hidden[1])


def test_predicted_against_found_by_quarter():
    own = lives("2020-01-01")
    record = events(
        (0, "2024-01-15", GOOD), (0, "2024-02-15", SHORTED), (0, "2024-04-01", GOOD)
    )
    found = predicted_and_found(default_prior(), own, record)
    assert found.begins_on.tolist() == [dt.date(2024, 1, 1), dt.date(2024, 4, 1)]
    assert (found.tests.tolist(), found.found.tolist()) == ([2, 1], [1, 0])
    assert ((found.low <= found.predicted) & (found.predicted <= found.high)).all()
    assert not found.outside.any()


def readings(values, step=0.5):
    n = len(values)
    zero = np.zeros(n, np.int64)
    return Readings(zero, 50 + step * np.arange(n), np.array(values), zero.astype("i2"))


def test_trends_that_are_none():
    for values, step in (
        ([9.0, 8, 7], 0.5),
        ([9.0, 8, 7, 6], 0.2),
        ([6.0, 7, 8, 9], 0.5),
    ):
        lines = lines_through(readings(values, step), 1)
        assert np.isnat(trend_dates(lines, np.array([3.0]), np.array([0.1]))[0])
    lines = lines_through(readings([9.0, 8, 7, 6]), 1)
    for limit, spread in ((np.nan, 0.1), (3.0, np.nan)):
        assert np.isinf(remaining_years(lines, np.array([limit]), np.array([spread])))[
            0
        ]


def test_trend_to_half_of_what_is_left():
    lines = lines_through(readings([9.0, 8, 7, 6]), 1)
    spread = np.array([1e-9])
    assert remaining_years(lines, np.array([4.0]), spread)[0] == pytest.approx(1.0)
    assert remaining_years(lines, np.array([7.0]), spread)[0] == 0.0
    due = trend_dates(lines, np.array([4.0]), spread)
    assert due[0] == days("1970-01-01")[0] + round(51.5 * 365.25) + int(0.5 * 365.25)


def test_scatter_is_pooled_by_method():
    lines = lines_through(readings([5.0, 5.2, 5.0, 5.2]), 1)
    found = method_spread(lines, 2)
    assert found[0] == pytest.approx(np.sqrt(lines.squared_misses[0] / 2))
    assert np.isnan(found[1])


def test_early_classes_are_held_against_all_others():
    fitted = np.zeros(40)
    failed = np.where(np.arange(40) < 7, 1.0, np.inf)
    failed[39] = 2.0
    watched = early_years(fitted, failed, np.full(40, 10.0), 3.0)
    batch = np.array([0] * 15 + [1] * 24 + [-1])
    everyone = np.zeros(40, int)
    scan = early_classes(
        watched, {"batch": (("19-07", "20-01"), batch), "plant": (("all",), everyone)}
    )
    assert len(scan) == 2
    assert (scan.look[0], scan.code[0], scan.failures[0]) == (0, 0, 7)
    assert scan.raw_p[0] < scan.share_p[0]
    assert scan.corrected_p[0] == pytest.approx(2 * scan.raw_p[0])
    assert scan.raw_p[1] == 1.0


def test_others_without_a_failure_are_held_by_share():
    watched = Watched(np.array([1, 1, 1, 0, 0, 0, 0]), np.ones(7))
    scan = early_classes(watched, {"b": (("x", "y"), np.array([0, 0, 0, 1, 1, 1, 1]))})
    assert scan.raw_p[0] == pytest.approx((3 / 7) ** 3)
    assert scan.expected[0] == 0.0


def test_many_looks_are_paid_for():
    assert corrected_for_looks(np.array([0.01, 0.02, 0.9])) == pytest.approx(
        [0.03, 0.04, 0.9]
    )
    assert corrected_for_looks(np.array([0.5, 0.6])).max() == 1.0


def test_sure_passes_alone_give_the_years_watched_as_exposure():
    """All good: the likelihood is exp(-rate x joint-years), so d = 0 and E = years."""
    sure = replace(
        METHOD_ERRORS["potential-shift"],
        failed=(1e-9, 1e-9, 1 - 2e-9),
        sound=(1 - 2e-9, 1e-9, 1e-9),
    )
    prior = replace(default_prior(), errors=(sure,), joint_spread=1e7)
    own = lives("2010-01-01", "2012-01-01", "2014-01-01")
    device, place = np.array([0, 0, 1], np.int16), np.array([0, 1, 1], np.int16)
    own = replace(own, device_class=device, place_class=place)
    record = events(*((n, "2020-01-01", GOOD) for n in range(3)))
    model = learn(prior, own, record, ("kit", "union"), ("protection", "surge"))
    for family, years in ((model.device, [18, 6]), (model.place, [10, 14])):
        assert family.rates.joint_years == pytest.approx(years, rel=1e-3)
        assert family.rates.exposure == pytest.approx(years, rel=1e-2)
        assert family.rates.failures == pytest.approx([0, 0], abs=1e-2)
