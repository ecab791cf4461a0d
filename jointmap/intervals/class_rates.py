"""Failure rates of service classes: small ones lean on the plant, big ones stand alone.

Of a class count its *effective failures* d and its *effective exposure* E; its rate is
``(k + d) / (k / m + E)`` where m is the plant's mean and k how alike classes are.
Source: Gamma-Poisson empirical Bayes (Gelman et al., Bayesian Data Analysis, chapter 2,
from memory); the weak priors of m and k are our own choice.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize
from scipy.special import gammainccinv, gammaln

from jointmap.register.columns import Floats, Table

# Middle and spread of the weak priors, on the log scale.
LIKENESS_PRIOR = (math.log(2.0), 1.0)
MEAN_PRIOR = (math.log(0.01), 2.0)


@dataclass(frozen=True, slots=True)
class Pool:
    """What the classes of a plant have in common."""

    mean_rate: float  # m
    likeness: float  # k: of a Gamma; large where classes are alike


@dataclass(frozen=True, slots=True)
class ClassRates(Table):
    """One row per class."""

    rate: Floats  # per year ** shape
    failures: Floats  # effective: the joints' own say
    exposure: Floats  # effective, year ** shape
    sureness: Floats  # k + d: the Gamma shape of what is known of the rate
    joint_years: Floats  # watched, for the reader: exposure has no such plain unit


def pooled(
    pool: Pool, failures: Floats, exposure: Floats, joint_years: Floats
) -> ClassRates:
    """Return each class's rate, pulled toward the plant's mean."""
    sureness = pool.likeness + failures
    rate = sureness / (pool.likeness / pool.mean_rate + exposure)
    return ClassRates(rate, failures, exposure, sureness, joint_years)


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
    best = minimize(cost, start, method="Nelder-Mead", options=near)
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


def upper_rate(rate: Floats, sureness: Floats, quantile: float) -> Floats:
    """Return the rate that the true one stays under with chance ``quantile``."""
    top: Floats = gammainccinv(sureness, 1.0 - quantile) * rate / sureness
    return top


def joint_likeness(class_sureness: Floats, joint_spread: float) -> Floats:
    """Return the Gamma shape of one joint's rate: of its class, times its own place.

    ``1/k = 1/a + 1/k_j + 1/(a k_j)``: the squared spreads of a product.
    """
    a = class_sureness
    return 1.0 / (1.0 / a + 1.0 / joint_spread + 1.0 / (a * joint_spread))


def _off(value: float, prior: tuple[float, float]) -> float:
    return 0.5 * ((value - prior[0]) / prior[1]) ** 2
