"""What a month's plan is made from and what it is made of, as columns.

A clock time is seconds of the local clock face from midnight of its day: 08:00 is
28,800 on every day, also on the days on which the clock changes.
"""

from dataclasses import dataclass

from jointmap.errors import Problem
from jointmap.register.columns import Codes, Days, Flags, Floats, Ids, Table

# Why a stop may be left out, in the order in which they are asked.
REASONS = (
    "route.no_crew_day",
    "route.closed",
    "route.area",
    "route.two_persons",
    "route.permit_hours",
    "route.too_long",
    "route.no_room",
)


@dataclass(frozen=True, slots=True)
class StopColumns(Table):
    """One row per joint that is to be visited once in the month."""

    joint_id: Ids
    place: Ids  # row and column in the travel times
    service_second: Floats
    earliest_on: Days  # NaT: any day
    # NaT: any day. A day before the first crew-day has passed already: then any day
    # will do, the sooner the better.
    last_allowed_on: Days
    two_persons: Flags
    permit_from_second: Floats  # work may not start before; NaN: no such hour
    permit_until_second: Floats  # work must have ended; NaN: no such hour
    area: Codes  # column in CrewDayColumns.serves; -1: any crew
    is_open: Flags  # shape (stops, days of the month): season, berth, closed days


@dataclass(frozen=True, slots=True)
class CrewDayColumns(Table):
    """One row per crew and working day, all within one month."""

    crew: Ids
    day_on: Days
    from_second: Floats
    until_second: Floats
    persons: Ids
    depot_place: Ids
    serves: Flags  # shape (crew-days, areas)


@dataclass(frozen=True, slots=True)
class TravelTimes:
    """From every place (row) to every place (column); square arrays."""

    second: Floats
    metre: Floats
    is_estimated: Flags  # straight line times a factor, not roads


@dataclass(frozen=True, slots=True)
class VisitColumns(Table):
    """One row per planned visit, by crew-day and order."""

    crew_day: Ids  # row of CrewDayColumns
    order: Ids  # 1 to n within the crew-day
    joint_id: Ids
    arrive_second: Floats
    start_second: Floats
    leave_second: Floats
    metre: Floats  # of the leg that ends here
    is_estimated: Flags  # that leg


@dataclass(frozen=True, slots=True)
class RouteColumns(Table):
    """One row per crew-day that has visits, with its totals."""

    crew_day: Ids
    visits: Ids
    depart_second: Floats
    return_second: Floats
    drive_second: Floats
    service_second: Floats
    metre: Floats  # of all legs, the one back to the depot included
    back_metre: Floats
    is_estimated: Flags  # any leg


@dataclass(frozen=True, slots=True)
class Unserved:
    """A stop that no route could take, and why."""

    joint_id: int
    reason: Problem


@dataclass(frozen=True, slots=True)
class Plan:
    """A month's routes; each stop is in ``visits`` once or in ``unserved`` once."""

    visits: VisitColumns
    routes: RouteColumns
    unserved: tuple[Unserved, ...]
