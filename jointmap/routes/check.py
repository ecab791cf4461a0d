"""Our own check of a plan, by dates and clock times.

It shares nothing with the planner but the columns: every rule is read here again from
the stops, the crew-days and the travel times.
"""

import datetime as dt
import math
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import fields
from typing import Any

from jointmap.errors import Problem
from jointmap.register.columns import Table
from jointmap.routes.plan import (
    REASONS,
    CrewDayColumns,
    Plan,
    StopColumns,
    TravelTimes,
)

# Seconds and metres are sums of doubles; a thousandth is nobody's fault.
ROUNDING = 1e-3

Row = dict[str, Any]


class _Given:
    """The task as plain rows, by joint id and by crew-day."""

    def __init__(
        self, stops: StopColumns, crew_days: CrewDayColumns, travel: TravelTimes
    ) -> None:
        self.stops = {row["joint_id"]: row for row in _rows(stops)}
        self.days = _rows(crew_days)
        self.travel = travel
        self.begins: dt.date | None = min(
            (d["day_on"] for d in self.days), default=None
        )

    def leg(self, here: int, there: int) -> tuple[float, float, bool]:
        """Return seconds, metres and whether they are estimated."""
        t = self.travel
        return (
            float(t.second[here, there]),
            float(t.metre[here, there]),
            bool(t.is_estimated[here, there]),
        )


def faults(
    plan: Plan, stops: StopColumns, crew_days: CrewDayColumns, travel: TravelTimes
) -> list[Problem]:
    """Return everything that is wrong with a plan; none when it can be driven.

    Each stop is visited once or unserved with a reason; days, seasons, permit hours,
    areas and crew sizes are kept; each route starts and ends at its depot within the
    crew's hours, its times do not run backwards, its totals are the sums of its legs;
    no crew is in two places.
    """
    given = _Given(stops, crew_days, travel)
    visits = _rows(plan.visits)
    routes = _rows(plan.routes)
    found = list(_each_once(plan, visits, given))
    known = [v for v in visits if v["joint_id"] in given.stops]
    known = [v for v in known if 0 <= v["crew_day"] < len(given.days)]
    for visit in known:
        stop, day = given.stops[visit["joint_id"]], given.days[visit["crew_day"]]
        found.extend(_day_faults(visit, stop, day, given))
        found.extend(_hour_faults(visit, stop, day))
    by_day: dict[int, list[Row]] = defaultdict(list)
    for visit in known:
        by_day[visit["crew_day"]].append(visit)
    found.extend(_route_list_faults(routes, by_day))
    found.extend(_two_places(by_day, given))
    for route in routes:
        if route["crew_day"] in by_day:
            found.extend(_route_faults(route, by_day[route["crew_day"]], given))
    return found


def _each_once(plan: Plan, visits: list[Row], given: _Given) -> Iterator[Problem]:
    times = Counter(v["joint_id"] for v in visits)
    times.update(u.joint_id for u in plan.unserved)
    for joint in sorted(given.stops.keys() - times.keys()):
        yield Problem("check.forgotten", {"joint_id": joint})
    for joint, count in sorted(times.items()):
        if joint not in given.stops:
            yield Problem("check.unknown_joint", {"joint_id": joint})
        if count > 1:
            yield Problem("check.doubled", {"joint_id": joint, "count": count})
    yield from _unsound(plan, visits, given)


def _unsound(plan: Plan, visits: list[Row], given: _Given) -> Iterator[Problem]:
    for left in plan.unserved:
        if left.reason.id not in REASONS:
            yield Problem("check.no_reason", {"joint_id": left.joint_id})
    for visit in visits:
        if not 0 <= visit["crew_day"] < len(given.days):
            yield Problem("check.unknown_crew_day", {"joint_id": visit["joint_id"]})


def _day_faults(visit: Row, stop: Row, day: Row, given: _Given) -> Iterator[Problem]:
    says = {"joint_id": visit["joint_id"], "day": day["day_on"]}
    if not _day_allowed(stop, day["day_on"], given.begins):
        yield Problem("check.day", says)
    if not stop["is_open"][day["day_on"].day - 1]:
        yield Problem("check.closed", says)
    if stop["two_persons"] and day["persons"] < 2:  # noqa: PLR2004 - two persons
        yield Problem("check.crew_size", says)
    if stop["area"] >= 0 and not day["serves"][stop["area"]]:
        yield Problem("check.area", says)


