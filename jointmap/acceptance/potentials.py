"""Judges of potentials: a steady difference, and shifts under interrupted current."""

from typing import NamedTuple

import numpy as np

from jointmap.acceptance.bars import Bar, Bars, Findings, findings
from jointmap.acceptance.reasons import first_of, reason_code
from jointmap.register.codes import LimitRole, Side
from jointmap.register.columns import Codes, Flags, Floats, ReadingColumns
from jointmap.tables import METHOD_CODES

# A shift is the median of three cycles or more (owner's choice; none written: allowed).
LEAST_CYCLES = 3
# A far side that goes the other way by less is still; the electrode and the meter can
# do as much (judgement: a field electrode is good within 5 mV, UFC 3-570-06).
OPPOSITE_VOLT = 0.005
# Differences are rounded to a nanovolt, so that -0.250 less -0.240 is 10 mV, not more.
_PLACES = 9


class Potentials(NamedTuple):
    """What was read of each visit, in volt; NaN where nothing was."""

    a_on_volt: Floats
    a_off_volt: Floats
    b_on_volt: Floats
    b_off_volt: Floats
    interrupted_side: Codes  # of a potential shift; -1 none


class Shifts(NamedTuple):
    """On less off of the interrupted side and of the other, and their ratio."""

    near_volt: Floats
    far_volt: Floats
    ratio: Floats


def shifts(tests: ReadingColumns | Potentials) -> Shifts:
    """Return the potential shifts; a protected side goes more negative: below zero.

    Ratio is far over near, not clipped: below zero the far side moves the other way.
    """
    a = np.round(tests.a_on_volt - tests.a_off_volt, _PLACES)
    b = np.round(tests.b_on_volt - tests.b_off_volt, _PLACES)
    near_is_b = tests.interrupted_side == Side.B
    near, far = np.where(near_is_b, b, a), np.where(near_is_b, a, b)
    ratio = np.full(len(near), np.nan)
    np.divide(far, near, out=ratio, where=near != 0)
    return Shifts(near, far, np.round(ratio, _PLACES))


def judge_shift(tests: ReadingColumns, bars: Bars) -> Findings:
    """Judge a potential shift: the far side must not follow the interrupted side.

    Direction rule: a far side that holds or goes the other way is isolated; one that
    goes along alike is joined (UFC 3-570-06 and tester course). The bands of the ratio
    and the least near shift are the owner's choice: no published limit was found.
    """
    found = shifts(tests)
    guard = bars.of(LimitRole.GUARD_AT_LEAST, tests.purpose)
    most = bars.of(LimitRole.ISOLATING_AT_MOST, tests.purpose)
    short = bars.of(LimitRole.SHORTED_ABOVE, tests.purpose)
    ratio = found.ratio
    reason = first_of(
        [
            *_unfit(tests, found, guard),
            (~most.known, "verdict.no_limit"),
            (found.far_volt >= OPPOSITE_VOLT, "verdict.shift_far_opposite"),
            (ratio <= most.value, "verdict.shift_isolating"),
            (ratio * short.value > 1.0, "verdict.shift_sides_swapped"),
            (ratio > short.value, "verdict.shift_shorted"),
        ],
        "verdict.shift_doubtful",
    )
    small = reason == reason_code("verdict.shift_small")
    compared = np.where(small, np.abs(found.near_volt), ratio)
    floor = Bar(
        np.where(small, guard.value, most.value),
        np.where(small, guard.limit_id, most.limit_id),
    )
    return findings(reason, compared, (short, "verdict.shift_shorted"), floor)


def _unfit(tests: ReadingColumns, found: Shifts, guard: Bar) -> list[tuple[Flags, str]]:
    near = found.near_volt
    cycles = (tests.cycles > 0) & (tests.cycles < LEAST_CYCLES)
    return [
        (np.isnan(near + found.far_volt), "verdict.no_reading"),
        (tests.interrupted_side < 0, "verdict.interrupted_side_missing"),
        (tests.far_side_cycles, "verdict.both_sides_cycling"),
        (~tests.sources_named, "verdict.sources_not_named"),
        (tests.near_side_steady, "verdict.near_side_steady"),
        (cycles, "verdict.too_few_cycles"),
        (~guard.known, "verdict.no_limit"),
        (tests.cycle_spread_volt > guard.value, "verdict.unsteady"),
        (np.abs(near) < guard.value, "verdict.shift_small"),
        (near >= 0, "verdict.shift_wrong_sign"),
    ]


def judge_difference(tests: ReadingColumns, bars: Bars) -> Findings:
    """Judge a steady difference between the sides, read with one unmoved electrode.

    Under current a difference over the limit proves nothing alone: 3 m of instrument
    tube carrying 5 A shows 240 mV. It counts only where the far side was seen not to
    follow when the near side was interrupted. Both sides under current and no
    difference is a balance, not a short.
    """
    gap = np.abs(tests.a_on_volt - tests.b_on_volt).round(_PLACES)
    limit, over = _over(tests, bars, gap)
    short = bars.of(LimitRole.SHORTED_AT_MOST, tests.purpose)
    current = tests.a_has_current | tests.b_has_current
    both = tests.a_has_current & tests.b_has_current
    joined = (gap <= short.value) & ~both
    reason = first_of(
        [
            (np.isnan(gap), "verdict.no_reading"),
            (joined, "verdict.difference_shorted"),
            (~limit.known, "verdict.no_limit"),
            (over & ~current, "verdict.difference_isolating"),
            (over & _far_is_still(tests, bars), "verdict.difference_still"),
            (over, "verdict.difference_under_current"),
            (both, "verdict.balanced"),
            (short.known, "verdict.difference_between"),
        ],
        "verdict.difference_small",
    )
    return findings(reason, gap, (short, "verdict.difference_shorted"), limit)


def _over(tests: ReadingColumns, bars: Bars, gap: Floats) -> tuple[Bar, Flags]:
    """Return the stricter of the two kinds of limit, and whether it is passed."""
    above = bars.of(LimitRole.ISOLATING_ABOVE, tests.purpose)
    least = bars.of(LimitRole.ISOLATING_AT_LEAST, tests.purpose)
    use_above = above.known & ~(least.value > above.value)
    bar = Bar(
        np.where(use_above, above.value, least.value),
        np.where(use_above, above.limit_id, least.limit_id),
    )
    return bar, np.where(use_above, gap > bar.value, gap >= bar.value)


def _far_is_still(tests: ReadingColumns, bars: Bars) -> Flags:
    shift_bars = bars.other(METHOD_CODES["potential-shift"])
    still = ("verdict.shift_isolating", "verdict.shift_far_opposite")
    reason = judge_shift(tests, shift_bars).reason
    return np.isin(reason, [reason_code(r) for r in still])
