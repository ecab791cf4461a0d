"""Crews' words and hours turned into days, seconds and masks."""

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jointmap.errors import Problem, Refused
from jointmap.register.columns import Codes, Days, Flags, Floats, Ids
from jointmap.routes.plan import CrewDayColumns

WEEKDAYS = (
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
)
SHORTEST_WEEKDAY = 3
_CLOCK = re.compile(r"([01]?\d|2[0-4]):([0-5]\d)")
_MONTH_DAY = re.compile(r"(?:--)?(\d{1,2})-(\d{1,2})")
DAY_SECOND = 86_400.0


@dataclass(frozen=True, slots=True)
class CrewMonth:
    """One crew in one month; ``areas`` are codes, none stated means every area."""

    crew: int
    persons: int
    depot_place: int
    from_second: float
    until_second: float
    days: Days
    areas: Sequence[int] = ()


def month_days(month: dt.date) -> Days:
    """Return every day of the month in which ``month`` lies."""
    first = np.datetime64(month, "M")
    return np.arange(first, first + 1, dtype="datetime64[D]")


def working_days(working: str, days_off: Sequence[dt.date], month: dt.date) -> Days:
    """Return the days of a month on which a crew works.

    Parameters
    ----------
    working : str
        Weekdays in English, by three letters or more, alone or as ranges:
        ``Mon-Fri``, ``Mon; Wed; Sat-Sun``. Empty: every day.
    days_off : sequence of date
        The crew's and the site's days off.
    month : date
        Any day of the month.

    Raises
    ------
    Refused
        ``crew.weekday`` for a word that is no weekday.
    """
    days = month_days(month)
    # The day 1970-01-05 was a Monday.
    weekday = (days - np.datetime64("1970-01-05")).astype(np.int64) % 7
    off = np.array(list(days_off), dtype="datetime64[D]")
    return days[np.isin(weekday, _weekdays(working)) & ~np.isin(days, off)]


def clock_second(text: str) -> float:
    """Return seconds from midnight of ``07:30``; NaN for an empty text.

    Raises ``Refused`` (``clock.unknown``) for anything else; 24:00 ends a day.
    """
    if not text.strip():
        return np.nan
    found = _CLOCK.fullmatch(text.strip())
    second = 3600.0 * int(found[1]) + 60.0 * int(found[2]) if found else np.inf
    if second > DAY_SECOND:
        raise Refused(Problem("clock.unknown", {"value": text}, value=text))
    return second


def clock_text(second: float) -> str:
    """Return ``07:30`` for 27,000 seconds from midnight, rounded to the minute."""
    minutes = round(second / 60.0)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def instant(day: dt.date, second: float, zone: dt.tzinfo) -> dt.datetime:
    """Return the UTC instant at which clocks at the site show this time.

    A time that the clock shows twice is the first of the two.
    """
    shown = dt.datetime.combine(day, dt.time(), zone) + dt.timedelta(seconds=second)
    return shown.astimezone(dt.UTC)


def open_days(
    season_from: str, season_until: str, closed: Sequence[dt.date], month: dt.date
) -> Flags:
    """Return which days of the month a place can be reached, shape (days,).

    Season ends are ``MM-DD``, both days included; a season may run over new year. An
    empty end means no season. ``closed`` are single days, such as a berth in use.
    Raises ``Refused`` (``season.unknown``).
    """
    days = month_days(month)
    shut = np.isin(days, np.array(list(closed), dtype="datetime64[D]"))
    if not (season_from.strip() and season_until.strip()):
        return ~shut
    first, last = _month_day(season_from), _month_day(season_until)
    months = days.astype("datetime64[M]")
    number = 100 * (months.astype(np.int64) % 12 + 1)
    number += (days - months).astype(np.int64) + 1
    after, before = number >= first, number <= last
    in_season = after & before if first <= last else after | before
    return in_season & ~shut


def service_second(studs: Ids, setup_second: float, per_stud_second: float) -> Floats:
    """Return how long a test takes: a setup, and each stud. Shape (n,)."""
    return setup_second + per_stud_second * studs.astype(np.float64)


def crew_days(crews: Sequence[CrewMonth], areas: int) -> CrewDayColumns:
    """Return one row per crew and working day, by day, then crew.

    ``areas`` is how many areas there are; codes run from 0.
    """
    count = [len(c.days) for c in crews]
    served = np.array([_served(c.areas, areas) for c in crews], dtype=bool)

    def each(name: str, dtype: type) -> np.ndarray:
        values = [getattr(c, name) for c in crews]
        return np.repeat(np.array(values, dtype=dtype), count)

    none = np.empty(0, dtype="datetime64[D]")
    rows = CrewDayColumns(
        each("crew", np.int64),
        np.concatenate([none, *(c.days for c in crews)]),
        each("from_second", np.float64),
        each("until_second", np.float64),
        each("persons", np.int64),
        each("depot_place", np.int64),
        np.repeat(served.reshape(len(crews), areas), count, axis=0),
    )
    return rows.take(np.lexsort((rows.crew, rows.day_on)))


def area_codes(names: Sequence[str], listed: Sequence[str]) -> Codes:
    """Return each name's place in ``listed``; -1 where it is not there."""
    place = {name: code for code, name in enumerate(listed)}
    return np.array([place.get(name, -1) for name in names], dtype=np.int16)


def _served(codes: Sequence[int], areas: int) -> list[bool]:
    return [not codes or area in codes for area in range(areas)]


def _weekdays(working: str) -> list[int]:
    # Spreadsheets turn the hyphen of a range into a dash.
    plain = working.replace("\u2013", "-")
    joined = "-".join(part.strip() for part in plain.split("-"))
    parts = re.split(r"[;,\s]+", joined)
    if not any(parts):
        return list(range(7))
    return [day for part in parts if part for day in _range(part)]


def _range(part: str) -> list[int]:
    first, dash, last = part.partition("-")
    begin, end = _weekday(first, part), _weekday(last if dash else first, part)
    return [(begin + step) % 7 for step in range((end - begin) % 7 + 1)]


def _weekday(word: str, part: str) -> int:
    known = [day for day in WEEKDAYS if day.startswith(word.lower())]
    if len(word) < SHORTEST_WEEKDAY or not known:
        raise Refused(Problem("crew.weekday", {"value": part}, value=part))
    return WEEKDAYS.index(known[0])


def _month_day(text: str) -> int:
    found = _MONTH_DAY.fullmatch(text.strip())
    try:
        # A leap year, so that 02-29 is a day.
        day = dt.date(2000, int(found[1]), int(found[2])) if found else None
    except ValueError:
        day = None
    if day is None:
        raise Refused(Problem("season.unknown", {"value": text}, value=text))
    return 100 * day.month + day.day
