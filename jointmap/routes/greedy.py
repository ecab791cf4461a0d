"""A plain plan: nearest depot, then the nearest stop that fits; hard limits first.

It serves as the plan until an engine does better, and as what an engine is judged by.
"""

from dataclasses import dataclass, field

import numpy as np

from jointmap.register.columns import Flags, Floats, Ids
from jointmap.routes.plan import (
    CrewDayColumns,
    Plan,
    StopColumns,
    TravelTimes,
    Unserved,
)
from jointmap.routes.possible_days import has_passed, possible, why_unserved
from jointmap.routes.schedule import Month, start_second, timed

# A stop with no more crew-days left than this goes before all nearer ones.
URGENT_CREW_DAYS = 3


@dataclass(slots=True)
class _Route:
    """A crew-day being filled: where the crew is, and when."""

    row: int
    here: int
    now: float
    stops: list[int] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Task:
    """The month with what is reckoned once: who may, who is near, what is last."""

    month: Month
    may: Flags  # (stops, crew-days)
    home: Flags  # (stops, crew-days): the depot is the nearest that may
    left_after: (
        Ids  # (stops, places in working order): crew-days that may, from here on
    )
    passed: Flags


def greedy(stops: StopColumns, crew_days: CrewDayColumns, travel: TravelTimes) -> Plan:
    """Return a plan that keeps every hard limit, or says of a stop why it cannot.

    Days in order, on each day crews in order. The first round gives a crew only
    stops whose nearest able depot is its own, and stops with few crew-days left; the
    second round fills what is still free. Ties go to the lower joint id, so the
    order of the rows does not matter.
    """
    rows = np.argsort(stops.joint_id, kind="stable")
    month = Month(stops.take(rows), crew_days, travel)
    order = np.lexsort((crew_days.crew, crew_days.day_on))
    task = _task(month, order)
    routes = [_started(int(row), crew_days) for row in order]
    waiting = np.ones(len(stops), dtype=bool)
    for only_home in (True, False):
        for place, route in enumerate(routes):
            _fill(route, place, waiting, task, only_home)
    joints = month.stops.joint_id
    unserved = [
        Unserved(int(joints[stop]), why_unserved(month, int(stop)))
        for stop in np.flatnonzero(waiting)
    ]
    return timed({r.row: r.stops for r in routes}, unserved, month)


def _task(month: Month, order: Ids) -> _Task:
    may = possible(month)
    depots = month.crew_days.depot_place
    away = np.where(may, month.travel.second[depots][:, month.stops.place].T, np.inf)
    home = may & (away <= away.min(axis=1, initial=np.inf)[:, None])
    left = may[:, order][:, ::-1].cumsum(axis=1)[:, ::-1]
    return _Task(month, may, home, left, has_passed(month))


def _started(row: int, days: CrewDayColumns) -> _Route:
    return _Route(row, int(days.depot_place[row]), float(days.from_second[row]))


def _fill(
    route: _Route, place: int, waiting: Flags, task: _Task, only_home: bool
) -> None:
    """Append stops to the route until none fits; they wait no longer."""
    urgent = task.passed | (task.left_after[:, place] <= URGENT_CREW_DAYS)
    able = task.may[:, route.row]
    if only_home:
        able = able & (task.home[:, route.row] | urgent)
    while True:
        open_stops = np.flatnonzero(waiting & able)
        leave, fits = _tried(route, open_stops, task.month)
        if not fits.any():
            return
        # Time until work ends there without the work itself: driving and waiting.
        cost = leave - task.month.stops.service_second[open_stops]
        ranked = np.lexsort((open_stops, cost, ~urgent[open_stops], ~fits))
        best = int(ranked[0])
        stop = int(open_stops[best])
        route.stops.append(stop)
        route.here = int(task.month.stops.place[stop])
        route.now = float(leave[best])
        waiting[stop] = False


def _tried(route: _Route, open_stops: Ids, month: Month) -> tuple[Floats, Flags]:
    """Return when each stop would be left if it came next, and whether it fits."""
    stops = month.stops.take(open_stops)
    arrive = route.now + month.travel.second[route.here, stops.place]
    leave = start_second(arrive, stops.permit_from_second) + stops.service_second
    depot = month.crew_days.depot_place[route.row]
    back = leave + month.travel.second[stops.place, depot]
    in_shift = back <= month.crew_days.until_second[route.row]
    return leave, in_shift & ~(leave > stops.permit_until_second)
