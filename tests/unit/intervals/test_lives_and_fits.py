"""Lives, fits, pools, ages: edges and refusals."""

import datetime as dt

import numpy as np
import pytest

from jointmap.errors import Refused
from jointmap.hazard import weibull
from jointmap.hazard.ages import gathered
from jointmap.hazard.class_pool import fit_pool, log_marginal
from jointmap.hazard.class_rates import Pool, pooled
from jointmap.hazard.interval import Ahead, years_of_hazard
from jointmap.hazard.life_likelihood import causes_of
from jointmap.hazard.seen_lives import seen_lives
from jointmap.hazard.trend import (
    years_of,
)
from jointmap.hazard.turnbull import turnbull
from jointmap.hazard.weibull import LifeIntervals, fit_weibull
from jointmap.wording import say
from tests.failure_samples import (
    GOOD,
    NEW_DEVICE,
    SHORTED,
    WAY_AROUND,
    days,
    events,
)


@pytest.mark.parametrize(
    ("after", "until", "problem"),
    [
        ([2.0, 1.0], [1.0, np.inf], "risk.life_backwards"),
        ([-1.0, 1.0], [1.0, np.inf], "risk.life_backwards"),
        ([1.0, 2.0], [np.inf, np.inf], "risk.no_failure"),
        ([1.0, 1.0], [np.nextafter(1.0, 2.0)] * 2, "risk.no_fit"),
        ([3.0, np.nextafter(3.0, 2.0)], [np.nextafter(3.0, 4.0), 3.0], "risk.no_fit"),
        ([0.0, 1.0], [1.0, np.inf], "risk.no_fit"),
        ([9.0, 9.5, 9.8, 0.0], [10.0, 10.5, 10.2, 9.9], "risk.no_fit"),
    ],
)
def test_lives_that_no_law_fits_are_refused(after, until, problem):
    lived = LifeIntervals(np.array(after), np.array(until), np.ones(len(after)))
    with pytest.raises(Refused) as refused:
        fit_weibull(lived)
    assert refused.value.problems[0].id == problem
    assert say(problem, refused.value.problems[0].values)


def test_a_far_start_is_walked_up_to():
    """Failures all late: the first steps overshoot and are halved."""
    after = np.array([9.0, 9.5, 8.0, 0.0, 10.0])
    until = np.array([9.4, 10.5, 8.5, 7.0, 11.0])
    fit = fit_weibull(LifeIntervals(after, until, np.array([50.0, 50, 50, 1, 20])))
    assert fit.shape > 8
    assert fit.steps > 3


def test_a_step_too_far_is_halved_until_it_climbs(monkeypatch):
    lived = LifeIntervals(np.array([0.0, 1]), np.array([2.0, np.inf]), np.ones(2))
    points = weibull._Points.of(lived)
    place = np.array([0.0, 1.0])
    value, slope, _ = points.derivatives(place)
    there, found, _, _ = weibull._halved(points, place, value, slope * 1e6)
    assert found > value
    assert np.abs(there - place).max() < 1e3
    monkeypatch.setattr(weibull, "_HALVINGS", 1)
    down = weibull._halved(points, place, value, -slope)
    assert down[1] < value


def test_turnbull_of_exact_halves():
    masses = turnbull(LifeIntervals(np.zeros(2), np.array([1.0, 2.0]), np.ones(2)))
    assert masses.share.tolist() == [1.0]


def test_searches_that_are_cut_short_stay_near(monkeypatch):
    monkeypatch.setattr("jointmap.hazard.turnbull._MOST_ROUNDS", 1)
    count = np.array([1.0, 5, 2])
    lived = LifeIntervals(np.array([0.0, 0, 2]), np.array([3.0, 1, 4]), count)
    assert turnbull(lived).share.sum() == pytest.approx(1.0)
    monkeypatch.setattr("jointmap.hazard.weibull._MOST_STEPS", 2)
    with pytest.raises(Refused):
        fit_weibull(lived)
    one = Ahead(*np.array([[2.0], [0.01], [2.0], [0.02]]))
    exact = years_of_hazard(one, np.array([0.3]))
    monkeypatch.setattr("jointmap.hazard.interval._NEWTON", 2)
    rough = years_of_hazard(one, np.array([0.3]))
    assert rough == pytest.approx(exact, rel=0.05)


