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
from jointmap.register.columns import Flags, Floats, Table

_MOST_STEPS = 100
_HALVINGS = 40
# Newton squares the error once it is near: after such a step it is below rounding.
_SMALL_STEP = 1e-8
# A hill so much flatter one way than the other has no top along it.
_FLAT = 1e12
# Below this a life begins at age 0, where the hazard is 0 for every shape.
_LEAST_AGE = 1e-300
# Lives handled at a time: their numbers stay in the processor's own memory.
_BLOCK = 8_192
# Rows looked at to see whether many are equal.
_LOOKED_AT, _MOSTLY = 1_024, 0.9
_ODD = np.uint64(0x9E3779B97F4A7C15)

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
        if not np.isfinite(curve).all():
            break
        move = _uphill(curve, slope)
        place, value, slope, curve = _halved(points, place, value, move)
        if np.max(np.abs(move)) < _SMALL_STEP * (1.0 + np.max(np.abs(place))):
            if not np.linalg.cond(curve) < _FLAT:
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
    """Log ages about their middle: there the rate's and the shape's errors part.

    Lives that have failed stand first: only they have an end.
    """

    count: Floats
    after: Floats  # log age less the middle
    no_age: Flags  # age 0: no hazard, whatever the shape
    until: Floats  # of the failed
    middle: float

    @classmethod
    def of(cls, lives: LifeIntervals) -> "_Points":
        lives = _distinct(lives)
        has_end = np.isfinite(lives.until_year)
        dead = int(has_end.sum())
        lives = lives.take(np.argsort(~has_end, kind="stable"))
        no_age = lives.after_year < _LEAST_AGE
        after = np.log(np.where(no_age, 1.0, lives.after_year))
        until = np.log(lives.until_year[:dead])
        died, aged = lives.count[:dead], lives.count * ~no_age
        total = np.sum(aged * after) + np.sum(died * until)
        middle = total / (np.sum(aged) + np.sum(died))
        return cls(lives.count, after - middle, no_age, until - middle, float(middle))

    def first_guess(self) -> float:
        """Return log(failures / exposure), in units of the middle age."""
        ends = np.where(self.no_age, 0.0, np.exp(self.after))
        ends[: len(self.until)] = np.exp(self.until)
        failed = np.sum(self.count[: len(self.until)])
        return math.log(failed / np.sum(self.count * ends))

    def derivatives(self, place: Floats) -> tuple[float, Floats, Matrix]:
        """Return the log-likelihood, its slope and its curvature."""
        # Far from the top numbers overflow; such a place is walked back from.
        with np.errstate(all="ignore"):
            parts = np.zeros(6)
            for start in range(0, len(self.count), _BLOCK):
                parts += self._of_block(slice(start, start + _BLOCK), place)
        value, r, s, rr, rs, ss = parts
        return float(value), np.array([r, s]), np.array([[rr, rs], [rs, ss]])

    def _of_block(self, block: slice, place: Floats) -> Floats:
        """Return value, both slopes and three curvatures of some lives."""
        own, until = self.count[block], self.until[block]
        start = _grown(self.after[block], place)
        for each in start:
            each[self.no_age[block]] = 0.0
        lived = [own @ each for each in start]
        begins = (each[: len(until)] for each in start)
        ends = _grown(until, place)
        first, twice, thrice = (e - b for e, b in zip(ends, begins, strict=True))
        # 1 / (e^D - 1) says all: the chance of failing in between is 1 / (1 + g).
        g = 1.0 / np.expm1(first)
        died = own[: len(until)]
        pull = died * g
        bend = pull * (1.0 + g)
        r, s = pull @ first, pull @ twice
        bent = bend * first
        rr, rs = r - bent @ first, s - bent @ twice
        ss = pull @ thrice - (bend * twice) @ twice
        value = -(died @ np.log1p(g))
        lived = [lived[n] for n in (0, 0, 1, 0, 1, 2)]
        return np.array([value, r, s, rr, rs, ss]) - lived

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


def _grown(log_age: Floats, place: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the hazard by each age, and its first and second derivative by shape."""
    hazard = np.exp(place[0] + place[1] * log_age)
    first = hazard * log_age
    return hazard, first, first * log_age


def _distinct(lives: LifeIntervals) -> LifeIntervals:
    """Return equal lives as one row: inspections come at few ages.

    Rows are brought together by a hash of their bits; equal hashes of unequal rows
    would only leave some equal rows apart.
    """
    after = np.ascontiguousarray(lives.after_year, np.float64)
    until = np.ascontiguousarray(lives.until_year, np.float64)
    with np.errstate(over="ignore"):
        mixed = after.view(np.uint64) * _ODD + until.view(np.uint64)
    some = mixed[:: max(1, len(mixed) // _LOOKED_AT)]
    if len(np.unique(some)) > _MOSTLY * len(some):
        return lives
    # The row's place in the low bits: numbers sort faster than places do.
    low = np.uint64((1 << len(after).bit_length()) - 1)
    place = np.arange(len(after), dtype=np.uint64)
    order = (np.sort((mixed & ~low) | place) & low).astype(np.int64)
    after, until = after[order], until[order]
    new = np.ones(len(order), np.bool_)
    new[1:] = (after[1:] != after[:-1]) | (until[1:] != until[:-1])
    first = np.flatnonzero(new)
    count = np.add.reduceat(lives.count[order], first)
    return LifeIntervals(after[first], until[first], count)
