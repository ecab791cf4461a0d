"""What a plan of tests leaves hidden, and whether predictions came true."""

from dataclasses import dataclass

import numpy as np
from scipy.special import bdtr, bdtrik

from jointmap.hazard.ages import DAYS_A_YEAR, LifeEvents, gathered
from jointmap.hazard.dates import (
    LifeColumns,
    ahead_of,
    grids,
    hazard_events,
    rates_of,
)
from jointmap.hazard.failure_model import FailureModel
from jointmap.hazard.filter import beliefs
from jointmap.hazard.interval import average_failed
from jointmap.intervals.sums import sum_by
from jointmap.register.codes import Verdict
from jointmap.register.columns import Days, Flags, Floats, Ids, Table

_BAND = (0.025, 0.975)
_SHORTED = Verdict.SHORTED.code


@dataclass(frozen=True, slots=True)
class Quarters(Table):
    """One row per quarter with tests: what was foretold, what was found."""

    begins_on: Days
    tests: Ids
    predicted: Floats  # sum of the chances that a test would read shorted
    found: Ids  # tests that read shorted
    low: Floats  # 95 % of quarters lie between, were every test's chance the mean
    high: Floats

    @property
    def outside(self) -> Flags:
        """Return where what was found lies outside the band."""
        found: Flags = (self.found < self.low) | (self.found > self.high)
        return found


def average_hidden(
    model: FailureModel, lives: LifeColumns, events: LifeEvents, until_on: Days
) -> Floats:
    """Return each joint's chance of a hidden failure, averaged up to its next test.

    From the last event to ``until_on``; NaN where it has no such day.
    """
    steps, reached = gathered(lives.starts_on, events, model.repeat_days)
    rates = rates_of(model, lives)
    filled = hazard_events(model, rates, steps)
    days = (until_on - reached.last_on).astype(np.float64)
    years = np.where(np.isnat(until_on), np.nan, np.maximum(days, 1.0) / DAYS_A_YEAR)
    found = np.empty(len(lives))
    for joints, _, belief, nodes in beliefs(
        filled, rates.likeness, grids(rates, steps, filled)
    ):
        ahead = ahead_of(rates, reached, joints)
        found[joints] = average_failed(belief, nodes, ahead, years[joints])
    return found


def predicted_and_found(
    model: FailureModel, lives: LifeColumns, events: LifeEvents
) -> Quarters:
    """Return, quarter by quarter, shorted tests as foretold and as found.

    Each test is foretold from its joint's record up to the test before it; the rates
    are the model's, which may have seen these very tests.
    """
    steps, _ = gathered(lives.starts_on, events, model.repeat_days)
    rates = rates_of(model, lives)
    filled = hazard_events(model, rates, steps)
    failed = np.empty(len(steps))
    for _, own, belief, _ in beliefs(
        filled, rates.likeness, grids(rates, steps, filled)
    ):
        failed[own] = belief.failed_before
    tested = steps.verdict >= 0
    chances = model.chances()[:, steps.method, _SHORTED]
    chance = (failed * chances[0] + (1.0 - failed) * chances[1])[tested]
    month = steps.happened_on[tested].astype("datetime64[M]").astype(np.int64)
    quarters, place = np.unique(month // 3, return_inverse=True)
    count = np.bincount(place)
    predicted = sum_by(place, chance, len(quarters))
    found = np.bincount(place, steps.verdict[tested] == _SHORTED).astype(np.int64)
    low, high = (binomial_quantile(q, count, predicted / count) for q in _BAND)
    begins = (quarters * 3).astype("datetime64[M]").astype("datetime64[D]")
    return Quarters(begins, count, predicted, found, low, high)


def binomial_quantile(share: float, count: Ids, chance: Floats) -> Floats:
    """Return the least number of hits that as many trials reach with a probability.

    The inverse of the binomial distribution, as its definition has it; the library's
    own takes half a second to load.
    """
    inside = (chance > 0.0) & (chance < 1.0)
    within = np.where(inside, chance, 0.5)
    hits = np.ceil(bdtrik(share, count, within))
    fewer = np.maximum(hits - 1.0, 0.0)
    least = np.where(bdtr(fewer, count, within) >= share, fewer, hits)
    found: Floats = np.where(inside, least, np.where(chance >= 1.0, count, 0.0))
    return found
