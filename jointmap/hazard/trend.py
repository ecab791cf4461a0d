"""How long a falling series of readings has before it may meet its limit.

A straight line through the logarithms of readings of one kind: same joint, method, side
and season, since the last renewal. The limit is met when the line's one-sided 95 %
prediction limit meets it, so a scattered series is re-read sooner. The scatter is the
method's, pooled over all joints: with a joint's own, a worse last reading could
lengthen its interval. Half of the remaining life is the interval, as API 570 and
API 510 do for wall thickness (from memory).
"""

from dataclasses import dataclass

import numpy as np

from jointmap.intervals.sums import sum_by
from jointmap.register.columns import Codes, Days, Floats, Ids, Table

LEAST_READINGS = 4
# A line through a few weeks says nothing of years (judgement).
LEAST_SPAN_YEAR = 1.0
HALF = 0.5
# Decades over the whole series; equal readings may seem to fall by rounding.
LEAST_FALL = 1e-9
# Of the normal law, one side, 95 %.
QUANTILE = 1.6448536269514722
DAYS_A_YEAR = 365.25


@dataclass(frozen=True, slots=True)
class Readings(Table):
    """One row per reading that is a number; bounds such as "> 999 Mohm" are left out.

    A bound is no value: taken for one it would hide a fall from above it.
    """

    series: Ids  # place of the series, rising
    year: Floats  # of the reading, on any clock
    value: Floats  # log10 of the reading
    method: Codes


@dataclass(frozen=True, slots=True)
class Lines(Table):
    """One row per series: its least-squares line, about the middle of its days."""

    count: Ids
    method: Codes
    last_year: Floats
    middle_year: Floats
    middle_value: Floats
    slope: Floats  # decades a year
    squared_years: Floats  # sum of squared distances from the middle
    squared_misses: Floats
    span_year: Floats


def lines_through(readings: Readings, series: int) -> Lines:
    """Return the line of each series; NaN where it has one day only."""

    def total(each: Floats) -> Floats:
        return sum_by(readings.series, each, series)

    count = np.bincount(readings.series, minlength=series)
    year = readings.year
    with np.errstate(divide="ignore", invalid="ignore"):
        middle = total(year) / count
        height = total(readings.value) / count
        off = year - middle[readings.series]
        up = readings.value - height[readings.series]
        spread = total(off * off)
        slope = total(off * up) / spread
    misses = total((up - slope[readings.series] * off) ** 2)
    first, last = np.full(series, np.inf), np.full(series, -np.inf)
    np.minimum.at(first, readings.series, year)
    np.maximum.at(last, readings.series, year)
    method = np.full(series, -1, np.int16)
    method[readings.series] = readings.method
    return Lines(
        count, method, last, middle, height, slope, spread, misses, last - first
    )


def method_spread(lines: Lines, methods: int) -> Floats:
    """Return each method's scatter about its lines, over all series; NaN: none known.

    Every series with three readings or more adds its misses and its degrees of freedom.
    """
    known = (lines.count >= LEAST_READINGS - 1) & (lines.squared_years > 0)
    own = lines.take(known)
    misses = sum_by(own.method, own.squared_misses, methods)
    free = sum_by(own.method, own.count - 2.0, methods)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.sqrt(misses / free))


def remaining_years(
    lines: Lines, limit: Floats, spread: Floats, quantile: float = QUANTILE
) -> Floats:
    """Return years from the last reading until the prediction limit meets ``limit``.

    0 where it has met it; infinity where it never does, the line does not fall, it has
    too few readings or too short a span, or the scatter is not known.

    Parameters
    ----------
    limit
        log10 of the least allowed reading, per series.
    spread
        Standard deviation of a reading about its line, in decades, per series.
    """
    n, sxx = lines.count, lines.squared_years
    above, slope = lines.middle_value - limit, lines.slope
    reach = (quantile * spread) ** 2
    with np.errstate(divide="ignore", invalid="ignore"):
        last = lines.last_year - lines.middle_year
        margin = above + slope * last - np.sqrt(reach * (1 + 1 / n + last**2 / sxx))
        # (above + slope d)^2 = reach (1 + 1/n + d^2/Sxx): the root past the last one.
        a = slope**2 - reach / sxx
        b = above * slope
        c = above**2 - reach * (1 + 1 / n)
        root = np.sqrt(np.maximum(b * b - a * c, 0.0))
        roots = np.stack([(-b - root) / a, (-b + root) / a])
        real = (roots >= last) & (above + slope * roots >= 0)
        met = np.where(real, roots, np.inf).min(axis=0)
    years = np.where(margin > 0, met - last, 0.0)
    told = (n >= LEAST_READINGS) & (lines.span_year >= LEAST_SPAN_YEAR)
    told &= slope * lines.span_year < -LEAST_FALL
    return np.where(told & np.isfinite(reach + limit), years, np.inf)


def years_of(days: Days) -> Floats:
    """Return days as years since 1970."""
    return days.astype("datetime64[D]").astype(np.int64) / DAYS_A_YEAR


def trend_dates(lines: Lines, limit: Floats, spread: Floats) -> Days:
    """Return the day at half of the remaining life of each series; NaT: no trend.

    The readings' clock must be that of ``years_of``.
    """
    years = HALF * remaining_years(lines, limit, spread)
    some = np.isfinite(years)
    # The last reading's own day, then whole days.
    days = np.rint(np.where(some, lines.last_year, 0.0) * DAYS_A_YEAR)
    days += np.floor(np.where(some, years, 0.0) * DAYS_A_YEAR)
    found = days.astype(np.int64).astype("datetime64[D]")
    return np.where(some, found, np.datetime64("NaT", "D"))
