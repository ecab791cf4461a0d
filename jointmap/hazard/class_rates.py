"""Failure rates of service classes: small ones lean on the plant, big ones stand alone.

Of a class count its *effective failures* d and its *effective exposure* E; its rate is
``(k + d) / (k / m + E)`` where m is the plant's mean and k how alike classes are.
Source: Gamma-Poisson empirical Bayes (Gelman et al., Bayesian Data Analysis, chapter 2,
from memory).
"""

from dataclasses import dataclass

import numpy as np

from jointmap.register.columns import Floats, Table


@dataclass(frozen=True, slots=True)
class Pool:
    """What the classes of a plant have in common."""

    mean_rate: float  # m
    likeness: float  # k: of a Gamma; large where classes are alike


@dataclass(frozen=True, slots=True)
class ClassRates(Table):
    """One row per class."""

    rate: Floats  # per year; of devices the mean of their first ten years
    failures: Floats  # effective: the joints' own say
    exposure: Floats  # effective, year
    sureness: Floats  # k + d: the Gamma shape of what is known of the rate
    joint_years: Floats  # watched, for the reader: exposure has no such plain unit
    joints: Floats  # how many the class was learned from; 0: not on record


def pooled(
    pool: Pool,
    failures: Floats,
    exposure: Floats,
    joint_years: Floats,
    joints: Floats | None = None,
) -> ClassRates:
    """Return each class's rate, pulled toward the plant's mean."""
    sureness = pool.likeness + failures
    rate = sureness / (pool.likeness / pool.mean_rate + exposure)
    known = np.zeros_like(failures) if joints is None else joints
    return ClassRates(rate, failures, exposure, sureness, joint_years, known)
