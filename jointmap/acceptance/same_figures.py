"""Whether the figures of a visit are those of an earlier one, and by what chance.

Last year's sheet under a new day looks like a reading. Two honest readings of a place
agree in one figure now and then; that all of them agree has a chance that can be
reckoned from how finely they were written.
"""

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from jointmap.register.columns import Codes, Days, Flags, Floats, Ids, Table
from jointmap.register.joining import alike

Array = npt.NDArray[Any]
# A visit is told whose figures agree with an earlier one's by chance less often than
# once in so many (judgement).
RARE = 200
# Two honest visits write the same millivolt once in so many, and the same ten
# millivolts (judgement; in 982 pairs of visits of the sample once in 23 to 61).
SAME_MILLIVOLT, SAME_TEN_MILLIVOLTS = 20.0, 2.0
# Other readings of one place differ by a third or more as a rule, so that one written
# as N (71.0 as 710) is met again about 3 times in N (judgement; half the pairs of the
# sample differ by more than a third).
SPREAD = 3.0
# Within this the on of a side is not a second figure beside its off.
_ONE_FIGURE_VOLT = 0.005
_PAIRS = (("a_on_volt", "a_off_volt"), ("b_on_volt", "b_off_volt"))
_VOLTS = ("a_on_volt", "a_off_volt", "b_on_volt", "b_off_volt")
_OTHERS = (
    "reading_ohm", "span_current_ampere", "ac_a_volt", "ac_b_volt", "ac_between_volt",
)  # fmt: skip
FIGURES = (*_VOLTS, *_OTHERS)
# More digits than anybody writes.
_DIGITS = 6
_NOTHING = -1e30


@dataclass(frozen=True, slots=True)
class FigureColumns(Table):
    """One row per test with a figure: where, when, and each figure."""

    test_id: Ids
    spot: Ids  # the same number for tests of one spot by one method
    side: Codes  # of the spot, and the side that was interrupted
    interrupted_side: Codes
    tested_on: Days
    reading_bound: Codes
    a_on_volt: Floats
    a_off_volt: Floats
    b_on_volt: Floats
    b_off_volt: Floats
    reading_ohm: Floats
    span_current_ampere: Floats
    ac_a_volt: Floats
    ac_b_volt: Floats
    ac_between_volt: Floats


class Again(NamedTuple):
    """Visits with the figures of an earlier one: a test of each, and one in how many.

    ``odds`` counts every earlier visit of the spot, for any of them may be met again.
    """

    test_id: Ids
    before_id: Ids
    odds: Floats


class _Visits(NamedTuple):
    """What was read of a spot on a day, by spot and day."""

    of_row: Ids
    first_row: Ids
    earlier: Ids  # visits of the same spot before
    spot: Ids  # of each row

    @property
    def number(self) -> int:
        """How many there are."""
        return len(self.first_row)


def figures_again(read: FigureColumns) -> Again:
    """Return each visit whose figures all equal an earlier one's, if that is rare."""
    visits = _visits(read)
    before = _visit_before(read, visits)
    rarity = np.bincount(visits.of_row, _rarity(read, visits), visits.number)
    odds = np.exp(rarity) / np.maximum(visits.earlier, 1)
    told = np.flatnonzero((before >= 0) & (odds >= RARE))
    row, earlier = visits.first_row[told], visits.first_row[before[told]]
    return Again(read.test_id[row], read.test_id[earlier], odds[told])


def _visits(read: FigureColumns) -> _Visits:
    day = read.tested_on.astype("datetime64[D]").astype(np.int64)
    since = day - day.min(initial=0)
    days = int(since.max(initial=0)) + 1
    key, first, of_row = np.unique(
        read.spot * days + since, return_index=True, return_inverse=True
    )
    spot = key // days
    earlier = np.arange(len(key)) - np.searchsorted(spot, spot)
    return _Visits(of_row, first, earlier, read.spot)


def _visit_before(read: FigureColumns, visits: _Visits) -> Ids:
    """Return for each visit the one before it with its figures; -1: none has them all.

    By row the last earlier one with its figures; those of a visit must agree.
    """
    found = _row_before(_alike(read), visits.of_row)
    first, last = np.full(visits.number, len(read)), np.full(visits.number, -1)
    np.minimum.at(first, visits.of_row, found)
    np.maximum.at(last, visits.of_row, found)
    before: Ids = np.where(first == last, first, -1)
    return before


