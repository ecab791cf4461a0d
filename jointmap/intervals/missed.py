"""Limits broken within some years, and those kept with only days to spare."""

from collections.abc import Iterable

import numpy as np

from jointmap.intervals.calendar import year_of
from jointmap.intervals.facts import stack
from jointmap.intervals.held_limits import HeldLimits
from jointmap.register.columns import Flags


def missed_years(
    held: Iterable[HeldLimits], years: range, near_days: int
) -> HeldLimits:
    """Return every limit broken, or nearly, within ``years``.

    Parameters
    ----------
    held
        One table or more, as ``held_limits`` yields them rule by rule.
    years
        Calendar years; a limit broken earlier shows while it stayed broken.
    near_days
        A limit kept with at most so many days to spare shows too.
    """
    return stack([no_limits(), *(h.take(_is_shown(h, years, near_days)) for h in held)])


def _is_shown(held: HeldLimits, years: range, near_days: int) -> Flags:
    near = held.is_met & (held.days_over >= -near_days)
    # Days without duty are none of those it was late by, so the end may lie later.
    ends_on = np.where(held.is_broken, held.until_on, held.limit_on)
    within = (year_of(held.limit_on) < years.stop) & (year_of(ends_on) >= years.start)
    shown: Flags = (held.is_broken | near) & within
    return shown


def no_limits() -> HeldLimits:
    """Return a table without rows."""
    whole, day = np.empty(0, np.int64), np.empty(0, "datetime64[D]")
    code, flag = np.empty(0, np.int16), np.empty(0, np.bool_)
    return HeldLimits(whole, whole, code, day, day, day, day, whole, code, code, flag)
