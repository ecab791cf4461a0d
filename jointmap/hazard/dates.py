"""The last day on which a hidden failure is still unlikely enough, joint by joint."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.hazard.ages import (
    DAYS_A_YEAR,
    Change,
    Gathered,
    LifeEvents,
    Reached,
    gathered,
)
from jointmap.hazard.failure_model import RATED_YEARS, FailureModel
from jointmap.hazard.filter import Belief, HazardEvents, beliefs
from jointmap.hazard.interval import (
    Ahead,
    failed_at,
    years_to_average,
    years_to_end,
)
from jointmap.hazard.nodes import (
    Nodes,
    grid_needed,
    joint_likeness,
    upper_rate,
)
from jointmap.intervals.sums import sum_by
from jointmap.register.codes import Consequence, Verdict
from jointmap.register.columns import Codes, Days, Flags, Floats, Ids, Table

# A rate of none would never reach its target; no one plans further than this.
MOST_YEARS = 200.0
# Chance that a sound joint is written down as opened and found at fault (judgement).
FOUND_WRONGLY = 1e-3
_SHORTED = Verdict.SHORTED.code


@dataclass(frozen=True, slots=True)
class LifeColumns(Table):
    """One row per joint whose risk is reckoned."""

    starts_on: Days
    device_class: Codes  # place in the model's device classes
    place_class: Codes
    consequence: Codes  # of ``codes.Consequence``; -1: no target
    mechanism: Codes  # place in ``failure_model.MECHANISMS``
    # Per joint five numbers, 0 where its class is large: what its own record said of
    # its classes when they were learned, which their rates leave out. Failures and
    # exposure of its device's class, then of its place's; joint-years of the device's.
    own_counts: Floats


@dataclass(frozen=True, slots=True)
class Rates(Table):
    """One row per joint: what its hazard and multiplier are reckoned with."""

    device_rate: Floats  # per year, the mean of its first ten
    place_rate: Floats
    likeness: Floats  # Gamma shape of the multiplier
    device_shape: Floats

    def device_factor(self) -> Floats:
        """Return what age ** shape is to be multiplied with: the device's hazard."""
        found: Floats = self.device_rate * RATED_YEARS ** (1.0 - self.device_shape)
        return found


@dataclass(frozen=True, slots=True)
class RiskDates(Table):
    """One row per joint: its belief after the last event, and its two dates."""

    last_on: Days  # counts from here: the last event, else the start
    end_on: Days  # chance of a hidden failure reaches the target; NaT: no target
    average_on: Days  # the average over the interval reaches its target
    failed: Floats  # chance of having failed, just after the last event
    failed_on_day: Floats  # ... on the day asked about
    multiplier: Floats  # mean of what is believed of the joint's own rate
    device_rate: Floats
    place_rate: Floats
    device_shape: Floats
    isolating: Ids  # tests on record that say so
    end_target: Floats
    average_target: Floats


def rates_of(model: FailureModel, lives: LifeColumns) -> Rates:
    """Return each joint's rates and how wide its multiplier's law is.

    Two rates add up; their sum is as sure as its parts, each by its share of the hazard
    of ten years from new. The cautious class has upper rates, no width for the class.
    """
    counts = lives.own_counts
    device, at_device = model.device.of_joints(lives.device_class, counts[:, :2])
    place, at_place = model.place.of_joints(lives.place_class, counts[:, 2:4])
    own = (at_device, at_place)
    rate = (device.rate[own[0]], place.rate[own[1]])
    share = rate[0] / (rate[0] + rate[1])
    blur = share**2 / device.sureness[own[0]]
    blur += (1.0 - share) ** 2 / place.sureness[own[1]]
    cautious = _is_cautious(model, lives)
    top = [
        upper_rate(f.rate, f.sureness, model.cautious_quantile)[at]
        for f, at in zip((device, place), own, strict=True)
    ]
    likeness = joint_likeness(1.0 / blur, model.joint_spread)
    likeness = np.where(counts.any(axis=1), _rounded(likeness), likeness)
    return Rates(
        np.where(cautious, top[0], rate[0]),
        np.where(cautious, top[1], rate[1]),
        np.where(cautious, model.joint_spread, likeness),
        model.shapes()[lives.mechanism],
    )


def _rounded(likeness: Floats) -> Floats:
    # To a per cent: joints of one likeness share their nodes, and go as one chunk.
    found: Floats = np.exp(np.rint(np.log(likeness) / 0.02) * 0.02)
    return found


