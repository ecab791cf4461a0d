"""How long until a chance of failure is reached: at the end, or on average.

All on columns; answers hold to a part in 10^9, the caller rounds days down.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from jointmap.hazard.filter import Belief
from jointmap.hazard.nodes import Nodes
from jointmap.register.columns import Floats, Ids, Table

_NEWTON = 40
_NEAR = 1e-13
# Relative: after a step of Newton's so small, what is left is about its square.
_SMALL_STEP = 1e-6
_POINTS, _POINT_WEIGHTS = np.polynomial.legendre.leggauss(8)
_POINTS, _POINT_WEIGHTS = (_POINTS + 1.0) / 2.0, _POINT_WEIGHTS / 2.0


@dataclass(frozen=True, slots=True)
class Ahead(Table):
    """One row per joint: how its hazard grows from its last event on."""

    age_year: Floats  # of the device
    device_rate: Floats  # per year ** device_shape
    device_shape: Floats
    place_rate: Floats  # per year, of ways around

    def hazard(self, years: Floats) -> Floats:
        """Return the hazard at multiplier 1 over ``years`` from the last event."""
        shape = self.device_shape
        grown = (self.age_year + years) ** shape - self.age_year**shape
        return self.device_rate * grown + self.place_rate * years

    def hazard_rate(self, years: Floats) -> Floats:
        """Return how fast the hazard grows ``years`` from the last event."""
        shape = self.device_shape
        age = (self.age_year + years) ** (shape - 1.0)
        return self.device_rate * shape * age + self.place_rate


def years_to_end(belief: Belief, nodes: Nodes, ahead: Ahead, target: Floats) -> Floats:
    """Return years until the chance of having failed reaches ``target``; 0: reached."""
    hazard = hazard_until(belief, nodes, 1.0 - target)
    return years_of_hazard(ahead, hazard)


def hazard_until(belief: Belief, nodes: Nodes, sound_at_least: Floats) -> Floats:
    """Return the hazard D at which sum v exp(-z D) falls to ``sound_at_least``.

    The sum is convex and falls, so Newton's steps from 0 never pass the answer.
    """
    v = belief.weight * belief.sound
    z = nodes.multiplier[:, None]
    hazard = np.zeros(v.shape[1])
    for _ in range(_NEWTON):
        left = v * np.exp(-z * hazard)
        over = left.sum(axis=0) - sound_at_least
        step = np.maximum(over, 0.0) / np.einsum(
            "kn,kn->n", left, np.broadcast_to(z, v.shape)
        )
        hazard += step
        if not np.any(step > _NEAR * (1.0 + hazard)):
            break
    return hazard


def years_of_hazard(ahead: Ahead, hazard: Floats) -> Floats:
    """Return the years in which ``hazard`` is gathered, never more."""
    shape, age = ahead.device_shape, ahead.age_year
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        by_device = (age**shape + hazard / ahead.device_rate) ** (1.0 / shape) - age
        by_place = hazard / ahead.place_rate
    years = np.fmin(by_device, by_place)
    both = (ahead.device_rate > 0) & (ahead.place_rate > 0) & (hazard > 0)
    if both.any():
        own = ahead.take(both)
        wanted = hazard[both]

        def over(t: Floats, at: Ids) -> tuple[Floats, Floats]:
            here = own.take(at)
            return here.hazard(t) - wanted[at], here.hazard_rate(t)

        years[both] = _meeting(over, years[both], years[both])
    return np.where(hazard > 0, years, 0.0)


def years_to_average(
    belief: Belief, nodes: Nodes, ahead: Ahead, target: Floats, most: Floats
) -> Floats:
    """Return years over which failure averages ``target``; at most ``most``."""
    # Failed already with more than the target's chance: no interval has that average.
    can = (belief.failed < target) & (most > 0)
    years = np.where(can, most, 0.0)
    mean = average_failed(belief, nodes, ahead, most)
    at = np.flatnonzero(can & (mean > target))
    if len(at):
        own, later, wanted = _part(belief, at), ahead.take(at), target[at]

        def excess(t: Floats, rows: Ids) -> tuple[Floats, Floats]:
            part, then = _part(own, rows), later.take(rows)
            mean = average_failed(part, nodes, then, t)
            end = failed_at(part, nodes, then, t)
            return mean - wanted[rows], (end - mean) / t

        # The average grows about as a straight line from what has failed already.
        failed = belief.failed[at]
        first = most[at] * (wanted - failed) / (mean[at] - failed)
        years[at] = _meeting(excess, most[at], first)
    return years


def failed_at(belief: Belief, nodes: Nodes, ahead: Ahead, years: Floats) -> Floats:
    """Return the chance of having failed ``years`` from the last event."""
    v = belief.weight * belief.sound
    v *= np.exp(-nodes.multiplier[:, None] * ahead.hazard(years))
    return np.asarray(1.0 - v.sum(axis=0))


def average_failed(belief: Belief, nodes: Nodes, ahead: Ahead, years: Floats) -> Floats:
    """Return the chance of failure averaged over ``years`` from the last event."""
    v = belief.weight * belief.sound
    z = nodes.multiplier[:, None]
    if np.all(ahead.device_shape == 1.0):
        steady = _mean_of_decay(z * ahead.hazard(years))
        return np.asarray(1.0 - np.einsum("kn,kn->n", v, steady))
    sound = np.zeros(v.shape[1])
    for point, weight in zip(_POINTS, _POINT_WEIGHTS, strict=True):
        gone = ahead.hazard(point * years)
        sound += weight * np.einsum("kn,kn->n", v, np.exp(-z * gone))
    return 1.0 - sound


def _mean_of_decay(x: Floats) -> Floats:
    """Return the mean of exp(-s) for s from 0 to ``x``: where the hazard is steady."""
    small = np.maximum(x, np.finfo(np.float64).tiny)
    found: Floats = -np.expm1(-small) / small
    return found


def _meeting(
    over: Callable[[Floats, Ids], tuple[Floats, Floats]], latest: Floats, first: Floats
) -> Floats:
    """Return where ``over`` (its value and slope) rises through 0, before ``latest``.

    Newton's steps from ``first``, and the middle of what is left where a step would
    leave it. ``over`` is asked only for the places still sought.
    """
    low, high = np.zeros_like(latest), latest.copy()
    found = np.clip(first, 0.0, latest)
    rows = np.arange(len(latest))
    for _ in range(_NEWTON):
        at = found[rows]
        value, slope = over(at, rows)
        low[rows] = np.where(value <= 0, at, low[rows])
        high[rows] = np.where(value > 0, at, high[rows])
        with np.errstate(divide="ignore", invalid="ignore"):
            step = at - value / slope
        inside = (step >= low[rows]) & (step <= high[rows])
        after = np.where(inside, step, 0.5 * (low[rows] + high[rows]))
        found[rows] = after
        rows = rows[~inside | (np.abs(after - at) > _SMALL_STEP * after)]
        if not len(rows):
            break
    return found


def _part(belief: Belief, at: Ids) -> Belief:
    return Belief(
        belief.sound[:, at],
        belief.weight[:, at],
        belief.log_likelihood[at],
        belief.failed_before,
    )
