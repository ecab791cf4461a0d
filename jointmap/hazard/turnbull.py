"""The share failed by each age, with no law assumed (Turnbull's estimate).

Source: Turnbull 1976, JRSS B 38:290-295, by self-consistency; intervals are open below
and closed above: good at ``after_year``, failed by ``until_year``.
"""

from dataclasses import dataclass

import numpy as np

from jointmap.hazard.weibull import LifeIntervals
from jointmap.intervals.sums import sum_by
from jointmap.register.columns import Flags, Floats, Ids, Table

_MOST_ROUNDS = 200_000
# Share by which a failure-free direction may still raise the likelihood at the end.
_CLOSE_ENOUGH = 1e-9
_TINY = np.finfo(np.float64).tiny
# Shares on their way to none when the rounds end.
_NO_SHARE = 1e-7


@dataclass(frozen=True, slots=True)
class MassIntervals(Table):
    """One row per interval that carries a share of the failures, by age."""

    after_year: Floats
    until_year: Floats  # infinity: beyond what was watched
    share: Floats


def turnbull(lives: LifeIntervals) -> MassIntervals:
    """Return the shares under which ``lives`` are most likely.

    Within an interval nothing is known of where its share lies. Rounds go on until no
    interval's share could raise the likelihood by more than one part in 10^9.
    """
    after, until = _innermost(lives)
    rows, count = _distinct(lives)
    covers = (rows[0][:, None] <= after) & (until <= rows[1][:, None])
    share = _self_consistent(covers, count)
    kept = share > _NO_SHARE
    return MassIntervals(after[kept], until[kept], share[kept] / share[kept].sum())


def survival_at(masses: MassIntervals, years: Floats) -> Floats:
    """Return the share not failed at each age that lies in no mass interval."""
    failed: Floats = (masses.until_year <= years[:, None]) @ masses.share
    return 1.0 - failed


def _innermost(lives: LifeIntervals) -> tuple[Floats, Floats]:
    """Return the intervals between a last-good age and the next failed age."""
    ends = np.concatenate([lives.until_year, lives.after_year])
    opens = np.arange(len(ends)) >= len(lives)
    # An interval closed at t and one open at t do not meet: closings come first.
    order = np.lexsort((opens, ends))
    ends, opens = ends[order], opens[order]
    at = np.flatnonzero(opens[:-1] & ~opens[1:])
    return ends[at], ends[at + 1]


def _distinct(lives: LifeIntervals) -> tuple[Floats, Floats]:
    pairs = np.stack([lives.after_year, lives.until_year])
    rows, place = np.unique(pairs, axis=1, return_inverse=True)
    return rows, sum_by(place.ravel(), lives.count, rows.shape[1])


def _self_consistent(covers: Flags, count: Floats) -> Floats:
    share = np.full(covers.shape[1], 1.0 / covers.shape[1])
    weight = count / count.sum()
    inside = covers.astype(np.float64)
    live: Ids = np.arange(len(share))
    own = share.copy()  # of the intervals that are live
    for _ in range(_MOST_ROUNDS):
        gain = (weight / (inside @ own)) @ inside
        if gain.max() < 1.0 + _CLOSE_ENOUGH:
            break
        own *= gain
        if own.min() <= _TINY:
            kept = own > _TINY
            share[live[~kept]] = 0.0
            live, own, inside = live[kept], own[kept], inside[:, kept]
    share[live] = own
    return share
