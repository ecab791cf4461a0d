"""Calendar rules against worked days, and against every day of forty years."""

import csv
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from dateutil.relativedelta import relativedelta

from jointmap.intervals.calendar import (
    add_months,
    calendar_years,
    six_a_year,
    year_end,
    years_short_of_six,
)

HERE = Path(__file__).parent
EVERY_DAY = np.arange("1996-01-01", "2036-01-01", dtype="datetime64[D]")
PAIRS = [(1, 15), (3, 39), (5, 63)]


def rows_of(name):
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        for line, row in enumerate(csv.DictReader(file), start=2):
            yield pytest.param(row, id=f"{name}:{line}")


def day(text):
    return np.array([text], "datetime64[D]")


@pytest.mark.parametrize("row", list(rows_of("calendar_rules.csv")))
def test_worked_examples(row):
    gap, end = calendar_years(day(row["last"]), int(row["years"]), int(row["months"]))
    assert gap == day(row["gap_limit"])
    assert end == day(row["year_limit"])
    assert np.minimum(gap, end) == day(row["due"])
    assert row["source"]


def test_all_seventeen_are_there():
    assert len(list(rows_of("calendar_rules.csv"))) == 17


@pytest.mark.parametrize("row", list(rows_of("six_a_year.csv")))
def test_two_and_a_half_months(row):
    limits = six_a_year(day(row["last"]), 2, 15)
    assert limits == (day(row["two_months_15_days"]), day(row["plain_75_days"]))
    assert min(limits) == day(row["due"])


def test_tested_on_each_due_day_slides_to_december_and_stays():
    last, slide = day("2022-01-15"), []
    for _ in range(5):
        last = np.minimum(*calendar_years(last, 1, 15))
        slide.append(str(last[0]))
    assert slide == [
        "2023-04-15",
        "2024-07-15",
        "2025-10-15",
        "2026-12-31",
        "2027-12-31",
    ]


def test_never_month_by_month():
    last = day("2025-01-31")
    stepped = add_months(add_months(add_months(last, 1), 1), 1)
    assert (stepped, add_months(last, 3)) == (day("2025-04-28"), day("2025-04-30"))


@pytest.mark.parametrize("months", [1, 2, 3, 6, 12, 15, 24, 36, 39, 63])
def test_add_months_equals_dateutil_and_pandas_on_every_day(months):
    ours = add_months(EVERY_DAY, months)
    plain = [d + relativedelta(months=months) for d in EVERY_DAY.tolist()]
    assert (ours == np.array(plain, "datetime64[D]")).all()
    frame = pd.DatetimeIndex(EVERY_DAY) + pd.DateOffset(months=months)
    assert (ours == frame.to_numpy().astype("datetime64[D]")).all()


@pytest.mark.parametrize(("years", "months"), PAIRS)
def test_gap_binds_to_september_and_the_year_end_after(years, months):
    gap, end = calendar_years(EVERY_DAY, years, months)
    month = EVERY_DAY.astype("datetime64[M]").astype(int) % 12 + 1
    assert ((gap <= end) == (month <= 9)).all()
    assert (np.minimum(gap, end) > EVERY_DAY).all()


@pytest.mark.parametrize(("years", "months"), PAIRS)
def test_clipping_moves_a_due_day_for_three_last_days_only(years, months):
    gap, end = calendar_years(EVERY_DAY, years, months)
    unclipped = (EVERY_DAY.astype("datetime64[M]") + months).astype("datetime64[D]")
    unclipped = unclipped + (EVERY_DAY - EVERY_DAY.astype("datetime64[M]"))
    moved = np.minimum(gap, end) != np.minimum(unclipped, end)
    found = {str(d)[5:] for d in EVERY_DAY[moved]}
    assert found == {"01-31", "03-31", "08-31"}


def test_month_ends_are_not_sticky():
    assert add_months(day("2025-02-28"), 15) == day("2026-05-28")


def test_two_months_and_15_days_last_74_to_77_days():
    length = (add_months(EVERY_DAY, 2) + 15 - EVERY_DAY).astype(int)
    assert (length.min(), length.max()) == (74, 77)
    earlier = np.minimum(*six_a_year(EVERY_DAY, 2, 15))
    assert (earlier - EVERY_DAY).astype(int).max() == 75


def test_every_gap_kept_and_yet_only_five_in_the_year():
    checks = np.array(
        [
            "2024-11-01",
            "2025-01-10",
            "2025-03-25",
            "2025-06-08",
            "2025-08-22",
            "2025-11-05",
            "2026-01-19",
        ],
        "datetime64[D]",
    )
    assert (checks[1:] <= np.minimum(*six_a_year(checks[:-1], 2, 15))).all()
    row = np.zeros(len(checks), np.int64)
    assert years_short_of_six(row, checks, 1, range(2025, 2026)).all()
    with_sixth = np.append(checks, day("2025-12-30"))
    row = np.zeros(len(with_sixth), np.int64)
    assert not years_short_of_six(row, with_sixth, 1, range(2025, 2026)).any()


def test_counts_are_kept_apart_by_row_and_year():
    checks = np.repeat(day("2025-05-01"), 6)
    row = np.array([1, 1, 1, 1, 1, 1])
    short = years_short_of_six(row, checks, 2, range(2024, 2027))
    assert short.tolist() == [[True, True, True], [True, False, True]]


def test_no_day_stays_no_day():
    none = day("NaT")
    assert np.isnat(add_months(none, 15)).all()
    assert np.isnat(year_end(none, 1)).all()
    assert np.isnat([*six_a_year(none, 2, 15)]).all()
