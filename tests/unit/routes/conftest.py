import datetime as dt

import numpy as np
import pytest

from jointmap.routes import CrewDayColumns, Month, StopColumns, TravelTimes, month_days

JUNE = month_days(dt.date(2026, 6, 1))


def columns_of(kind, count, plain, given):
    return kind(
        **{
            name: np.asarray(
                given[name] if name in given else np.full(count, value),
                dtype=np.asarray(value).dtype,
            )
            for name, value in plain.items()
        }
        | {k: np.asarray(v) for k, v in given.items() if k in ("is_open", "serves")}
    )


@pytest.fixture
def make_month():
    """Months on a line: place 0 is the depot, place k lies k x 10 km along it.

    A leg of 10 km takes 600 s, a visit 1,000 s, the crew of two works 8 to 16 h on
    the first day only, unless told otherwise.
    """

    def make(stops=3, stop=None, days=1, day=None, places=10):
        none = np.datetime64("NaT", "D")
        given = {"is_open": np.ones((stops, 30), dtype=bool)} | (stop or {})
        plain = {
            "joint_id": 0,
            "place": 0,
            "service_second": 1000.0,
            "earliest_on": none,
            "last_allowed_on": none,
            "two_persons": False,
            "permit_from_second": np.nan,
            "permit_until_second": np.nan,
            "area": np.int16(-1),
        }
        given = {
            "joint_id": np.arange(stops) + 101,
            "place": np.arange(stops) + 1,
        } | given
        columns = columns_of(StopColumns, stops, plain | {"is_open": True}, given)
        crew = {
            "crew": 1,
            "day_on": none,
            "from_second": 28_800.0,
            "until_second": 57_600.0,
            "persons": 2,
            "depot_place": 0,
            "serves": True,
        }
        given = {"day_on": JUNE[:days], "serves": np.ones((days, 2), dtype=bool)}
        crews = columns_of(CrewDayColumns, days, crew, given | (day or {}))
        metre = 10_000.0 * np.abs(
            np.subtract.outer(np.arange(places), np.arange(places))
        )
        travel = TravelTimes(metre * 0.06, metre, metre > 45_000.0)
        return Month(columns, crews, travel)

    return make
