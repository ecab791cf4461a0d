"""The task of a month: stops, crews and travel, as the planner of routes takes them."""

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np

from jointmap.due_list import DueLines
from jointmap.errors import Problem, Refused, WrongUse
from jointmap.location import to_working
from jointmap.pages.due.lines import due_lines
from jointmap.pages.showing import Showing
from jointmap.register import Crew, Road
from jointmap.register.codes import Subject
from jointmap.register.columns import Floats, Ids
from jointmap.routes import (
    CrewDayColumns,
    CrewMonth,
    StopColumns,
    TravelTimes,
    area_codes,
    clock_second,
    crew_days,
    month_days,
    open_days,
    service_second,
    working_days,
)
from jointmap.routes.travel import RoadLayer, SiteTravel, travel_times
from jointmap.snapshot.odd_records import at_origin
from jointmap.snapshot.shown_places import shown_places
from jointmap.snapshot.site_columns import working_places


@dataclass(frozen=True, slots=True)
class MonthTask:
    """What is to be planned; a stop's id is its line's number, counted from 1."""

    month: dt.date
    stops: StopColumns
    crew_days: CrewDayColumns
    travel: TravelTimes
    crews: tuple[tuple[int, Crew], ...]
    homeless: tuple[str, ...]  # crews whose depot has no place on record
    joint_of: dict[int, int]  # stop id to the joint where the crew goes
    members_of: dict[int, list[int]]  # stop id to the due items one visit answers
    nowhere: tuple[int, ...]  # stop ids that no place is known for


def first_of_month(text: str) -> dt.date:
    """Return the first day of ``2026-06``; raises ``WrongUse`` for anything else."""
    try:
        return dt.datetime.strptime(text, "%Y-%m").date()  # noqa: DTZ007
    except ValueError:
        raise WrongUse(Problem("month.bad", {"month": text})) from None


def month_to_plan(text: str, on: dt.date) -> dt.date:
    """Return the first day of a month of which days after ``on`` are left to plan.

    Raises ``WrongUse`` for what is no month, and for one that is over.
    """
    first = first_of_month(text)
    last = month_days(first)[-1].item()
    if last <= on:
        tomorrow = np.datetime64(on, "D") + 1
        later = str(tomorrow.astype("datetime64[M]"))
        facts = {"month": text, "on": on, "last": last, "next": later}
        raise WrongUse(Problem("month.over", facts))
    return first


def month_task(showing: Showing, month: dt.date, most: int | None = None) -> MonthTask:
    """Return everything to be tested by the end of a month, and who could do it.

    With ``most`` only so many lines of the due list, and whether they are due or not.
    """
    lines, members = due_lines(showing.assessed)
    wanted = _wanted(lines, month, most)
    joint_of = _joints_of(showing, lines, wanted)
    places = shown_places(showing.state, showing.assessed.ground)
    found = {stop: showing.joint_rows[joint] for stop, joint in joint_of.items()}
    placed = {s: r for s, r in found.items() if np.isfinite(places.x_metre[r])}
    depots = _depots(showing)
    rows = np.array(list(placed.values()), dtype=np.int64)
    x = np.concatenate([places.x_metre[rows], depots.x_metre])
    y = np.concatenate([places.y_metre[rows], depots.y_metre])
    areas = sorted({showing.joints[j].area for j in showing.joints})
    stops = list(placed)
    limits = lines.last_allowed_on[np.array(stops, dtype=np.int64) - 1]
    return MonthTask(
        month,
        _stops(showing, stops, rows, limits.astype("datetime64[D]"), areas, month),
        _crew_days(showing, depots.starting, len(placed), areas, month),
        _travel(showing, x, y),
        depots.crews,
        depots.homeless,
        joint_of,
        _members_of(lines, members, wanted),
        tuple(sorted({n + 1 for n in wanted} - set(placed))),
    )


def _wanted(lines: DueLines, month: dt.date, most: int | None) -> list[int]:
    if most is not None:
        return list(range(len(lines)))[:most]
    last = month_days(month)[-1]
    return np.flatnonzero(lines.planning_on <= last).tolist()


def _joints_of(
    showing: Showing, lines: DueLines, wanted: Sequence[int]
) -> dict[int, int]:
    subjects = ((n, int(lines.subject[n]), int(lines.subject_id[n])) for n in wanted)
    found = {n + 1: _joint_of_line(showing, s, id_) for n, s, id_ in subjects}
    return {stop: joint for stop, joint in found.items() if joint is not None}


def _members_of(
    lines: DueLines, members: Ids, wanted: Sequence[int]
) -> dict[int, list[int]]:
    spans = {n: (int(lines.member_from[n]), int(lines.member_count[n])) for n in wanted}
    return {n + 1: members[a : a + c].tolist() for n, (a, c) in spans.items()}


