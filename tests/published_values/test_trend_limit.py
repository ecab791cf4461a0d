"""The trend's prediction limit: against statsmodels, run here and now."""

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.stats import norm
from scipy.stats import t as student

from jointmap.hazard.trend import (
    Readings,
    lines_through,
    method_spread,
    remaining_years,
)

# Five readings worked out by a root finder too; series that fall fast, unevenly.
SERIES = {
    "five readings": ([0.0, 1.0, 2.0, 3.5, 5.0], [6.0, 5.8, 5.75, 5.3, 5.1], 4.0),
    "four, even": ([0.0, 0.5, 1.0, 1.5], [9.0, 8.1, 6.8, 6.2], 5.0),
    "two on one day": ([0.0, 0.0, 2.0, 2.5, 6.0], [8.0, 7.8, 7.4, 7.5, 6.1], 3.0),
    "twenty years": (
        [float(y) for y in range(21)],
        [9.0 - 0.1 * y + 0.05 * (y * 7 % 5 - 2) for y in range(21)],
        6.0,
    ),
}


def line_of(days, values):
    zero = np.zeros(len(days), np.int64)
    return lines_through(
        Readings(zero, np.array(days), np.array(values), zero.astype("i2")), 1
    )


def lower_limit(days, values, at, known_spread=None):
    """What statsmodels calls the lower end of the observation's 90 % interval."""
    design = sm.add_constant(np.array(days))
    model = sm.OLS(np.array(values), design)
    if known_spread is None:
        fit = model.fit()
    else:
        scale = {"scale": known_spread**2}
        fit = model.fit(cov_type="fixed scale", cov_kwds=scale, use_t=False)
    found = fit.get_prediction(np.array([[1.0, at]])).summary_frame(alpha=0.10)
    return float(found["obs_ci_lower"].iloc[0]), fit


@pytest.mark.parametrize("name", SERIES)
def test_the_limit_is_met_where_statsmodels_says(name):
    """With the line's own scatter and Student's quantile: statsmodels' own default."""
    days, values, threshold = SERIES[name]
    lines = line_of(days, values)
    _, fit = lower_limit(days, values, days[-1])
    assert lines.slope[0] == pytest.approx(fit.params[1], rel=1e-10)
    spread = method_spread(lines, 1)
    assert spread[0] == pytest.approx(np.sqrt(fit.scale), rel=1e-10)
    quantile = float(student.ppf(0.95, len(days) - 2))
    years = remaining_years(lines, np.array([threshold]), spread, quantile)[0]
    met, _ = lower_limit(days, values, days[-1] + years)
    assert 0 < years < 100
    assert met == pytest.approx(threshold, rel=1e-10)


@pytest.mark.parametrize("known", [0.02, 0.1, 0.3])
@pytest.mark.parametrize("name", SERIES)
def test_a_known_scatter_gives_the_fixed_scale_limit(name, known):
    days, values, threshold = SERIES[name]
    lines = line_of(days, values)
    years = remaining_years(lines, np.array([threshold]), np.array([known]))[0]
    at = days[-1] + years
    _, fit = lower_limit(days, values, at, known)
    mean = float(fit.predict(np.array([[1.0, at]]))[0])
    # statsmodels keeps the line's own scatter for the new reading, so its part is
    # ours: the known variance of the reading, and that of the line as it gives it.
    line = fit.get_prediction(np.array([[1.0, at]])).se_mean[0]
    assert mean - norm.ppf(0.95) * np.sqrt(known**2 + line**2) == pytest.approx(
        threshold, rel=1e-9
    )


def test_the_crossing_of_the_worked_example():
    """Crossings to all digits, found there by a root finder (computed, not seen)."""
    days, values, threshold = SERIES["five readings"]
    lines, limit = line_of(days, values), np.array([threshold])
    own = remaining_years(
        lines, limit, method_spread(lines, 1), float(student.ppf(0.95, 3))
    )
    assert days[-1] + own[0] == pytest.approx(8.961542703974288, rel=1e-10)
    known = remaining_years(lines, limit, np.array([0.1]))
    assert days[-1] + known[0] == pytest.approx(9.066906034679684, rel=1e-10)
    met, _ = lower_limit(days, values, 7.0)
    assert met == pytest.approx(4.433100658056749, rel=1e-12)