def _alike(read: FigureColumns) -> Ids:
    """Return a number for each row that is equal for rows with the same figures."""
    # A single has digits enough to tell figures apart, and too few to tell apart what
    # one unit or another made of the same figure.
    figures = (getattr(read, name).astype(np.float32) for name in FIGURES)
    told = (np.nan_to_num(values, nan=_NOTHING) for values in figures)
    return alike(read.spot, read.side, read.interrupted_side, read.reading_bound, *told)


def _row_before(same: Ids, visit: Ids) -> Ids:
    """Return for each row the last earlier visit with a row that is alike; -1: none."""
    order = np.lexsort((visit, same))
    own, at = same[order], visit[order]
    starts = np.ones(len(own), np.bool_)
    starts[1:] = (own[1:] != own[:-1]) | (at[1:] != at[:-1])
    start = np.maximum.accumulate(np.where(starts, np.arange(len(own)), 0))
    last = start - 1
    again = (last >= 0) & (own[last] == own)
    found = np.full(len(own), -1)
    found[order] = np.where(again, at[last], -1)
    return found


def _rarity(read: FigureColumns, visits: _Visits) -> Floats:
    """Return per row the logarithm of one in how many its figures are met again."""
    found = _of_potentials(read, visits)
    for name in _OTHERS:
        exact = read.reading_bound == 0
        told = exact if name == "reading_ohm" else np.ones_like(exact)
        found += _of_figure(np.abs(getattr(read, name)), told, visits)
    return found


def _of_potentials(read: FigureColumns, visits: _Visits) -> Floats:
    volts = np.stack([getattr(read, name) for name in _VOLTS])
    is_fine: Flags = np.mod(np.round(volts * 1e3, 3), 10) > 0
    mostly = _mean(visits.spot, is_fine, ~np.isnan(volts)) > 0.5  # noqa: PLR2004
    fine = mostly | _any_of_visit(np.any(is_fine, axis=0), visits)
    each = np.log(np.where(fine, SAME_MILLIVOLT, SAME_TEN_MILLIVOLTS))
    told = np.zeros(len(read), np.int64)
    for on_name, off_name in _PAIRS:
        on, off = getattr(read, on_name), getattr(read, off_name)
        moved = ~(np.abs(on - off) <= _ONE_FIGURE_VOLT)
        told += ~np.isnan(off)
        told += ~np.isnan(on) & moved
    rarity: Floats = each * told
    return rarity


def _any_of_visit(rows: Flags, visits: _Visits) -> Flags:
    found: Flags = (np.bincount(visits.of_row, rows, visits.number) > 0)[visits.of_row]
    return found


def _mean(group: Ids, values: Array, told: Flags) -> Floats:
    """Return for each row the mean of what its group was told; 0 where nothing was."""
    groups = np.broadcast_to(group, told.shape)[told]
    count = np.bincount(groups, minlength=int(group.max(initial=0)) + 1)
    total = np.bincount(groups, values[told], len(count))
    mean: Floats = (total / np.maximum(count, 1))[group]
    return mean


def _of_figure(size: Floats, told: Flags, visits: _Visits) -> Floats:
    """Return the same of a figure, by the digits that its visit, or its spot, shows.

    71.0 among readings like 90.1 was read to three digits, 71 among 90 to two. No last
    digit is finer than the finest of its spot: 0.7 beside 6.5 was read to one.
    """
    read = told & (size > 0)
    some = np.where(read, size, 1.0)
    power = np.floor(np.log10(some)).astype(np.int64)
    digits = _digits(some, power)
    shown = np.zeros(visits.number, np.int64)
    np.maximum.at(shown, visits.of_row[read], digits[read])
    usual = np.round(_mean(visits.spot, digits, read)).astype(np.int64)
    finest = np.full(int(visits.spot.max(initial=-1)) + 1, np.iinfo(np.int64).max)
    np.minimum.at(finest, visits.spot[read], (power - digits + 1)[read])
    last = power - np.maximum(shown[visits.of_row], usual) + 1
    last = np.where(read, np.maximum(last, finest[visits.spot]), 0)
    whole = some / 10.0**last
    rarity: Floats = np.where(read, np.log(np.maximum(whole / SPREAD, 1.0)), 0.0)
    return rarity


def _digits(some: Floats, power: Ids) -> Ids:
    """Return how many digits each was written with, noughts at its end left out."""
    whole = np.round(some / 10.0 ** (power - _DIGITS + 1)).astype(np.int64)
    digits = np.full(len(some), _DIGITS)
    for _ in range(_DIGITS - 1):
        ends = whole % 10 == 0
        whole, digits = np.where(ends, whole // 10, whole), digits - ends
    return digits