@dataclass(frozen=True, slots=True)
class _Depots:
    """All crews, and where those start whose depot has a place on record."""

    crews: tuple[tuple[int, Crew], ...]
    has_depot: np.ndarray
    x_metre: Floats
    y_metre: Floats

    @property
    def starting(self) -> tuple[tuple[int, Crew], ...]:
        pairs = zip(self.crews, self.has_depot, strict=True)
        return tuple(crew for crew, known in pairs if known)

    @property
    def homeless(self) -> tuple[str, ...]:
        pairs = zip(self.crews, self.has_depot, strict=True)
        return tuple(crew.name for (_, crew), known in pairs if not known)


def _depots(showing: Showing) -> _Depots:
    state = showing.state
    crews = tuple(sorted(state.crews.items()))
    ids = np.array([i for i, _ in crews], np.int64)
    x, y, *_ = working_places(state, Subject.CREW, ids)
    known = np.isfinite(x)
    return _Depots(crews, known, x[known], y[known])


def _joint_of_line(showing: Showing, subject: int, id_: int) -> int | None:
    """Return the joint to go to; for a path without one, any on its boundary."""
    if subject == Subject.JOINT:
        return id_
    if subject != Subject.PATH:
        return None
    path = showing.paths[id_]
    if path.joint_id is not None:
        return path.joint_id
    on_it = (j for j, r in showing.joints.items() if r.boundary_id == path.boundary_id)
    return next(on_it, None)


def _stops(
    showing: Showing,
    ids: list[int],
    rows: Ids,
    limits: np.ndarray,
    areas: list[str],
    month: dt.date,
) -> StopColumns:
    site = showing.assessed.ground.site
    facts = showing.assessed.ground.joint_facts.take(rows)
    studs = showing.assessed.ground.joints.stud_count[rows]
    tomorrow = np.datetime64(showing.assessed.on, "D") + 1
    open_ = [
        open_days(a, b, [], month)
        for a, b in zip(facts.season_from, facts.season_until, strict=True)
    ]
    return StopColumns(
        joint_id=np.array(ids, dtype=np.int64),
        place=np.arange(len(rows), dtype=np.int64),
        service_second=service_second(studs, site.setup_second, site.per_stud_second),
        earliest_on=np.full(len(rows), tomorrow, dtype="datetime64[D]"),
        last_allowed_on=limits,
        two_persons=facts.two_persons.astype(bool),
        permit_from_second=_seconds(facts.permit_from),
        permit_until_second=_seconds(facts.permit_until),
        area=area_codes(facts.area.tolist(), areas),
        is_open=np.array(open_, dtype=bool).reshape(len(rows), len(month_days(month))),
    )


def _seconds(texts: np.ndarray) -> np.ndarray:
    return np.array([clock_second(t) for t in texts], dtype=np.float64)


def _crew_days(
    showing: Showing,
    crews: tuple[tuple[int, Crew], ...],
    first_depot: int,
    areas: list[str],
    month: dt.date,
) -> CrewDayColumns:
    off = list(showing.state.days_off.values())
    after = np.datetime64(showing.assessed.on, "D")
    made = []
    for place, (id_, crew) in enumerate(crews):
        days_off = [o.off_on for o in off if o.crew_id in (None, id_)]
        days = working_days(crew.working_days.replace(";", "; "), days_off, month)
        named = [a.strip() for a in crew.areas.split(";") if a.strip()]
        made.append(
            CrewMonth(
                crew=id_,
                persons=crew.persons,
                depot_place=first_depot + place,
                from_second=clock_second(crew.day_from),
                until_second=clock_second(crew.day_until),
                days=days[days > after],
                areas=[c for c in area_codes(named, areas).tolist() if c >= 0],
            )
        )
    return crew_days(made, len(areas))


def _travel(showing: Showing, x_metre: Floats, y_metre: Floats) -> TravelTimes:
    """Return the ways between all places; ``Refused`` names a road that is none."""
    roads = list(showing.state.roads.values())
    layer = _roads(showing, roads) if roads else None
    try:
        return travel_times(x_metre, y_metre, layer, _site_travel(showing))
    except Refused as refused:
        raise Refused([_named(p, roads) for p in refused.problems]) from None


def _named(problem: Problem, roads: Sequence[Road]) -> Problem:
    road = roads[cast("int", problem.values["road"])]
    return at_origin(Problem(problem.id, {"road": road.name}), road)


def _roads(showing: Showing, roads: Sequence[Road]) -> RoadLayer:
    crs = showing.assessed.ground.site.working_crs
    lines = []
    for road in roads:
        lon, lat = np.array(json.loads(road.coordinates)).T
        lines.append(np.column_stack(to_working(lat, lon, crs)))
    speeds = np.array([r.speed_metre_per_second for r in roads])
    return RoadLayer(lines, speeds)


def _site_travel(showing: Showing) -> SiteTravel:
    site = showing.assessed.ground.site
    return SiteTravel(
        site.road_factor_ratio, site.speed_metre_per_second, site.walk_second
    )
