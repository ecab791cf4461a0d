import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from jointmap.errors import Refused
from jointmap.routes import (
    CrewMonth,
    area_codes,
    clock_second,
    clock_text,
    crew_days,
    instant,
    month_days,
    open_days,
    service_second,
    working_days,
)

JUNE = dt.date(2026, 6, 1)  # a Monday


def numbers(days):
    return [d.day for d in days.tolist()]


def test_month_days():
    assert numbers(month_days(dt.date(2028, 2, 17))) == list(range(1, 30))
    assert month_days(dt.date(2026, 12, 31))[-1] == np.datetime64("2026-12-31")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("Mon-Fri", [1, 2, 3, 4, 5]),
        ("mon - fri", [1, 2, 3, 4, 5]),
        ("Mon\u2013Tue", [1, 2]),
        ("Mon; Wed, Saturday", [1, 3, 6]),
        ("Sat-Mon", [1, 6, 7]),
        ("thu", [4]),
        ("", [1, 2, 3, 4, 5, 6, 7]),
        (" ; ", [1, 2, 3, 4, 5, 6, 7]),
    ],
)
def test_weekdays_of_a_week(words, expected):
    assert [d for d in numbers(working_days(words, [], JUNE)) if d <= 7] == expected


def test_days_off_and_other_months_days_off():
    off = [dt.date(2026, 6, 3), dt.date(2026, 7, 1)]
    days = numbers(working_days("Wed", off, dt.date(2026, 6, 20)))
    assert days == [10, 17, 24]


@pytest.mark.parametrize("words", ["Mo-Fr", "weekdays", "Mon-", "Mon-Fri-Sun", "monk"])
def test_no_weekday_is_refused(words):
    with pytest.raises(Refused) as caught:
        working_days(words, [], JUNE)
    assert caught.value.problems[0].id == "crew.weekday"


@pytest.mark.parametrize(
    ("text", "second"), [("07:30", 27_000), (" 7:30 ", 27_000), ("24:00", 86_400)]
)
def test_clock(text, second):
    assert clock_second(text) == second
    assert clock_text(second) == text.strip().rjust(5, "0")


def test_clock_empty_and_wrong():
    assert np.isnan(clock_second(" "))
    for text in ("7.30", "25:00", "24:01", "07:60", "noon"):
        with pytest.raises(Refused) as caught:
            clock_second(text)
        assert caught.value.problems[0].id == "clock.unknown"


@pytest.mark.parametrize(
    ("day", "hour_utc"),
    [
        (dt.date(2026, 3, 28), 7),
        (dt.date(2026, 3, 29), 6),  # the clock goes forward in the night
        (dt.date(2026, 10, 25), 7),  # and back
    ],
)
def test_eight_o_clock_is_eight_o_clock_when_the_clock_changes(day, hour_utc):
    found = instant(day, clock_second("08:00"), ZoneInfo("Europe/Berlin"))
    assert found == dt.datetime(day.year, day.month, day.day, hour_utc, tzinfo=dt.UTC)


def test_a_time_shown_twice_is_the_first():
    found = instant(dt.date(2026, 10, 25), 9_000.0, ZoneInfo("Europe/Berlin"))
    assert found == dt.datetime(2026, 10, 25, 0, 30, tzinfo=dt.UTC)


@pytest.mark.parametrize(
    ("first", "last", "shut"),
    [
        ("", "", []),
        ("06-05", "", []),
        ("06-05", "08-31", [1, 2, 3, 4]),
        ("--11-01", "06-02", list(range(3, 31))),
        ("02-29", "06-30", []),
    ],
)
def test_season(first, last, shut):
    open_ = open_days(first, last, [], JUNE)
    assert open_.shape == (30,)
    assert (np.flatnonzero(~open_) + 1).tolist() == shut


def test_closed_days():
    open_ = open_days("06-02", "06-29", [dt.date(2026, 6, 9)], JUNE)
    assert (np.flatnonzero(~open_) + 1).tolist() == [1, 9, 30]


@pytest.mark.parametrize("text", ["summer", "13-01", "04-31", "2026-04-01"])
def test_no_day_of_the_year_is_refused(text):
    with pytest.raises(Refused) as caught:
        open_days(text, "12-31", [], JUNE)
    assert caught.value.problems[0].id == "season.unknown"


def test_service_time_from_studs():
    found = service_second(np.array([0, 8, 12]), 900.0, 45.0)
    assert found.tolist() == [900.0, 1260.0, 1440.0]


def test_crew_days_are_by_day_then_crew():
    days = month_days(JUNE)
    one = CrewMonth(2, 2, 5, 28_800.0, 57_600.0, days[[3, 0]], areas=[1])
    two = CrewMonth(1, 1, 4, 25_200.0, 54_000.0, days[[0]])
    found = crew_days([one, two], areas=2)
    assert found.crew.tolist() == [1, 2, 2]
    assert numbers(found.day_on) == [1, 1, 4]
    assert found.persons.tolist() == [1, 2, 2]
    assert found.depot_place.tolist() == [4, 5, 5]
    assert found.from_second.tolist() == [25_200.0, 28_800.0, 28_800.0]
    assert found.serves.tolist() == [[True, True], [False, True], [False, True]]


def test_no_crews_no_crew_days():
    found = crew_days([], areas=3)
    assert len(found) == 0
    assert found.serves.shape == (0, 3)


def test_area_codes():
    assert area_codes(["jetty", "", "plant"], ["plant", "jetty"]).tolist() == [1, -1, 0]
