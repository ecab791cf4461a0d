"""A failure model learned from a plant's own record, tests taken as they are: fallible.

Class rates by Newton's method on the filter's likelihood, all classes at once; what the
classes share, then the devices' ageing and the joints' spread, around that. Source of
the method: empirical Bayes with Laplace's approximation; the weak priors are our own.
"""

import datetime as dt
import math
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import minimize
from scipy.special import gammaln

from jointmap.hazard.ages import LifeEvents, events_of
from jointmap.hazard.class_pool import fit_pool
from jointmap.hazard.class_rates import Pool, pooled
from jointmap.hazard.dates import LifeColumns
from jointmap.hazard.failure_model import (
    MECHANISMS,
    Ageing,
    ClassFamily,
    FailureModel,
)
from jointmap.hazard.life_likelihood import NUDGE, LifeRecord, record_of, slopes
from jointmap.intervals.sums import sum_by
from jointmap.register.codes import Verdict
from jointmap.register.columns import Floats

# Fewer failures than this say nothing of ageing or of the joints' spread (judgement).
LEAST_FAILURES = 10
SAMPLE = 30_000
_SHAPE_PRIOR = (0.0, 0.5)
_SPREAD_PRIOR = (math.log(2.0), 1.0)
_ROUNDS = 12
# Started from the place before, where shape and spread moved little.
_FEW_ROUNDS = 2
_LONGEST_STEP = 1.0
_STILL = 1e-4


@dataclass(slots=True)
class _Fit:
    """The likelihood of the whole record, and the place in it reached so far."""

    model: FailureModel
    record: LifeRecord
    log_device: Floats
    log_place: Floats
    pools: tuple[Pool, Pool]

    def by_class(self, which: int, nudge: float) -> Floats:
        """Return the log-likelihood of each class, its log rate nudged."""
        pair = [self.log_device, self.log_place]
        pair[which] = pair[which] + nudge
        own = self.record.lives
        codes = (own.device_class, own.place_class)[which]
        each = self.record.likelihood(self.model, *pair)
        return sum_by(codes, each, len(pair[which]))

    def step(self, which: int) -> tuple[Floats, Floats, float]:
        """Move one family's log rates; returns failures, exposure, largest move."""
        score, bend = slopes(*(self.by_class(which, n) for n in (-NUDGE, 0.0, NUDGE)))
        information = np.maximum(bend, 1e-9)
        log_rate = (self.log_device, self.log_place)[which]
        pool, rate = self.pools[which], np.exp(log_rate)
        pull = pool.likeness / pool.mean_rate * rate
        move = (score + pool.likeness - pull) / (information + pull)
        log_rate += np.clip(move, -_LONGEST_STEP, _LONGEST_STEP)
        failures = np.maximum(information + score, 0.0)
        return failures, information / rate, float(np.abs(move).max(initial=0.0))

    def settle(self, rounds: int) -> list[tuple[Floats, Floats]]:
        """Find class rates and both pools; returns failures and exposure of each."""
        for _ in range(rounds):
            found, moved = [], 0.0
            for which in (0, 1):
                failures, exposure, move = self.step(which)
                found.append((failures, exposure))
                moved = max(moved, move)
            self.pools = (fit_pool(*found[0]), fit_pool(*found[1]))
            if moved < _STILL:
                break
        return found

    def evidence(self) -> float:
        """Return the log-evidence of the record for the model's shapes and spread."""
        found = self.settle(_FEW_ROUNDS)
        logs = (self.log_device, self.log_place)
        total = float(self.record.likelihood(self.model, *logs).sum())
        for log_rate, pool, (_, exposure) in zip(logs, self.pools, found, strict=True):
            k, b, rate = pool.likeness, pool.likeness / pool.mean_rate, np.exp(log_rate)
            prior = k * math.log(b) + k * log_rate - b * rate - gammaln(k)
            total += float(np.sum(prior - 0.5 * np.log((exposure + b) * rate)))
        total -= sum(_off(s, _SHAPE_PRIOR) for s in self.model.shapes().tolist())
        return total - _off(self.model.joint_spread, _SPREAD_PRIOR)


