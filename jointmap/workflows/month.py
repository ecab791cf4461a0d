"""Routes for a month: one overview, one sheet per crew and day."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from markupsafe import Markup

from jointmap.errors import BrokenRegister
from jointmap.register import Certificate, Crew, CurrentSource, Instrument
from jointmap.register.codes import Subject
from jointmap.reports import REPORTS
from jointmap.reports.method_blanks import blanks_for
from jointmap.reports.views import Link
from jointmap.reports.views_route import (
    AccessRow,
    DayCell,
    InstrumentRow,
    InterruptionRow,
    MonthDay,
    MonthPage,
    RouteSheet,
    Stop,
    UnservedRow,
)
from jointmap.routes import Plan, clock_text, faults, greedy, neighbours
from jointmap.site_map.small_maps import Depot, Spot, route_svg
from jointmap.tables import METHODS
from jointmap.wording import say
from jointmap.wording.quantities import show
from jointmap.workflows.asked import assessed
from jointmap.workflows.columns import working_places
from jointmap.workflows.dossier_place import (
    access_needs,
    cautions_at,
    post_text,
    spot,
)
from jointmap.workflows.due import subject_links
from jointmap.workflows.due_views import because_of
from jointmap.workflows.method_choice import method_code_for
from jointmap.workflows.month_task import MonthTask, first_of_month, month_task
from jointmap.workflows.showing import Showing, day_of
from jointmap.workflows.shown_places import ShownPlaces, shown_places
from jointmap.workflows.site_folder import SiteFolder
from jointmap.workflows.write_files import write_changed

_METHODS = {m.code: m for m in METHODS}
_NOT_FOR_TESTS = ("torque wrench",)


@dataclass(frozen=True)
class Planned:
    """A month's plan with what its pages need."""

    showing: Showing
    task: MonthTask
    plan: Plan
    places: ShownPlaces
    month: str

    def sheet_file(self, crew_day: int) -> str:
        """Return the file name of one crew's day."""
        days = self.task.crew_days
        crew = dict(self.task.crews)[int(days.crew[crew_day])].name
        return f"{day_of(days.day_on[crew_day])}-{crew.lower()}.html"


def write_month(
    site: SiteFolder, month: str, out: Path, *, on: dt.date, known: dt.date | None
) -> Path:
    """Plan a month and write its pages; returns the path of the overview."""
    first = first_of_month(month)
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
        planned = plan_month(showing, first, month)
        pages = dict(month_pages(planned))
    write_changed(out, pages)
    return out / "index.html"


def plan_month(showing: Showing, first: dt.date, month: str) -> Planned:
    """Return a checked plan; a plan that fails our own check is never shown."""
    task = month_task(showing, first)
    plan = greedy(task.stops, task.crew_days, task.travel)
    wrong = faults(plan, task.stops, task.crew_days, task.travel)
    if wrong:
        raise BrokenRegister(wrong)
    places = shown_places(showing.assessed.state, showing.assessed.ground)
    return Planned(showing, task, plan, places, month)


def month_pages(planned: Planned) -> Iterator[tuple[str, str]]:
    """Yield file name and text of the overview and of each sheet."""
    yield "index.html", REPORTS["month"].make(month_view(planned))
    for row in range(len(planned.plan.routes)):
        crew_day = int(planned.plan.routes.crew_day[row])
        sheet = REPORTS["route-sheet"].make(sheet_view(planned, row))
        yield planned.sheet_file(crew_day), sheet


def _visits_of(planned: Planned, crew_day: int) -> list[int]:
    return np.flatnonzero(planned.plan.visits.crew_day == crew_day).tolist()


