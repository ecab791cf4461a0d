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

from jointmap.register.columns import Codes, Floats

NODES = 12
# No grid; for a wide law alone; for many failures or a long life survived.
GRID_NODES = (0, 64, 160)
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
def dense_nodes(likeness: float, count: int = GRID_NODES[2]) -> Nodes:
    """Return a grid even in the logarithm; the weight below it lies on its first node.

    The sum over such a grid nears the integral faster than any power of the step: of a
    law after n failures its error is about |Gamma(k+n+iw)| / Gamma(k+n), w = 2 pi by
    the step. The upper end leaves room for eight failures.
    """
    top = gammainccinv(likeness + 8.0, _TAIL) / likeness
    log_z = np.linspace(np.log(_LOWEST), np.log(top), count)
    z = np.exp(log_z)
    log_density = (
        likeness * (np.log(likeness) + log_z) - likeness * z - gammaln(likeness)
    )
    weight = np.exp(log_density) * (log_z[1] - log_z[0])
    weight[0] = weight[0] / 2 + gammainc(likeness, likeness * _LOWEST)
    return Nodes(z, weight / weight.sum())


def grid_needed(likeness: Floats, failures: Floats, survived: Floats) -> Codes:
    """Return the grid, a place in ``GRID_NODES``; 0 where twelve nodes do.

    ``failures`` counts shorted verdicts, ``survived`` is the hazard of the record.
    """
    unusual = (failures > MOST_FAILURES) | (survived > MOST_SURVIVED)
    wide = likeness < LEAST_LIKENESS
    return np.select([unusual, wide], [np.int16(2), np.int16(1)], np.int16(0))


def nodes_of(likeness: float, grid: int) -> Nodes:
    """Return the nodes that ``grid_needed`` asks for."""
    return dense_nodes(likeness, GRID_NODES[grid]) if grid else laguerre_nodes(likeness)


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