def learn(
    prior: FailureModel,
    lives: LifeColumns,
    events: LifeEvents,
    device_names: tuple[str, ...],
    place_names: tuple[str, ...],
) -> FailureModel:
    """Return ``prior`` with rates, ageing and spread learned from a record.

    Parameters
    ----------
    prior
        Gives the error tables and targets, and everything where the record is silent.
    lives, events
        The record; classes are places in the two lists of names.

    With fewer than ten shorts found of a mechanism its devices are taken not to age;
    with fewer of all, the joints' spread stays the prior's. Shapes and spread are
    fitted on at most 30,000 joints, taken evenly through the classes; the class rates
    on all.
    """
    record = record_of(prior, lives, events)
    shorts = _shorts_found(record)
    counted = zip(MECHANISMS, shorts, strict=True)
    model = replace(prior, ageing={m: Ageing(1.0, count) for m, count in counted})
    if sum(shorts) >= LEAST_FAILURES:
        model = _aged(model, lives, events, (len(device_names), len(place_names)))
    fit = _started(model, record, (len(device_names), len(place_names)))
    found = fit.settle(_ROUNDS)
    own = sum_by(record.steps.row, record.steps.years, len(lives))
    families = []
    for pool, names, codes, counts in zip(
        fit.pools,
        (device_names, place_names),
        (lives.device_class, lives.place_class),
        found,
        strict=True,
    ):
        watched = [sum_by(codes, each, len(names)) for each in (own, np.ones_like(own))]
        families.append(ClassFamily(pool, names, pooled(pool, *counts, *watched)))
    failures = sum(float(counts[0].sum()) for counts in found)
    return replace(
        model,
        device=families[0],
        place=families[1],
        learned_until=_last_day(events),
        data=f"{failures:.1f} effective failures in {own.sum():.0f} joint-years",
    )


def _last_day(events: LifeEvents) -> dt.date | None:
    last: dt.date | None = events.happened_on.max().item() if len(events) else None
    return last


def _shorts_found(record: LifeRecord) -> list[int]:
    """Return for each mechanism its shorts; shorted results in a row are one."""
    lives, steps = record.lives, record.steps
    bad = steps.verdict == Verdict.SHORTED
    again = np.roll(bad, 1) & (steps.row == np.roll(steps.row, 1))
    again[:1] = False
    found = lives.mechanism[steps.row[bad & ~again]]
    counts: list[int] = np.bincount(found, minlength=len(MECHANISMS)).tolist()
    return counts


def _started(model: FailureModel, record: LifeRecord, sizes: tuple[int, int]) -> _Fit:
    pools = (model.device.pool, model.place.pool)
    logs = [
        np.full(size, math.log(p.mean_rate))
        for size, p in zip(sizes, pools, strict=True)
    ]
    return _Fit(model, record, logs[0], logs[1], pools)


def _aged(
    prior: FailureModel,
    lives: LifeColumns,
    events: LifeEvents,
    sizes: tuple[int, int],
) -> FailureModel:
    """Return ``prior`` with the shapes and spread that explain a sample best."""
    some = [m for m, a in prior.ageing.items() if a.shorts >= LEAST_FAILURES]
    fit = _started(prior, record_of(prior, *_sampled(lives, events)), sizes)

    def cost(place: Floats) -> float:
        fit.model = _with(prior, some, place)
        return -fit.evidence()

    start = np.array([0.0] * len(some) + [math.log(prior.joint_spread)])
    simplex = np.vstack([start, start + 0.3 * np.eye(len(start))])
    rough = {
        "xatol": 2e-2,
        "fatol": 2e-2,
        "maxfev": 30 * len(start),
        "initial_simplex": simplex,
    }
    best = minimize(cost, start, method="Nelder-Mead", options=rough)  # type: ignore[call-overload]
    return _with(prior, some, best.x)


def _with(prior: FailureModel, some: list[str], place: Floats) -> FailureModel:
    """Return ``prior`` with shapes of ``some`` mechanisms, and the joints' spread."""
    *shapes, spread = np.exp(place).tolist()
    aged = {
        name: replace(prior.ageing[name], shape=shape)
        for name, shape in zip(some, shapes, strict=True)
    }
    return replace(prior, ageing={**prior.ageing, **aged}, joint_spread=spread)


def _sampled(lives: LifeColumns, events: LifeEvents) -> tuple[LifeColumns, LifeEvents]:
    """Return every so-manieth joint, evenly through the classes, with its events."""
    if len(lives) <= SAMPLE:
        return lives, events
    order = np.lexsort((lives.place_class, lives.device_class))
    chosen = order[np.linspace(0, len(lives) - 1, SAMPLE).astype(np.int64)]
    return lives.take(chosen), events_of(events, chosen, len(lives))


def _off(value: float, prior: tuple[float, float]) -> float:
    return 0.5 * ((math.log(value) - prior[0]) / prior[1]) ** 2
