"""Routes for a month: the task, a greedy plan, and our own check of any plan."""

from jointmap.routes.check import faults
from jointmap.routes.greedy import greedy
from jointmap.routes.plan import (
    REASONS,
    CrewDayColumns,
    Plan,
    RouteColumns,
    StopColumns,
    TravelTimes,
    Unserved,
    VisitColumns,
)
from jointmap.routes.problem import (
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
from jointmap.routes.schedule import Month, timed
from jointmap.routes.side_by_side import (
    InterruptionColumns,
    NeighbourColumns,
    interruptions,
    neighbours,
)

__all__ = [
    "REASONS",
    "CrewDayColumns",
    "CrewMonth",
    "InterruptionColumns",
    "Month",
    "NeighbourColumns",
    "Plan",
    "RouteColumns",
    "StopColumns",
    "TravelTimes",
    "Unserved",
    "VisitColumns",
    "area_codes",
    "clock_second",
    "clock_text",
    "crew_days",
    "faults",
    "greedy",
    "instant",
    "interruptions",
    "month_days",
    "neighbours",
    "open_days",
    "service_second",
    "timed",
    "working_days",
]