def sheet_view(planned: Planned, route: int) -> RouteSheet:
    """Return the sheet of one crew and day."""
    routes, days = planned.plan.routes, planned.task.crew_days
    crew_day = int(routes.crew_day[route])
    crew_id = int(days.crew[crew_day])
    crew = dict(planned.task.crews)[crew_id]
    day = days.day_on[crew_day].astype("datetime64[D]").item()
    visits = _visits_of(planned, crew_day)
    stops = tuple(_stop(planned, v) for v in visits)
    return RouteSheet(
        frame=replace(planned.showing.frame, up="../../"),
        sheet_id=f"{planned.month}/{crew.name}/{day}",
        crew=crew.name,
        day=day,
        stops=stops,
        people=(f"{crew.persons} person" + ("s" if crew.persons > 1 else ""),),
        depot=crew.depot,
        leave_depot=clock_text(float(routes.depart_second[route])),
        back_at_depot=clock_text(float(routes.return_second[route])),
        distance=show(float(routes.metre[route]), "metre"),
        travel_note=_travel_note(bool(routes.is_estimated[route])),
        ac_limit=show(planned.showing.assessed.ground.site.ac_limit_volt, "volt"),
        cautions=tuple(dict.fromkeys(c for s in stops for c in s.cautions)),
        instruments=tuple(_instruments(planned, day)),
        interruptions=tuple(_interruption_lines(planned, visits)),
        access=tuple(dict.fromkeys(a for s in stops for a in s.access)),
        route_map=Markup(_route_map(planned, crew_id, crew, visits)),  # noqa: S704
    )


def _travel_note(estimated: bool) -> str:
    return say("month.estimated") if estimated else say("month.by_road")


def _stop(planned: Planned, visit: int) -> Stop:
    showing, visits = planned.showing, planned.plan.visits
    stop_id = int(visits.joint_id[visit])
    joint_id = planned.task.joint_of[stop_id]
    members = planned.task.members_of[stop_id]
    items = showing.assessed.items
    subject = int(items.subject[members[0]]), int(items.subject_id[members[0]])
    method = method_code_for(showing, *subject)
    joint = showing.joints[joint_id]
    boundary = showing.boundaries[joint.boundary_id]
    row = showing.joint_rows[joint_id]
    because, _ = because_of(showing, members[0])
    links = list(subject_links(showing, members))
    return Stop(
        order=int(visits.order[visit]),
        line_id=f"{planned.month}-{stop_id:04d}",
        tag=_tag(showing, joint_id, links[0]),
        boundary=boundary.name,
        structure_a=showing.structure(boundary.structure_a_id),
        structure_b=showing.structure(boundary.structure_b_id),
        method=_METHODS[method].label,
        cannot_prove=_METHODS[method].cannot,
        which_one=joint.which_one,
        look_alikes=tuple(_look_alikes(planned, joint_id)),
        covers=tuple(k.text for k in links[1:] if k.text != joint.tag),
        protected_sides=_protected_sides(showing, joint.boundary_id),
        area=joint.area,
        kilometre_post=post_text(showing, joint_id),
        coordinates=_coordinates(planned, row),
        position_doubt=(
            say("joint.position_doubt") if planned.places.in_doubt[row] else ""
        ),
        electrode_place=joint.electrode_place,
        access=tuple(access_needs(showing, joint_id)),
        permit=_permit(joint.permit_from, joint.permit_until),
        cautions=cautions_at(showing, joint_id),
        sources="; ".join(_sources_for(planned, visit)),
        last_allowed_on=day_of(items.last_allowed_on[members[0]]),
        because=because,
        arrive=clock_text(float(visits.arrive_second[visit])),
        leave=clock_text(float(visits.leave_second[visit])),
        blanks=blanks_for(method),
    )


def _tag(showing: Showing, joint_id: int, subject: Link) -> Link:
    """Return the joint's link; of a path, its name and the joint where it is."""
    own = showing.joint_link(joint_id)
    if subject.href.startswith("dossiers/"):
        return own
    return Link(f"{subject.text} at {own.text}", own.href)


def _permit(start: str, end: str) -> str:
    return f"{start} to {end}" if start or end else ""


def _protected_sides(showing: Showing, boundary_id: int) -> str:
    boundary = showing.boundaries[boundary_id]
    ids = showing.assessed.ground.structures["id"].tolist()
    flags = showing.assessed.ground.structures["is_protected"].tolist()
    protected = dict(zip(ids, flags, strict=True))
    ends = {"A": boundary.structure_a_id, "B": boundary.structure_b_id}
    return " and ".join(
        side for side, structure in ends.items() if protected[structure]
    )


