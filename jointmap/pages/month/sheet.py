"""The sheet of one crew's day."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from enum import StrEnum

import numpy as np

from jointmap.assessment.site_on_day import day_of
from jointmap.pages.dossier.place import (
    access_needs,
    cautions_at,
    post_text,
    spot,
)
from jointmap.pages.due.page import put_off, subject_links
from jointmap.pages.due.steps import because_of
from jointmap.pages.method_choice import method_code_for
from jointmap.pages.month.interrupting import interruption, sources_told
from jointmap.pages.month.planned import (
    Planned,
    permit_hours,
    travel_note,
)
from jointmap.pages.showing import Showing
from jointmap.plain_text import own_markup
from jointmap.register import Crew
from jointmap.register.codes import Subject
from jointmap.reports.method_blanks import blanks_for
from jointmap.reports.views import Link
from jointmap.reports.views_route import InstrumentRow, RouteSheet, Stop
from jointmap.routes import clock_text, neighbours
from jointmap.site_map.small_maps import Depot, Spot, route_svg
from jointmap.snapshot.papers.in_date import certificates
from jointmap.snapshot.site_columns import working_places
from jointmap.tables import METHODS
from jointmap.wording import say
from jointmap.wording.cautions import Situation
from jointmap.wording.quantities import show

_METHODS = {m.code: m for m in METHODS}


class _NotForTests(StrEnum):
    """Kinds of instruments that no test is made with."""

    TORQUE_WRENCH = "torque wrench"


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
        frame=planned.showing.frame,
        sheet_id=f"{planned.month}/{crew.name}/{day}",
        crew=crew.name,
        day=day,
        stops=stops,
        people=(say("crew.persons", {"count": crew.persons}),),
        depot=crew.depot,
        leave_depot=clock_text(float(routes.depart_second[route])),
        back_at_depot=clock_text(float(routes.return_second[route])),
        distance=show(float(routes.metre[route]), "metre"),
        travel_note=travel_note(bool(routes.is_estimated[route])),
        ac_limit=show(planned.showing.assessed.ground.site.ac_limit_volt, "volt"),
        cautions=tuple(dict.fromkeys(c for v in visits for c in _cautions(planned, v))),
        instruments=tuple(_instruments(planned, day)),
        interruptions=tuple(_interruption_lines(planned, visits)),
        put_off=tuple(_put_off_lines(planned, visits)),
        access=tuple(dict.fromkeys(a for s in stops for a in s.access)),
        route_map=own_markup(_route_map(planned, crew_id, crew, visits)),
    )


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
    shift = interruption(planned, visit)
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
        permit=permit_hours(joint.permit_from, joint.permit_until),
        # AC, the first of them, heads the stop's own box; what is told of interrupting
        # heads the sheet, so that a stop stays on one piece of paper.
        cautions=cautions_at(showing, joint_id)[1:],
        sources=tuple(source.name for source in shift.sources.values()),
        no_source=shift.none,
        put_off=say("sheet.put_off") if put_off(showing, members) else "",
        last_allowed_on=day_of(items.last_allowed_on[members[0]]),
        because=because,
        arrive=clock_text(float(visits.arrive_second[visit])),
        leave=clock_text(float(visits.leave_second[visit])),
        blanks=blanks_for(method),
    )


def _cautions(planned: Planned, visit: int) -> tuple[str, ...]:
    stop_id = int(planned.plan.visits.joint_id[visit])
    also = [Situation.INTERRUPTING] if interruption(planned, visit).is_shift else []
    return cautions_at(planned.showing, planned.task.joint_of[stop_id], also)


def _tag(showing: Showing, joint_id: int, subject: Link) -> Link:
    """Return the joint's link; of a path, its name and the joint where it is."""
    own = showing.joint_link(joint_id)
    if subject.href.startswith("dossiers/"):
        return own
    return Link(f"{subject.text} at {own.text}", own.href)


def _protected_sides(showing: Showing, boundary_id: int) -> str:
    boundary = showing.boundaries[boundary_id]
    ids = showing.assessed.ground.structures.id.tolist()
    flags = showing.assessed.ground.structures.is_protected.tolist()
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


def _put_off_lines(planned: Planned, visits: list[int]) -> Iterator[str]:
    """Yield what was decided of each stop that was put off, at the sheet's head."""
    showing, task = planned.showing, planned.task
    for visit in visits:
        stop_id = int(planned.plan.visits.joint_id[visit])
        told = put_off(showing, task.members_of[stop_id])
        if told:
            yield f"{showing.joints[task.joint_of[stop_id]].tag}: {told}"


def _interruption_lines(planned: Planned, visits: list[int]) -> Iterator[str]:
    needed: dict[str, list[str]] = {}
    for visit in visits:
        stop_id = int(planned.plan.visits.joint_id[visit])
        tag = planned.showing.joints[planned.task.joint_of[stop_id]].tag
        for name, facts in sources_told(planned, interruption(planned, visit)):
            needed.setdefault(f"{name}: {facts}", []).append(tag)
    for source, tags in needed.items():
        yield say("interrupt.for", {"source": source, "tags": tuple(tags)})


def _instruments(planned: Planned, day: dt.date) -> Iterator[InstrumentRow]:
    state = planned.showing.state
    papers = certificates(state)
    for id_, one in state.instruments.items():
        until = papers.until(id_, day)
        if until is not None and one.kind not in set(_NotForTests):
            yield InstrumentRow(name=one.name, kind=one.kind, valid_until_on=until)


def _route_map(planned: Planned, crew_id: int, crew: Crew, visits: list[int]) -> str:
    state = planned.showing.state
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
