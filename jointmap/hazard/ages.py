"""From days of fitting, tests and renewals to how much hazard lay between them."""

from dataclasses import dataclass, replace
from enum import IntEnum

import numpy as np

from jointmap.errors import Problem, Refused
from jointmap.intervals.facts import day_key
from jointmap.register.columns import Codes, Days, Flags, Floats, Ids, Table

DAYS_A_YEAR = 365.25
# Codes that order one day's events, from -1, and the bits that each needs.
_WITHIN_A_DAY = {"turn": 3, "method": 5, "verdict": 2}


class Change(IntEnum):
    """What an event of a joint's life does to it."""

    NONE = 0  # a test
    DEVICE = 1  # a new device, or one made as new: age 0, sound
    PLACE = 2  # a way around taken away: sound, the device ages on


@dataclass(frozen=True, slots=True)
class LifeEvents(Table):
    """One row per test or renewal of a joint, in any order.

    Of one day's events those with the lower ``turn`` come first: as found 0, renewal 1,
    as left 2.
    """

    row: Ids  # place of the joint
    happened_on: Days
    turn: Codes
    change: Codes  # of ``Change``
    method: Codes  # place in tables.METHODS; -1 of a renewal
    verdict: Codes  # isolating, doubtful or shorted; -1 of a renewal
    by_device: Flags  # a renewal after a short: the device itself was at fault
    by_place: Flags  # ... or a way around was


def events_of(events: LifeEvents, joints: Ids, rows: int) -> LifeEvents:
    """Return the events of some of ``rows`` joints, which are 0, 1, ... in it."""
    place = np.full(rows, -1)
    place[joints] = np.arange(len(joints))
    part = events.take(place[events.row] >= 0)
    return replace(part, row=place[part.row])


@dataclass(frozen=True, slots=True)
class Gathered(Table):
    """One row per event, sorted by joint and time: what was gathered since the last."""

    row: Ids
    device_from_year: Floats  # the device's age after the event before
    device_until_year: Floats
    years: Floats
    change: Codes
    method: Codes
    verdict: Codes
    by_device: Flags
    by_place: Flags
    happened_on: Days

    def device_hazard(self, shape: Floats) -> Floats:
        """Return each step's hazard at a device rate of 1; ``shape`` per event."""
        return self.device_until_year**shape - self.device_from_year**shape


@dataclass(frozen=True, slots=True)
class Reached(Table):
    """One row per joint: where it stands after its last event."""

    last_on: Days  # the last event, else the start
    device_age_year: Floats


def gathered(
    starts_on: Days, events: LifeEvents, repeat_days: int
) -> tuple[Gathered, Reached]:
    """Return the events in order with the time between, and where each joint stands.

    Of tests with the same verdict by the same method within ``repeat_days``, no renewal
    between, the last counts alone: what misled the one may have misled the others.

    Raises
    ------
    Refused
        An event before its joint's start: an age cannot be negative.
    """
    early = events.happened_on < starts_on[events.row]
    if early.any():
        raise Refused(Problem("risk.before_start", {"count": int(early.sum())}))
    own = _in_order(events, repeat_days)
    first = np.diff(own.row, prepend=-1) != 0
    start = starts_on[own.row]
    before = np.where(first, start, np.roll(own.happened_on, 1))
    renewed_on = _renewed_before(own, first, start)
    steps = Gathered(
        own.row,
        _years(renewed_on, before),
        _years(renewed_on, own.happened_on),
        _years(before, own.happened_on),
        own.change,
        own.method,
        own.verdict,
        own.by_device,
        own.by_place,
        own.happened_on,
    )
    return steps, _reached(starts_on, own)


def _in_order(events: LifeEvents, repeat_days: int) -> LifeEvents:
    # Of one turn the verdicts commute; a fixed order makes the result one of the set.
    key = day_key(events.row, events.happened_on)
    for name, bits in _WITHIN_A_DAY.items():
        key = (key << bits) + getattr(events, name) + 1
    order = np.argsort(key, kind="stable")
    own, key = events.take(order), key[order]
    # A renewal written down twice.
    same = (own.change != Change.NONE) & (own.change == np.roll(own.change, 1))
    same &= key == np.roll(key, 1)
    same[:1] = False
    return own.take(_counts(own, repeat_days) & ~same)


def _counts(own: LifeEvents, repeat_days: int) -> Flags:
    """Return the events that count: all but tests that another soon repeats."""
    day = own.happened_on.astype("datetime64[D]").astype(np.int64)
    near = (np.diff(day) <= repeat_days) & (np.diff(own.row) == 0)
    # Few events have another so near; only they are looked at.
    at = np.flatnonzero(
        np.concatenate([near, [False]]) | np.concatenate([[False], near])
    )
    renewed = np.cumsum(own.change != Change.NONE)
    columns = (own.row, renewed, own.method, own.verdict)
    kinds = np.stack([column[at] for column in columns])
    order = np.lexsort(kinds)
    kinds, at = kinds[:, order], at[order]
    kind = np.cumsum((np.diff(kinds, axis=1, prepend=-2) != 0).any(axis=0))
    found = np.ones(len(own), np.bool_)
    found[at] = _last_of_runs(kind, day[at], repeat_days)
    return found


def _last_of_runs(kind: Ids, day: Ids, repeat_days: int) -> Flags:
    """Return the last of each kind, the last more than the window before it, ...

    Rows come sorted by kind, then day.
    """
    span = int(np.ptp(day)) + repeat_days + 1 if len(day) else 1
    place = kind * span + day
    before = np.searchsorted(place, place - repeat_days) - 1
    before[kind[before] != kind] = -1
    found = np.zeros(len(day), np.bool_)
    last = np.flatnonzero(np.diff(kind, append=-1) != 0)
    while len(last):
        found[last] = True
        last = before[last]
        last = last[last >= 0]
    return found


def _renewed_before(own: LifeEvents, first: Flags, start: Days) -> Days:
    """Return the day from which each event's device counts its age."""
    place = np.arange(len(own))
    renewed = np.where(own.change == Change.DEVICE, place, -1)
    last = np.concatenate([[-1], np.maximum.accumulate(renewed)[:-1]])[: len(own)]
    begins = np.maximum.accumulate(np.where(first, place, 0))
    return np.where(last >= begins, own.happened_on[last], start)


def _reached(starts_on: Days, own: LifeEvents) -> Reached:
    last_on, renewed_on = starts_on.copy(), starts_on.copy()
    # Assigned in order of time: the last of each joint stays.
    last_on[own.row] = own.happened_on
    new = own.change == Change.DEVICE
    renewed_on[own.row[new]] = own.happened_on[new]
    return Reached(last_on, _years(renewed_on, last_on))


def _years(from_on: Days, until_on: Days) -> Floats:
    return (until_on - from_on).astype(np.int64) / DAYS_A_YEAR
