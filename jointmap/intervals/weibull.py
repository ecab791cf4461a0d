"""A Weibull life fitted to what inspections can show: good here, shorted there.

Nobody sees the moment of failure. A joint was good at ``after_year`` and found shorted
at ``until_year``, or is good still. Source of the likelihood: Nelson 1982, Applied Life
Data Analysis, chapter 9 (interval data); derivatives worked out here.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from jointmap.errors import Problem, Refused
from jointmap.register.columns import Floats, Table

_MOST_STEPS = 100
_HALVINGS = 40
# A step so small changes no printed digit; Newton squares the error once it is near.
_SMALL_STEP = 1e-11
# A hill so much flatter one way than the other has no top along it.
_FLAT = 1e12

Matrix = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LifeIntervals(Table):
    """One row per life (or per ``count`` equal lives)."""

    after_year: Floats  # last seen good; 0 from new
    until_year: Floats  # first seen failed; infinity: not yet
    count: Floats


@dataclass(frozen=True, slots=True)
class WeibullFit:
    """Chance of having failed by age t: 1 - exp(-rate * t ** shape)."""

    rate: float  # per year ** shape
    shape: float
    log_likelihood: float
    scale_error: float  # standard error of ``scale_year``, from the curvature
    shape_error: float
    steps: int

    @property
    def scale_year(self) -> float:
        """Age by which 63.2 % have failed."""
        return float(self.rate ** (-1.0 / self.shape))


def fit_weibull(lives: LifeIntervals) -> WeibullFit:
    """Return the Weibull law under which ``lives`` are most likely.

    Newton's method in the logarithm of the rate at the middle of the ages and in the
    shape, started from shape 1; a step that would lower the likelihood is halved.

    Raises
    ------
    Refused
        A life that ends before it begins; no failure at all; a law that no finite
        numbers describe (every failure at one age, for example).
    """
    _refuse_unsound(lives)
    points = _Points.of(lives)
    place = np.array([points.first_guess(), 1.0])
    value, slope, curve = points.derivatives(place)
    for step in range(1, _MOST_STEPS):
        move = _uphill(curve, slope)
        place, value, slope, curve = _halved(points, place, value, move)
        if not np.isfinite(curve).all():
            break
        if np.max(np.abs(move)) < _SMALL_STEP * (1.0 + np.max(np.abs(place))):
            if np.linalg.cond(curve) > _FLAT:
                break
            return points.finished(place, value, curve, step)
    raise Refused(Problem("risk.no_fit", {"lives": len(lives)}))


def _refuse_unsound(lives: LifeIntervals) -> None:
    bad = ~(lives.after_year < lives.until_year) | (lives.after_year < 0)
    if bad.any():
        first = int(np.flatnonzero(bad)[0])
        facts = {
            "count": int(bad.sum()),
            "after": float(lives.after_year[first]),
            "until": float(lives.until_year[first]),
        }
        raise Refused(Problem("risk.life_backwards", facts))
    if not np.isfinite(lives.until_year).any():
        raise Refused(Problem("risk.no_failure", {"lives": len(lives)}))


def _uphill(curve: Matrix, slope: Floats) -> Floats:
    """Return Newton's step, or the slope where the surface is not yet a hill."""
    move: Floats = np.linalg.lstsq(-curve, slope)[0].astype(np.float64)
    return move if move @ slope > 0 else slope


def _halved(
    points: "_Points", place: Floats, value: float, move: Floats
) -> tuple[Floats, float, Floats, Matrix]:
    for halving in range(_HALVINGS):
        there = place + move * 0.5**halving
        found, slope, curve = points.derivatives(there)
        if there[1] > 0 and found >= value - 1e-12 * abs(value):
            break
    return there, found, slope, curve


@dataclass(frozen=True, slots=True)
class _Points:
    """Log ages about their middle: there the rate's and the shape's errors part."""

    count: Floats
    after: Floats  # log age less the middle; minus infinity at age 0
    until: Floats
    middle: float

    @classmethod
    def of(cls, lives: LifeIntervals) -> "_Points":
        ages = np.concatenate([lives.after_year, lives.until_year])
        own = np.concatenate([lives.count, lives.count])
        seen = (ages > 0) & np.isfinite(ages)
        middle = float(np.average(np.log(ages[seen]), weights=own[seen]))
        with np.errstate(divide="ignore"):
            after, until = np.log(lives.after_year), np.log(lives.until_year)
        return cls(lives.count, after - middle, until - middle, middle)

    def first_guess(self) -> float:
        """Return log(failures / exposure), in units of the middle age."""
        ends = np.where(np.isfinite(self.until), self.until, self.after)
        failed = np.sum(self.count * np.isfinite(self.until))
        return math.log(failed / np.sum(self.count * np.exp(ends)))

    def derivatives(self, place: Floats) -> tuple[float, Floats, Matrix]:
        """Return the log-likelihood, its slope and its curvature."""
        start, ends = self._hazard(self.after, place), self._hazard(self.until, place)
        grown = [e - s for e, s in zip(ends, start, strict=True)]
        dead = np.isfinite(self.until)
        gap = np.where(dead, grown[0], 1.0)
        # Far from the top numbers overflow; such a place is walked back from.
        with np.errstate(all="ignore"):
            g = np.where(dead, 1.0 / np.expm1(gap), 0.0)
            value = np.where(dead, np.log(-np.expm1(-gap)), 0.0) - start[0]
            slopes = [g * grown[n] - start[n] for n in (0, 1)]
            bend = g * (1.0 + g)
            rr = g * grown[0] - start[0] - bend * grown[0] ** 2
            rs = g * grown[1] - start[1] - bend * grown[0] * grown[1]
            ss = g * grown[2] - start[2] - bend * grown[1] ** 2
            own = self.count
            turns = [float(own @ each) for each in (rr, rs, rs, ss)]
            slope = np.array([own @ each for each in slopes])
            return float(own @ value), slope, np.array(turns).reshape(2, 2)

    def _hazard(self, log_age: Floats, place: Floats) -> list[Floats]:
        """Return H, and its first and second derivative by the shape."""
        known = np.isfinite(log_age)
        x = np.where(known, log_age, 0.0)
        with np.errstate(all="ignore"):
            hazard = np.where(known, np.exp(place[0] + place[1] * x), 0.0)
            return [hazard, hazard * x, hazard * x * x]

    def finished(
        self, place: Floats, value: float, curve: Matrix, steps: int
    ) -> WeibullFit:
        level, shape = float(place[0]), float(place[1])
        spread = np.linalg.inv(-curve)
        scale = math.exp(self.middle - level / shape)
        turn = np.array([-1.0 / shape, level / shape**2])
        return WeibullFit(
            rate=math.exp(level - shape * self.middle),
            shape=shape,
            log_likelihood=value,
            scale_error=scale * math.sqrt(turn @ spread @ turn),
            shape_error=math.sqrt(spread[1, 1]),
            steps=steps,
        )