def _coordinates(planned: Planned, row: int) -> str:
    latitude = float(planned.places.latitude_deg[row])
    longitude = float(planned.places.longitude_deg[row])
    return f"{latitude:.5f}, {longitude:.5f}"


def _look_alikes(planned: Planned, joint_id: int) -> Iterator[str]:
    joints = planned.showing.joints
    ids = planned.showing.assessed.ground.joints.joint_id
    near = neighbours(ids, planned.places.x_metre, planned.places.y_metre)
    for one, two in zip(near.joint_id.tolist(), near.other_id.tolist(), strict=True):
        if joint_id in (one, two):
            other = joints[two if one == joint_id else one]
            yield f"{other.tag}: {other.which_one}" if other.which_one else other.tag


def _sources_for(planned: Planned, visit: int) -> Iterator[str]:
    """Yield the current sources to be interrupted for a visit by potential shift."""
    showing = planned.showing
    stop_id = int(planned.plan.visits.joint_id[visit])
    joint = showing.joints[planned.task.joint_of[stop_id]]
    item = planned.task.members_of[stop_id][0]
    items = showing.assessed.items
    subject = int(items.subject[item]), int(items.subject_id[item])
    if method_code_for(showing, *subject) != "potential-shift":
        return
    boundary = showing.boundaries[joint.boundary_id]
    for side in (boundary.structure_a_id, boundary.structure_b_id):
        own = [
            s.name
            for s in showing.assessed.state.records(CurrentSource).values()
            if s.structure_id == side and s.can_be_interrupted
        ]
        if own:
            # One side only: with both cycling every sound joint would read shorted.
            yield from own
            return


def _interruption_lines(planned: Planned, visits: list[int]) -> Iterator[str]:
    needed: dict[str, list[str]] = {}
    for visit in visits:
        stop_id = int(planned.plan.visits.joint_id[visit])
        tag = planned.showing.joints[planned.task.joint_of[stop_id]].tag
        for source in _sources_for(planned, visit):
            needed.setdefault(source, []).append(tag)
    for source, tags in needed.items():
        yield f"{source}: {', '.join(tags)}"


def _instruments(planned: Planned, day: dt.date) -> Iterator[InstrumentRow]:
    state = planned.showing.assessed.state
    papers = state.records(Certificate).values()
    for id_, instrument in state.records(Instrument).items():
        own = [p.valid_until_on for p in papers if p.instrument_id == id_]
        until = max(own, default=None)
        if until is not None and until >= day and instrument.kind not in _NOT_FOR_TESTS:
            yield InstrumentRow(
                name=instrument.name, kind=instrument.kind, valid_until_on=until
            )


def _route_map(planned: Planned, crew_id: int, crew: Crew, visits: list[int]) -> str:
    state = planned.showing.assessed.state
    place = working_places(state, Subject.CREW, np.array([crew_id], dtype=np.int64))
    depot = Depot(crew.depot, float(place[2][0]), float(place[3][0]))
    spots = [_spot(planned, v) for v in visits]
    line = next(iter(planned.showing.lines.values()), None)
    return route_svg(spots, depot, line)


def _spot(planned: Planned, visit: int) -> Spot:
    stop_id = int(planned.plan.visits.joint_id[visit])
    row = planned.showing.joint_rows[planned.task.joint_of[stop_id]]
    own = spot(planned.showing, row)
    return replace(
        own,
        latitude_deg=float(planned.places.latitude_deg[row]),
        longitude_deg=float(planned.places.longitude_deg[row]),
    )


