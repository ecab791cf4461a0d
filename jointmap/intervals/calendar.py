"""Calendar arithmetic of interval rules on columns of days; NaT stays NaT.

A limit is inclusive: a test on the last allowed day is in time. Limits count from the
actual last test, never from an earlier limit, and never month by month.
"""

import numpy as np
import numpy.typing as npt

from jointmap.register.columns import Days, Flags, Ids

# Nobody has published what half a month means; the convention is the earlier of
# "2 months and 15 days" and 75 days, so a month of that second reading has 30 days.
DAYS_OF_A_PLAIN_MONTH = 30
SIX = 6

Months = int | npt.NDArray[np.integer]


def add_months(days: Days, months: Months) -> Days:
    """Return the same day number ``months`` later, or that month's last day."""
    month = days.astype("datetime64[M]")
    day_number = days - month.astype("datetime64[D]")
    target = month + np.asarray(months, np.int64)
    same: Days = target.astype("datetime64[D]") + day_number
    return np.minimum(same, _day_before((target + 1).astype("datetime64[D]")))


def year_end(days: Days, years: Months) -> Days:
    """Return 31 December of the year ``years`` after each day's own."""
    after = days.astype("datetime64[Y]") + np.asarray(years, np.int64) + 1
    return _day_before(after.astype("datetime64[D]"))


def year_of(days: Days) -> Ids:
    """Return the calendar year of each day."""
    years: Ids = days.astype("datetime64[Y]").astype(np.int64) + 1970
    return years


def calendar_years(last: Days, years: Months, months: Months) -> tuple[Days, Days]:
    """Return both limits of "every N calendar years, not exceeding M months".

    Source: 49 CFR 192.465(a) and 192.481(a), with (N, M) of (1, 15), (3, 39), (5, 63).
    """
    return add_months(last, months), year_end(last, years)


def six_a_year(last: Days, months: Months, days: Months) -> tuple[Days, Days]:
    """Return both limits of "not exceeding two and a half months" (2 and 15).

    By calendar months and days, and by months of 30 days; the earlier holds.

    That a calendar year also holds six is a count: see ``years_short_of_six``.
    """
    extra = np.asarray(days, np.int64)
    plain = last + (np.asarray(months, np.int64) * DAYS_OF_A_PLAIN_MONTH + extra)
    return add_months(last, months) + extra, plain


def years_short_of_six(row: Ids, tested_on: Days, rows: int, years: range) -> Flags:
    """Return where a calendar year holds fewer than six tests, as ``[rows, years]``.

    ``row`` says whose test each is. Ask only about years a subject was in duty whole.
    """
    column = year_of(tested_on) - years.start
    inside = (column >= 0) & (column < len(years))
    place = row[inside] * len(years) + column[inside]
    counts = np.bincount(place, minlength=rows * len(years))
    short: Flags = counts.reshape(rows, len(years)) < SIX
    return short


def _day_before(days: Days) -> Days:
    # numpy's types take a difference with a plain number for a length of time.
    return days + np.timedelta64(-1, "D")
