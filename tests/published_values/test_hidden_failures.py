"""Lives seen at inspections, hidden failure, rates: against published data."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest
import statsmodels.api as sm
from lifelines import WeibullFitter
from lifelines.datasets import load_diabetes, load_mice
from scipy.stats import gamma

from jointmap.hazard.class_rates import Pool, pooled
from jointmap.hazard.filter import HazardEvents, belief_after
from jointmap.hazard.interval import (
    Ahead,
    average_failed,
    years_to_end,
)
from jointmap.hazard.nodes import Nodes, dense_nodes, upper_rate
from jointmap.hazard.turnbull import survival_at, turnbull
from jointmap.hazard.weibull import LifeIntervals, fit_weibull

HERE = Path(__file__).parent
ONE = Nodes(np.ones(1), np.ones(1))


def table(name):
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert all(row["source"] and row["mark"] for row in rows)
    return rows


def rows_of(name):
    return [
        pytest.param(row, id=f"{name}:{line}")
        for line, row in enumerate(table(name), start=2)
    ]


def lives(name, treatment=""):
    rows = [r for r in table(name) if r.get("treatment", "") == treatment]
    columns = [[float(r[c]) for r in rows] for c in ("after", "until", "count")]
    return LifeIntervals(*map(np.array, columns))


@pytest.mark.parametrize("row", rows_of("weibull_fits"))
def test_weibull_fits_that_several_programs_agree_on(row):
    fit = fit_weibull(lives(row["data"], row["treatment"]))
    near = float(row["relative"])
    assert fit.scale_year == pytest.approx(float(row["scale"]), rel=near)
    assert fit.shape == pytest.approx(float(row["shape"]), rel=near)
    assert fit.log_likelihood == pytest.approx(float(row["log_likelihood"]), rel=1e-10)
    assert fit.scale_error == pytest.approx(float(row["scale_error"]), rel=1e-6)
    assert fit.shape_error == pytest.approx(float(row["shape_error"]), rel=1e-6)


def test_turbine_wheels_equal_a_complementary_log_log_model():
    """One look at each wheel is a binomial model in log age: fitted here and now."""
    wheels = lives("turbine_wheels")
    failed = np.isfinite(wheels.until_year)
    age = np.where(failed, wheels.until_year, wheels.after_year)
    model = sm.GLM(
        failed.astype(float),
        sm.add_constant(np.log(age)),
        family=sm.families.Binomial(link=sm.families.links.CLogLog()),
        freq_weights=wheels.count,
    )
    start, shape = model.fit(tol=1e-14, maxiter=200).params
    fit = fit_weibull(wheels)
    assert fit.shape == pytest.approx(shape, rel=1e-8)
    assert fit.scale_year == pytest.approx(math.exp(-start / shape), rel=1e-8)


def _diabetes():
    """Years to nephropathy; a time known exactly is taken as known to half a year."""
    data = load_diabetes()
    exact = (data["left"] == data["right"]).to_numpy()
    after, until = (data[c].to_numpy(float) for c in ("left", "right"))
    return np.where(exact, after - 0.5, after), np.where(exact, until + 0.5, until)


def _mice():
    data = load_mice()
    return data["l"].to_numpy(float), data["u"].to_numpy(float)


@pytest.mark.parametrize("load", [_diabetes, _mice])
def test_two_further_data_sets_against_a_second_library(load):
    after, until = load()
    other = WeibullFitter().fit_interval_censoring(after, until)
    fit = fit_weibull(LifeIntervals(after, until, np.ones(len(after))))
    assert fit.scale_year == pytest.approx(other.lambda_, rel=2e-5)
    assert fit.shape == pytest.approx(other.rho_, rel=2e-5)
    assert fit.log_likelihood >= other.log_likelihood_ - 1e-9


@pytest.mark.parametrize("treatment", ["Rad", "RadChem"])
def test_turnbull_masses_to_their_rounding(treatment):
    rows = [r for r in table("turnbull_masses") if r["treatment"] == treatment]
    masses = turnbull(lives("cosmesis", treatment))
    assert [float(r["after"]) for r in rows] == masses.after_year.tolist()
    assert [float(r["until"]) for r in rows] == masses.until_year.tolist()
    published = [float(r["share"]) for r in rows]
    assert masses.share == pytest.approx(published, abs=6e-5)
    left = survival_at(masses, np.array([0.0, masses.until_year[0], np.inf]))
    assert left == pytest.approx([1.0, 1.0 - masses.share[0], 0.0], abs=1e-12)


@pytest.mark.parametrize("row", rows_of("hidden_failure"))
def test_hidden_failure_of_a_known_law(row):
    ahead = Ahead(
        *(np.array([float(row[c])]) for c in ("age", "rate", "shape")), np.zeros(1)
    )
    nothing = HazardEvents(*(np.zeros(0, t) for t in (int, float, float, float, bool)))
    belief = belief_after(nothing, 1, ONE)
    if row["kind"] == "end":
        found = years_to_end(belief, ONE, ahead, np.array([float(row["chance"])]))
    else:
        found = average_failed(belief, ONE, ahead, np.array([float(row["years"])]))
    assert found[0] == pytest.approx(float(row["value"]), rel=float(row["relative"]))


@pytest.mark.parametrize(
    ("coverage", "printed"),
    [(0.0, "1.1E-02"), (0.6, "4.4E-03"), (0.9, "1.1E-03"), (0.99, "1.3E-04")],
)
def test_the_one_year_table_of_one_channel(coverage, printed):
    """IEC 61508-6 Annex B, 1oo1, from memory: untested part over a year, 8 h repair."""
    dangerous, year, repair = 2.5e-6, 8760.0, 8.0
    ahead = Ahead(
        *(np.array([x]) for x in (0.0, dangerous * (1 - coverage) * year, 1.0, 0.0))
    )
    nothing = HazardEvents(*(np.zeros(0, t) for t in (int, float, float, float, bool)))
    belief = belief_after(nothing, 1, ONE)
    untested = average_failed(belief, ONE, ahead, np.ones(1))[0]
    assert f"{untested + dangerous * repair:.1E}" == printed


@pytest.mark.parametrize("row", rows_of("gamma_poisson"))
def test_rates_from_counts(row):
    shape, rate = float(row["prior_shape"]), float(row["prior_rate"])
    failures, exposure = float(row["failures"]), float(row["exposure"])
    if rate > 0:
        counts = np.array([[failures], [exposure], [0.0]])
        found = pooled(Pool(shape / rate, shape), *counts)
        assert found.rate[0] == pytest.approx(float(row["mean"]), rel=1e-9)
        top = upper_rate(found.rate, found.sureness, 0.95)
        assert top[0] == pytest.approx(float(row["upper_95"]), rel=1e-8)
    after = shape + failures, rate + exposure
    nodes = dense_nodes(after[0])
    ahead = Ahead(*(np.array([x]) for x in (0.0, after[0] / after[1], 1.0, 0.0)))
    nothing = HazardEvents(*(np.zeros(0, t) for t in (int, float, float, float, bool)))
    years = years_to_end(
        belief_after(nothing, 1, nodes), nodes, ahead, np.array([0.05])
    )
    assert years[0] == pytest.approx(float(row["years_to_5_percent"]), rel=1e-6)
    assert gamma.mean(after[0], scale=1 / after[1]) == pytest.approx(float(row["mean"]))


def test_three_imperfect_tests_worked_by_hand():
    """A rate of 0.02 a year, tests at 2, 4 and 6 years: isolated, isolated, shorted."""
    events = HazardEvents(
        np.zeros(3, int),
        np.full(3, 0.04),
        np.array([0.1, 0.1, 0.9]),
        np.array([0.98, 0.98, 0.02]),
        np.zeros(3, bool),
    )
    belief = belief_after(events, 1, ONE)
    before = [0.03921056084767682, 0.04319504563733534, 0.04361627809869906]
    assert belief.failed_before == pytest.approx(before, abs=1e-12)
    assert belief.failed[0] == pytest.approx(0.6723721686740654, abs=1e-12)
    assert belief.log_likelihood[0] == pytest.approx(-2.956551444658843, abs=1e-12)
