"""What must hold for the time that a falling series of readings has left."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import binom

from jointmap.hazard.outlook import binomial_quantile
from jointmap.hazard.trend import (
    QUANTILE,
    Readings,
    lines_through,
    remaining_years,
    trend_dates,
)

# Years since the reading before, and log10 of the reading.
READING = st.tuples(st.floats(0.1, 2.0), st.floats(3.0, 9.0))
SERIES = st.lists(READING, min_size=4, max_size=9)
SPREAD = st.floats(0.02, 0.5)
LIMIT = st.floats(2.0, 5.0)


def series(*several):
    """Readings of several series, each as drawn."""
    rows = [
        (place, when, value)
        for place, own in enumerate(several)
        for when, (_, value) in zip(np.cumsum([g for g, _ in own]), own, strict=True)
    ]
    place, year, value = (np.array(c) for c in zip(*rows, strict=True))
    return Readings(place.astype(int), year, value, np.zeros(len(place), np.int16))


def left(readings, limit, spread):
    count = int(readings.series.max()) + 1
    lines = lines_through(readings, count)
    return remaining_years(lines, np.full(count, limit), np.full(count, spread))


@given(SERIES, LIMIT, SPREAD, st.floats(0, 3))
def test_a_worse_last_reading_never_lengthens_the_trend(own, limit, spread, worse):
    lower = [*own[:-1], (own[-1][0], own[-1][1] - worse)]
    one, other = (left(series(s), limit, spread)[0] for s in (lower, own))
    assert one <= other * (1 + 1e-9) + 1e-9


@given(SERIES, LIMIT, SPREAD, st.floats(0, 2), st.floats(1, 3))
def test_a_higher_limit_or_a_wider_scatter_never_lengthens(
    own, limit, spread, higher, wider
):
    plain = left(series(own), limit, spread)[0]
    for stricter in ((limit + higher, spread), (limit, spread * wider)):
        assert left(series(own), *stricter)[0] <= plain * (1 + 1e-9) + 1e-9


@given(SERIES, LIMIT, SPREAD)
def test_the_prediction_limit_first_meets_the_limit_on_that_day(own, limit, spread):
    """Looked up along the way, by the textbook's formula and a fit of NumPy's own."""
    readings = series(own)
    years = left(readings, limit, spread)[0]
    slope, at_0 = np.polyfit(readings.year, readings.value, 1)
    if not np.isfinite(years):
        assert slope > -1e-9 or readings.year[-1] - readings.year[0] < 1 + 1e-9
        return
    middle = readings.year.mean()
    sxx = ((readings.year - middle) ** 2).sum()

    def margin(ahead):
        when = readings.year[-1] + ahead
        wide = 1 + 1 / len(own) + (when - middle) ** 2 / sxx
        return at_0 + slope * when - limit - QUANTILE * spread * np.sqrt(wide)

    if years == 0:
        assert margin(0.0) <= 1e-6
        return
    assert margin(years) == pytest.approx(0, abs=1e-5)
    assert (margin(np.linspace(0, years, 20)[:-1]) > -1e-5).all()


@given(st.lists(READING, min_size=1, max_size=3), LIMIT, SPREAD)
def test_fewer_than_four_readings_are_no_trend(own, limit, spread):
    assert left(series(own), limit, spread)[0] == np.inf


@given(SERIES, st.floats(3.0, 9.0), SPREAD)
def test_a_level_series_never_falls_by_rounding(own, value, spread):
    level = [(gap, value) for gap, _ in own]
    assert left(series(level), 2.0, spread)[0] == np.inf


@given(SERIES, SERIES, LIMIT, SPREAD, st.randoms(use_true_random=False))
def test_another_series_and_the_order_change_nothing(own, other, limit, spread, chance):
    alone = left(series(own), limit, spread)
    both = series(own, other)
    assert left(both, limit, spread)[0] == pytest.approx(alone[0])
    order = list(range(len(both)))
    chance.shuffle(order)
    mixed = left(both.take(np.array(order)), limit, spread)
    assert mixed == pytest.approx(left(both, limit, spread), rel=1e-9)


@given(SERIES, LIMIT, SPREAD, st.floats(-3, 3), st.floats(1, 12))
def test_units_of_reading_and_of_time_leave_it(own, limit, spread, moved, unit):
    """A thousand times the ohms, limit and all; the same years, counted finer."""
    assume(abs(lines_through(series(own), 1).slope[0]) > 1e-6)
    plain = left(series(own), limit, spread)[0]
    shifted = [(g, v + moved) for g, v in own]
    assert left(series(shifted), limit + moved, spread)[0] == pytest.approx(
        plain, rel=1e-6, abs=1e-6
    )
    assume(sum(g for g, _ in own[1:]) >= 1.0)
    finer = left(series([(g * unit, v) for g, v in own]), limit, spread)[0]
    assert finer == pytest.approx(plain * unit, rel=1e-6, abs=1e-6)


@given(SERIES, LIMIT, SPREAD)
def test_the_date_is_at_half_of_what_is_left_and_never_later(own, limit, spread):
    lines = lines_through(series(own), 1)
    limits, spreads = np.array([limit]), np.array([spread])
    years = remaining_years(lines, limits, spreads)[0]
    found = trend_dates(lines, limits, spreads)
    assert np.isnat(found[0]) == (not np.isfinite(years))
    if np.isfinite(years):
        last = round(lines.last_year[0] * 365.25)
        after = found.astype("datetime64[D]").astype(int)[0] - last
        assert years / 2 * 365.25 - 1 <= after <= years / 2 * 365.25


@given(
    st.integers(1, 5_000),
    st.one_of(st.just(0.0), st.just(1.0), st.floats(1e-6, 1 - 1e-6)),
    st.sampled_from([0.025, 0.5, 0.975]),
)
def test_quantiles_of_hits_are_those_of_the_library(count, chance, share):
    """scipy.stats is the outside reference."""
    found = binomial_quantile(share, np.array([count]), np.array([chance]))
    assert found.tolist() == [binom.ppf(share, count, chance)]