def _is_cautious(model: FailureModel, lives: LifeColumns) -> Flags:
    words = [str(c) for c in Consequence]
    known = model.cautious_class in words
    code = words.index(model.cautious_class) if known else len(words)
    found: Flags = lives.consequence == code
    return found


def hazard_events(model: FailureModel, rates: Rates, steps: Gathered) -> HazardEvents:
    """Return the events as the filter takes them: hazard, chances of verdicts."""
    chances = model.chances()
    shape = rates.device_shape[steps.row]
    hazard = rates.device_factor()[steps.row] * steps.device_hazard(shape)
    hazard += rates.place_rate[steps.row] * steps.years
    tested = steps.verdict >= 0
    verdict = np.where(tested, steps.verdict, 0)
    failed, sound = (np.where(tested, c[steps.method, verdict], 1.0) for c in chances)
    # Someone opened it and saw what was at fault: that witnesses the failure.
    sound = np.where(steps.by_device | steps.by_place, FOUND_WRONGLY, sound)
    return HazardEvents(steps.row, hazard, failed, sound, steps.change != Change.NONE)


def grids(rates: Rates, steps: Gathered, events: HazardEvents) -> Codes:
    """Return the nodes that each joint's record asks for."""
    rows = len(rates)
    shorted = np.bincount(steps.row[steps.verdict == _SHORTED], minlength=rows)
    survived = sum_by(events.row, events.hazard, rows)
    return grid_needed(rates.likeness, shorted.astype(np.float64), survived)


def risk_dates(
    model: FailureModel, lives: LifeColumns, events: LifeEvents, on: np.datetime64
) -> RiskDates:
    """Return what each joint's record says of it, and when its target is reached.

    The dates follow from the last event, so they are the same whatever day one asks.
    Whole days, rounded down. Counts of days beyond 200 years are cut there.

    Raises
    ------
    Refused
        An event before its joint's start.
    """
    steps, reached = gathered(lives.starts_on, events, model.repeat_days)
    rates = rates_of(model, lives)
    filled = hazard_events(model, rates, steps)
    targets = model.by_consequence([*map(str, Consequence), ""])
    end, average = targets[0][lives.consequence], targets[1][lives.consequence]
    solver = _Solver(rates, reached, end, average, on)
    whole = np.zeros((5, len(lives)))
    for joints, found in solver.each(filled, grids(rates, steps, filled)):
        whole[:, joints] = found
    none = lives.consequence < 0
    good = steps.row[steps.verdict == Verdict.ISOLATING]
    return RiskDates(
        reached.last_on,
        _days_after(reached.last_on, whole[0], none),
        _days_after(reached.last_on, whole[1], none),
        whole[2],
        whole[3],
        whole[4],
        rates.device_rate,
        rates.place_rate,
        rates.device_shape,
        np.bincount(good, minlength=len(lives)),
        end,
        average,
    )


@dataclass(frozen=True, slots=True)
class _Solver:
    rates: Rates
    reached: Reached
    end: Floats
    average: Floats
    on: np.datetime64

    def each(
        self, events: HazardEvents, grid: Codes
    ) -> Iterator[tuple[Ids, tuple[Floats, ...]]]:
        for joints, _, belief, nodes in beliefs(events, self.rates.likeness, grid):
            yield joints, self._solved(joints, belief, nodes)

    def _solved(self, joints: Ids, belief: Belief, nodes: Nodes) -> tuple[Floats, ...]:
        ahead = ahead_of(self.rates, self.reached, joints)
        end = years_to_end(belief, nodes, ahead, self.end[joints])
        end = np.minimum(end, MOST_YEARS)
        average = years_to_average(belief, nodes, ahead, self.average[joints], end)
        waited = (self.on - self.reached.last_on[joints]).astype(np.int64) / DAYS_A_YEAR
        now = failed_at(belief, nodes, ahead, np.maximum(waited, 0.0))
        mean = nodes.multiplier @ belief.weight
        return end, average, belief.failed, now, mean


def ahead_of(rates: Rates, reached: Reached, joints: Ids) -> Ahead:
    """Return how the hazard of ``joints`` grows from their last event on."""
    own = rates.take(joints)
    return Ahead(
        reached.device_age_year[joints],
        own.device_factor(),
        own.device_shape,
        own.place_rate,
    )


def _days_after(last_on: Days, years: Floats, none: Flags) -> Days:
    # A whole number of days may come out a hair below itself.
    days = np.floor(years * DAYS_A_YEAR + 1e-6).astype(np.int64)
    found = last_on + days.astype("timedelta64[D]")
    return np.where(none, np.datetime64("NaT", "D"), found)