def _hour_faults(visit: Row, stop: Row, day: Row) -> Iterator[Problem]:
    says = {"joint_id": visit["joint_id"], "day": day["day_on"]}
    if visit["start_second"] < visit["arrive_second"] - ROUNDING:
        yield Problem("check.time_backwards", says)
    if not _equal(
        visit["leave_second"] - visit["start_second"], stop["service_second"]
    ):
        yield Problem("check.service_time", says)
    if visit["start_second"] < stop["permit_from_second"] - ROUNDING:
        yield Problem("check.permit", says)
    if visit["leave_second"] > stop["permit_until_second"] + ROUNDING:
        yield Problem("check.permit", says)


def _day_allowed(stop: Row, day: dt.date, begins: dt.date | None) -> bool:
    earliest, last = stop["earliest_on"], stop["last_allowed_on"]
    if earliest is not None and day < earliest:
        return False
    if last is None or (begins is not None and last < begins):
        return True
    return bool(day <= last)


def _route_list_faults(
    routes: list[Row], by_day: dict[int, list[Row]]
) -> Iterator[Problem]:
    listed = Counter(r["crew_day"] for r in routes)
    for row in sorted(by_day.keys() | listed.keys()):
        if listed[row] != 1 or row not in by_day:
            yield Problem("check.route_rows", {"crew_day": row, "count": listed[row]})


def _two_places(by_day: dict[int, list[Row]], given: _Given) -> Iterator[Problem]:
    out = Counter((given.days[r]["crew"], given.days[r]["day_on"]) for r in by_day)
    for (crew, day), count in sorted(out.items()):
        if count > 1:
            yield Problem("check.two_places", {"crew": crew, "day": day})


def _route_faults(route: Row, visits: list[Row], given: _Given) -> Iterator[Problem]:
    day = given.days[route["crew_day"]]
    says = {"crew": day["crew"], "day": day["day_on"]}
    if [v["order"] for v in visits] != list(range(1, len(visits) + 1)):
        yield Problem("check.order", says)
    if route["depart_second"] < day["from_second"] - ROUNDING:
        yield Problem("check.hours", says)
    if route["return_second"] > day["until_second"] + ROUNDING:
        yield Problem("check.hours", says)
    yield from _leg_faults(route, visits, day, given)


def _leg_faults(
    route: Row, visits: list[Row], day: Row, given: _Given
) -> Iterator[Problem]:
    says = {"crew": day["crew"], "day": day["day_on"]}
    here, now = day["depot_place"], route["depart_second"]
    drive, metres, guess = 0.0, 0.0, False
    for visit in visits:
        there = given.stops[visit["joint_id"]]["place"]
        second, metre, estimated = given.leg(here, there)
        arrives = _equal(visit["arrive_second"], now + second)
        as_told = _equal(visit["metre"], metre) and visit["is_estimated"] == estimated
        if not (arrives and as_told):
            yield Problem("check.leg", {"joint_id": visit["joint_id"], **says})
        drive, metres, guess = drive + second, metres + metre, guess or estimated
        here, now = there, visit["leave_second"]
    second, metre, estimated = given.leg(here, day["depot_place"])
    sums = {
        "visits": len(visits),
        "return_second": now + second,
        "drive_second": drive + second,
        "service_second": sum(v["leave_second"] - v["start_second"] for v in visits),
        "metre": metres + metre,
        "back_metre": metre,
        "is_estimated": guess or estimated,
    }
    for name, value in sums.items():
        if not _equal(route[name], value):
            yield Problem("check.total", {"name": name, **says})


def _equal(one: float, other: float) -> bool:
    return math.isclose(one, other, rel_tol=1e-9, abs_tol=ROUNDING)


def _rows(table: Table) -> list[Row]:
    names = [f.name for f in fields(table)]  # type: ignore[arg-type]
    columns = [getattr(table, name).tolist() for name in names]
    return [dict(zip(names, row, strict=True)) for row in zip(*columns, strict=True)]