def test_years_since_1970():
    assert years_of(days("1970-01-01", "1971-01-01")) * 365.25 == pytest.approx(
        [0, 365]
    )


def test_pools_of_classes():
    failures, exposure = (
        np.array([0.0, 4, 9, 2, 30]),
        np.array([90.0, 100, 110, 80, 100]),
    )
    pool = fit_pool(failures, exposure)
    assert 0.02 < pool.mean_rate < 0.2
    nudged = [Pool(pool.mean_rate * f, pool.likeness) for f in (0.8, 1.25)]
    best = log_marginal(pool, failures, exposure)
    assert all(log_marginal(p, failures, exposure) < best + 0.1 for p in nudged)
    rates = pooled(pool, failures, exposure, exposure)
    own = failures / exposure
    middle = np.minimum(own, pool.mean_rate), np.maximum(own, pool.mean_rate)
    assert ((middle[0] <= rates.rate) & (rates.rate <= middle[1])).all()
    none = fit_pool(np.zeros(3), np.full(3, 1000.0))
    assert none.mean_rate < 0.005


def test_hazard_of_one_kind_only_and_of_none():
    one = Ahead(*np.array([[2.0] * 3, [0.01, 0.0, 0.0], [2.0] * 3, [0.0, 0.02, 0.0]]))
    years = years_of_hazard(one, np.array([0.05, 0.05, 0.05]))
    assert years[0] == pytest.approx(np.sqrt(4 + 5) - 2)
    assert years[1] == pytest.approx(2.5)
    assert np.isinf(years[2]) or np.isnan(years[2])
    assert years_of_hazard(one, np.zeros(3)).tolist() == [0.0, 0.0, 0.0]


def test_ages_run_from_the_last_new_device():
    own = events(
        (0, "2021-01-01", GOOD),
        (0, "2022-01-01", SHORTED),
        (0, "2022-02-01", NEW_DEVICE),
        (0, "2023-02-01", GOOD),
        (1, "2021-01-01", SHORTED),
        (1, "2021-06-01", WAY_AROUND),
        (1, "2022-01-01", GOOD),
    )
    steps, reached = gathered(days("2020-01-01", "2020-01-01", "2020-03-01"), own, 7)
    assert steps.device_until_year * 365.25 == pytest.approx(
        [366, 731, 762, 365, 366, 517, 731]
    )
    assert steps.device_from_year * 365.25 == pytest.approx(
        [0, 366, 731, 0, 0, 366, 517]
    )
    assert reached.device_age_year * 365.25 == pytest.approx([365, 731, 0])
    assert reached.last_on.tolist()[2] == dt.date(2020, 3, 1)
    causes = causes_of(steps)
    assert causes.row.tolist() == [0, 1]
    assert causes.by_device.tolist() == [True, False]
    assert causes.gained(steps.years) * 365.25 == pytest.approx([396, 517])


def test_lives_as_seen():
    own = events(
        (0, "2021-01-01", GOOD),
        (0, "2022-01-01", SHORTED),
        (0, "2022-02-01", NEW_DEVICE),
        (0, "2023-02-01", GOOD),
        (1, "2019-01-02", SHORTED),
        (1, "2020-01-01", GOOD),
    )
    steps, _ = gathered(days("2020-01-01", "2019-01-01"), own, 7)
    seen = seen_lives(steps)
    assert seen.after_year * 365.25 == pytest.approx([366, 365, 0])
    assert seen.until_year * 365.25 == pytest.approx([731, np.inf, 1])
