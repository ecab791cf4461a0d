"""The values that a joint's own rate multiplier may have, with their weights.

A multiplier has a Gamma law of mean 1. Twelve nodes of Gauss and Laguerre stand for it
wherever the record is ordinary; where they would be weak (a wide law, many failures, a
long life survived) a dense grid, even in the logarithm, takes their place.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.linalg import eigh_tridiagonal
from scipy.special import gammainc, gammainccinv, gammaln

from jointmap.register.columns import Flags, Floats

NODES = 12
DENSE_NODES = 160
# Beyond these, measured in docs/explanation/failure_model.md, twelve nodes are weak.
LEAST_LIKENESS = 1.0
MOST_FAILURES = 3
MOST_SURVIVED = 2.0
_LOWEST = 1e-7
_TAIL = 1e-10


@dataclass(frozen=True, slots=True)
class Nodes:
    """Multipliers and their weights, which sum to 1."""

    multiplier: Floats
    weight: Floats


@lru_cache(maxsize=4096)
def laguerre_nodes(likeness: float, count: int = NODES) -> Nodes:
    """Return nodes for Gamma(k, k), by eigenvalues (Golub and Welsch 1969)."""
    order = np.arange(count)
    diagonal = 2 * order + likeness
    beside = np.sqrt(order[1:] * (order[1:] + likeness - 1.0))
    values, vectors = eigh_tridiagonal(diagonal, beside)
    multiplier: Floats = np.asarray(values / likeness, np.float64)
    return Nodes(multiplier, np.asarray(vectors[0] ** 2, np.float64))


@lru_cache(maxsize=4096)
def dense_nodes(likeness: float) -> Nodes:
    """Return a grid even in the logarithm; the weight below it lies on its first node.

    The sum over such a grid nears the integral faster than any power of the step.
    The upper end leaves room for eight failures.
    """
    top = gammainccinv(likeness + 8.0, _TAIL) / likeness
    log_z = np.linspace(np.log(_LOWEST), np.log(top), DENSE_NODES)
    z = np.exp(log_z)
    log_density = (
        likeness * (np.log(likeness) + log_z) - likeness * z - gammaln(likeness)
    )
    weight = np.exp(log_density) * (log_z[1] - log_z[0])
    weight[0] = weight[0] / 2 + gammainc(likeness, likeness * _LOWEST)
    return Nodes(z, weight / weight.sum())


def needs_dense(likeness: Floats, failures: Floats, survived: Floats) -> Flags:
    """Return where twelve nodes would be weak.

    ``failures`` counts shorted verdicts, ``survived`` is the hazard of the record.
    """
    return (
        (likeness < LEAST_LIKENESS)
        | (failures > MOST_FAILURES)
        | (survived > MOST_SURVIVED)
    )


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
