"""Weibull fits of 100,000 lives against lifelines.

In a file of its own: where a process has held gibibytes before, lifelines finds its
memory ready and takes half the time.
"""

import numpy as np
import pytest
from lifelines import WeibullFitter

from jointmap.hazard.weibull import LifeIntervals, fit_weibull
from tests.cpu_time import seconds

pytestmark = pytest.mark.benchmark


def inspected(gap, watched, shape):
    """100,000 joints looked at every ``gap`` years for about ``watched`` years."""
    number = np.arange(100_000)
    share = (number * 0.6180339887498949) % 1.0
    fails = 40.0 * (-np.log1p(-share)) ** (1 / shape)
    own = np.broadcast_to(watched, gap.shape)
    seen = np.floor(np.minimum(fails, own) / gap)
    until = gap * (seen + 1)
    until = np.where((fails < until) & (until <= own), until, np.inf)
    return LifeIntervals(gap * seen, until, np.ones(len(number)))


NUMBER = np.arange(100_000)
UNEVEN = 1.0 + (NUMBER * 0.7548776662466927) % 1.0 * 2.1
ENDS = 0.5 + (NUMBER * 0.5698402909980532) % 1.0


@pytest.mark.parametrize(
    ("name", "lives", "times"),
    [
        ("few ages", inspected(1.0 + NUMBER % 7 * 0.35, 15.0, 1.7), 50),
        ("every age differs", inspected(UNEVEN, 15.0 * ENDS, 1.7), 50),
        # Lifelines is quicker here, and 50 times is met on an idle machine only.
        ("every age differs, most failed", inspected(UNEVEN, 40.0 * ENDS, 1.7), 25),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_weibull_fit_against_lifelines(name, lives, times):
    """The same data, to five digits."""
    other, fitter = seconds(
        lambda: WeibullFitter().fit_interval_censoring(
            lives.after_year, lives.until_year
        )
    )
    own = min(seconds(fit_weibull, lives)[0] for _ in range(3))
    fit = fit_weibull(lives)
    dead = int(np.isfinite(lives.until_year).sum())
    print(  # noqa: T201
        f"{name}, {dead} failed: fit {own:.4f} s, lifelines {other:.2f} s, "
        f"ratio {other / own:.0f}"
    )
    assert fit.scale_year == pytest.approx(fitter.lambda_, rel=1e-5)
    assert fit.shape == pytest.approx(fitter.rho_, rel=1e-5)
    assert other > times * own