def month_view(planned: Planned) -> MonthPage:
    """Return the overview of a month."""
    crews = [crew.name for _, crew in planned.task.crews]
    routes = planned.plan.routes
    unserved = tuple(_unserved(planned))
    stops, sheets = len(planned.plan.visits), len(routes)
    facts = {"stops": stops, "sheets": sheets, "left": len(unserved)}
    return MonthPage(
        frame=replace(planned.showing.frame, up="../../"),
        month=planned.month,
        crews=tuple(crews),
        days=tuple(_days(planned)),
        summary=say("month.summary", facts),
        travel_note=_travel_note(bool(routes.is_estimated.any())),
        unserved=unserved,
        interruptions=tuple(_interruptions(planned)),
        access=tuple(_access(planned)),
    )


def _days(planned: Planned) -> Iterator[MonthDay]:
    days, routes = planned.task.crew_days, planned.plan.routes
    route_of = {int(c): n for n, c in enumerate(routes.crew_day.tolist())}
    for day in np.unique(days.day_on):
        cells = []
        for crew_id, _ in planned.task.crews:
            here = np.flatnonzero((days.day_on == day) & (days.crew == crew_id))
            route = route_of.get(int(here[0])) if len(here) else None
            cells.append(_cell(planned, len(here) > 0, route))
        yield MonthDay(day=day.astype("datetime64[D]").item(), cells=tuple(cells))


def _cell(planned: Planned, works: bool, route: int | None) -> DayCell:
    if route is None:
        return DayCell(note=say("month.no_route" if works else "month.day_off"))
    routes = planned.plan.routes
    file = planned.sheet_file(int(routes.crew_day[route]))
    hours = float(routes.return_second[route] - routes.depart_second[route])
    return DayCell(
        sheet=Link(say("month.sheet"), f"months/{planned.month}/{file}"),
        stops=int(routes.visits[route]),
        hours=show(hours, "hours"),
        distance=show(float(routes.metre[route]), "metre"),
    )


def _unserved(planned: Planned) -> Iterator[UnservedRow]:
    for left in planned.plan.unserved:
        reason = say(left.reason.id, left.reason.values)
        yield _unserved_row(planned, left.joint_id, reason)
    for stop_id in planned.task.nowhere:
        yield _unserved_row(planned, stop_id, say("month.nowhere"))


def _unserved_row(planned: Planned, stop_id: int, reason: str) -> UnservedRow:
    members = planned.task.members_of[stop_id]
    limit = planned.showing.assessed.items.last_allowed_on[members[0]]
    return UnservedRow(
        subjects=tuple(subject_links(planned.showing, members)),
        reason=reason,
        last_allowed_on=day_of(limit),
    )


def _interruptions(planned: Planned) -> Iterator[InterruptionRow]:
    days = planned.task.crew_days
    crews = dict(planned.task.crews)
    needed: dict[tuple[str, dt.date, str], list[int]] = {}
    for visit, crew_day in enumerate(planned.plan.visits.crew_day.tolist()):
        day = days.day_on[crew_day].astype("datetime64[D]").item()
        crew = crews[int(days.crew[crew_day])].name
        for source in _sources_for(planned, visit):
            needed.setdefault((source, day, crew), []).append(visit)
    for (source, day, crew), visits in sorted(needed.items()):
        stops = [int(planned.plan.visits.joint_id[v]) for v in visits]
        joints = [planned.task.joint_of[s] for s in stops]
        links = tuple(planned.showing.joint_link(j) for j in joints)
        yield InterruptionRow(source=source, day=day, crew=crew, joints=links)


def _access(planned: Planned) -> Iterator[AccessRow]:
    days, crews = planned.task.crew_days, dict(planned.task.crews)
    for visit, crew_day in enumerate(planned.plan.visits.crew_day.tolist()):
        stop_id = int(planned.plan.visits.joint_id[visit])
        joint_id = planned.task.joint_of[stop_id]
        joint = planned.showing.joints[joint_id]
        for need in access_needs(planned.showing, joint_id):
            yield AccessRow(
                day=days.day_on[crew_day].astype("datetime64[D]").item(),
                crew=crews[int(days.crew[crew_day])].name,
                subject=planned.showing.joint_link(joint_id),
                need=need,
                window=_permit(joint.permit_from, joint.permit_until),
            )
