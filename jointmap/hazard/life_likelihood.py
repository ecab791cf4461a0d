"""How likely each joint's record is under given rates, tests taken as fallible."""

from dataclasses import dataclass

import numpy as np

from jointmap.hazard.ages import Change, Gathered, LifeEvents, gathered
from jointmap.hazard.dates import (
    LifeColumns,
    Rates,
    grids,
    hazard_events,
)
from jointmap.hazard.failure_model import FailureModel
from jointmap.hazard.filter import beliefs
from jointmap.register.codes import Verdict
from jointmap.register.columns import Flags, Floats, Ids

NUDGE = 1e-2  # of a log rate, for central differences


@dataclass(frozen=True, slots=True)
class Causes:
    """Repairs after a short whose cause is on record, with what led up to them."""

    row: Ids  # of the joint
    by_device: Flags  # else a way around
    after: Ids  # place of the last good test or renewal before; -1: the start
    at: Ids  # place of the renewal among the events

    def gained(self, each: Floats) -> Floats:
        """Return what was gathered since the joint was last known good."""
        total = np.concatenate([[0.0], np.cumsum(each)])
        found: Floats = total[self.at + 1] - total[self.after + 1]
        return found


def causes_of(steps: Gathered) -> Causes:
    """Return the renewals that say what had failed."""
    place = np.arange(len(steps))
    good = (steps.verdict == Verdict.ISOLATING) | (steps.change != Change.NONE)
    begins = np.diff(steps.row, prepend=-1) != 0
    # The last good event before each, or just before the joint's first.
    marks = np.where(good, place, -1)
    last = np.concatenate([[-1], np.maximum.accumulate(marks)[:-1]])[: len(place)]
    first = np.maximum.accumulate(np.where(begins, place, 0))
    after = np.maximum(last, first - 1)
    at = np.flatnonzero(steps.by_device | steps.by_place)
    return Causes(steps.row[at], steps.by_device[at], after[at], at)


@dataclass(frozen=True, slots=True)
class LifeRecord:
    """Joints, what happened to them, and what was found at fault."""

    lives: LifeColumns
    steps: Gathered
    causes: Causes

    def likelihood(self, model: FailureModel, device: Floats, place: Floats) -> Floats:
        """Return each joint's log-likelihood, log rates given by class.

        Ageing and the joints' spread are the model's.
        """
        own = self.lives
        rates = Rates(
            np.exp(device)[own.device_class],
            np.exp(place)[own.place_class],
            np.full(len(own), model.joint_spread),
            model.shapes()[own.mechanism],
        )
        events = hazard_events(model, rates, self.steps)
        found = np.zeros(len(own))
        grid = grids(rates, self.steps, events)
        for joints, _, belief, _ in beliefs(events, rates.likeness, grid):
            found[joints] = belief.log_likelihood
        np.add.at(found, self.causes.row, self._said_of_causes(rates))
        return found

    def _said_of_causes(self, rates: Rates) -> Floats:
        shape = rates.device_shape[self.steps.row]
        own = self.causes
        device = rates.device_factor()[own.row] * own.gained(
            self.steps.device_hazard(shape)
        )
        place = rates.place_rate[own.row] * own.gained(self.steps.years)
        least = np.finfo(np.float64).tiny
        named = np.where(own.by_device, device, place)
        return np.log(np.maximum(named, least) / np.maximum(device + place, least))


def record_of(
    model: FailureModel, lives: LifeColumns, events: LifeEvents
) -> LifeRecord:
    """Return the record of joints; raises ``Refused`` for an event before its start."""
    steps, _ = gathered(lives.starts_on, events, model.repeat_days)
    return LifeRecord(lives, steps, causes_of(steps))


def slopes(low: Floats, mid: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return score and information of log-likelihoods at three nudged log rates."""
    score = (high - low) / (2 * NUDGE)
    return score, -(high - 2 * mid + low) / NUDGE**2
