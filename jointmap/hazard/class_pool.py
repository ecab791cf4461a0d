"""What the classes of a plant have in common, found from their counts."""

import math

import numpy as np
from scipy.optimize import minimize
from scipy.special import gammaln

from jointmap.hazard.class_rates import Pool
from jointmap.register.columns import Floats

# Middle and spread of the weak priors, on the log scale; our own choice.
LIKENESS_PRIOR = (math.log(2.0), 1.0)
MEAN_PRIOR = (math.log(0.01), 2.0)


def fit_pool(failures: Floats, exposure: Floats) -> Pool:
    """Return the mean and likeness that best explain all classes together.

    Maximises the negative-binomial marginal of the classes times the weak priors. With
    no failure anywhere the mean rests on its prior and falls with exposure only.
    """
    counted = np.maximum(failures, 0.0)

    def cost(place: Floats) -> float:
        mean, likeness = math.exp(place[0]), math.exp(place[1])
        prior = _off(place[0], MEAN_PRIOR) + _off(place[1], LIKENESS_PRIOR)
        return prior - log_marginal(Pool(mean, likeness), counted, exposure)

    overall = (counted.sum() + 0.02) / (exposure.sum() + 2.0)
    start = [math.log(overall), LIKENESS_PRIOR[0]]
    near = {"xatol": 1e-6, "fatol": 1e-9}
    best = minimize(cost, np.array(start), method="Nelder-Mead", options=near)  # type: ignore[call-overload]
    return Pool(math.exp(best.x[0]), math.exp(best.x[1]))


def log_marginal(pool: Pool, failures: Floats, exposure: Floats) -> float:
    """Return the log-chance of the counts over all rates a class may have."""
    k, b = pool.likeness, pool.likeness / pool.mean_rate
    each = (
        gammaln(k + failures)
        - gammaln(k)
        + k * math.log(b)
        - (k + failures) * np.log(b + exposure)
    )
    return float(each.sum())


def _off(value: float, prior: tuple[float, float]) -> float:
    return 0.5 * ((value - prior[0]) / prior[1]) ** 2
