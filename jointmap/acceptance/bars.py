"""The limit that binds each test, and a reading held against it."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from jointmap.acceptance.reasons import first_of, reason_code
from jointmap.register.codes import LimitRole, Purpose
from jointmap.register.columns import (
    Codes,
    Flags,
    Floats,
    Ids,
    LimitColumns,
    ReadingColumns,
)

# Of several limits in force for one thing the stricter binds.
_STRICTER: dict[LimitRole, Callable[[float, float], float]] = {
    LimitRole.ISOLATING_AT_LEAST: max,
    LimitRole.ISOLATING_ABOVE: max,
    LimitRole.ISOLATING_AT_MOST: min,
    LimitRole.SHORTED_AT_MOST: max,
    LimitRole.SHORTED_ABOVE: min,
    LimitRole.GUARD_AT_LEAST: max,
    LimitRole.STOP_AT_LEAST: min,
}


class Bar(NamedTuple):
    """The limit that binds each row: its value (NaN if none) and its id (0 if none)."""

    value: Floats
    limit_id: Ids

    @property
    def known(self) -> Flags:
        """Whether a limit binds the row."""
        return self.limit_id > 0


class Findings(NamedTuple):
    """What one method's judge found, row by row, before the common rules."""

    reason: Codes
    compared: Floats
    against: Floats
    limit_id: Ids


class Bars:
    """The limits in force of one method, asked for by role; -1 is any method."""

    def __init__(self, limits: LimitColumns, method: int) -> None:
        self._all = limits
        self._limits = limits.take(limits.method == method)

    def other(self, method: int) -> "Bars":
        """Return the limits of another method."""
        return Bars(self._all, method)

    def of(self, role: LimitRole, purpose: Codes) -> Bar:
        """Return the limit of ``role`` that binds each row.

        A limit for the row's own purpose goes before one for any purpose; of several
        the stricter binds.
        """
        value = np.full(len(Purpose) + 1, np.nan)
        limit_id = np.zeros(len(Purpose) + 1, np.int64)
        mine = self._limits.take(self._limits.role == role.code)
        for asked in range(-1, len(Purpose)):
            row = _strictest(mine, asked, _STRICTER[role])
            if row >= 0:
                value[asked], limit_id[asked] = mine.value[row], mine.limit_id[row]
        # The last place stands for -1: no purpose asked.
        own = np.where(limit_id > 0, np.arange(len(limit_id)), -1)
        return Bar(value[own[purpose]], limit_id[own[purpose]])


def _strictest(
    limits: LimitColumns, purpose: int, stricter: Callable[[float, float], float]
) -> int:
    rows = np.flatnonzero(limits.purpose == purpose).tolist()
    found = -1
    for row in rows:
        value, best = float(limits.value[row]), float(limits.value[found])
        if found < 0 or stricter(value, best) != best:
            found = row
    return found


class ResistanceReasons(NamedTuple):
    """The reasons a resistance may be judged by."""

    isolating: str
    doubtful: str
    contact: str


def judge_resistance(
    tests: ReadingColumns, bars: Bars, reasons: ResistanceReasons
) -> Findings:
    """Hold readings, with their bounds, against the least of a good joint.

    "> 999 Mohm" is a bound: it passes a limit of 1 Mohm; "> 500 kohm" neither passes
    nor fails it. At or under the limit for metal contact the two sides are joined.
    """
    value, bound = tests.reading_ohm, tests.reading_bound
    least = bars.of(LimitRole.ISOLATING_AT_LEAST, tests.purpose)
    contact = bars.of(LimitRole.SHORTED_AT_MOST, tests.purpose)
    joined = (bound <= 0) & (value <= contact.value)
    passes = (bound >= 0) & (value >= least.value)
    # "< 2 ohm" is under a limit of 2 ohm or more, however far.
    fails = (bound <= 0) & (value <= least.value)
    reason = first_of(
        [
            (np.isnan(value), "verdict.no_reading"),
            (joined, reasons.contact),
            (~least.known, "verdict.no_limit"),
            (passes, reasons.isolating),
            (fails, reasons.doubtful),
            (bound > 0, "verdict.bound_low"),
        ],
        "verdict.bound_high",
    )
    return findings(reason, value, (contact, reasons.contact), least)


def findings(
    reason: Codes, compared: Floats, first: tuple[Bar, str], second: Bar
) -> Findings:
    """Name the limit that decided: the first bar for its own reason, else the second.

    Nothing was compared where there was no reading or no limit.
    """
    bar, name = first
    by_first = reason == reason_code(name)
    idle = np.isin(
        reason, [reason_code(r) for r in ("verdict.no_reading", "verdict.no_limit")]
    )
    against = np.where(by_first, bar.value, second.value)
    limit_id = np.where(by_first, bar.limit_id, second.limit_id)
    return Findings(
        reason,
        np.where(idle, np.nan, compared),
        np.where(idle, np.nan, against),
        np.where(idle, 0, limit_id),
    )


def unmeasured(reason: Codes) -> Findings:
    """Return findings that rest on no number."""
    none = np.full(len(reason), np.nan)
    return Findings(reason, none, none, np.zeros(len(reason), np.int64))
