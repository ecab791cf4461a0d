"""Routes for a month: one overview, one sheet per crew and day."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from jointmap.assessment.site_on_day import day_of
from jointmap.errors import Problem
from jointmap.files import publishing
from jointmap.how_far import HowFar, counted, to_nobody
from jointmap.pages.asked import assessed
from jointmap.pages.dossier.place import access_needs
from jointmap.pages.due.page import put_off, subject_links
from jointmap.pages.month.interrupting import interruption, sources_told
from jointmap.pages.month.planned import (
    Planned,
    permit_hours,
    plan_month,
    travel_note,
)
from jointmap.pages.month.sheet import sheet_view
from jointmap.pages.month.task import month_to_plan
from jointmap.pages.showing import Showing
from jointmap.pages.written import Written
from jointmap.plain_text.shown import Block, Column, Table
from jointmap.reports.every_report import REPORTS
from jointmap.reports.fixed_words import label
from jointmap.reports.views import Link
from jointmap.reports.views_route import (
    AccessRow,
    DayCell,
    InterruptionRow,
    MonthDay,
    MonthPage,
    SubjectRow,
    UnservedRow,
)
from jointmap.routes import month_days
from jointmap.sites.site_folder import SiteFolder, mark_of
from jointmap.wording import say
from jointmap.wording.quantities import show

MONTH = "month"  # what kind of published folder this is


@dataclass(frozen=True, slots=True)
class WrittenMonth(Written):
    """A month's pages, its totals for a person, and how much of it has no route.

    ``left`` counts what is left out though its last allowed day lies in the month, or
    before it.
    """

    totals: tuple[Block, ...] = ()
    left: int = 0


def write_month(  # noqa: PLR0913 - one for each option
    site: SiteFolder,
    month: str,
    out: Path,
    *,
    on: dt.date,
    known: dt.date | None,
    force: bool = False,
    tell: HowFar = to_nobody,
) -> WrittenMonth:
    """Plan a month and publish its pages as the folder ``out``, whole; say where.

    The pages lead to the dossiers where ``out`` stands in a published folder. Raises
    ``WrongUse`` for a folder of others and for a month that is over.
    """
    first = month_to_plan(month, on)
    folder = f"months/{first:%Y-%m}/"
    up = "../../" if _is_published(out.resolve(), folder) else None
    tell("judging", 0, 1)
    with (
        publishing(out, MONTH, mark_of(site), force=force) as place,
        assessed(site, on, known) as (found, frame),
    ):
        showing = Showing(found, replace(frame, up=up, folder=folder))
        tell("planning", 0, 1)
        planned = plan_month(showing, first, f"{first:%Y-%m}")
        count = 1 + len(planned.plan.routes)
        pages = counted(month_pages(planned), "pages", count, tell)
        place.put(pages, frame.fingerprint)
        totals, left = tuple(totals_shown(planned)), left_in_month(planned)
    return WrittenMonth(out / "index.html", tuple(place.told), totals, left)


def totals_shown(planned: Planned) -> Iterator[Block]:
    """Yield what a month comes to, and what of it has no route, for a person."""
    view = month_view(planned)
    yield f"{planned.month}: {view.summary}"
    if view.unserved:
        ids = {"last_allowed_day": 10, "no_route": 24, "no_route_why": None}
        columns = [Column(say(f"terminal.{id_}"), most) for id_, most in ids.items()]
        yield Table.of(columns, map(_unserved_cells, view.unserved))
    for row in (*view.not_by_shift, *view.put_off):
        yield f"{', '.join(link.text for link in row.subjects)}: {row.told}"


def _unserved_cells(row: UnservedRow) -> tuple[str, ...]:
    on = str(row.last_allowed_on or label("no_date"))
    names = ", ".join(link.text for link in row.subjects)
    return on, names, f"{row.reason} {row.advice}"


def left_in_month(planned: Planned) -> int:
    """Return how much has no route and a last allowed day by the end of the month."""
    last = month_days(planned.task.month)[-1].item()
    days = (row.last_allowed_on for row in _unserved(planned))
    return sum(on is not None and on <= last for on in days)


def _is_published(out: Path, folder: str) -> bool:
    pages = out.parent.parent
    return pages / folder == out and (pages / "index.html").is_file()


def month_pages(planned: Planned) -> Iterator[tuple[str, str]]:
    """Yield file name and text of the overview and of each sheet."""
    yield "index.html", REPORTS["month"].make(month_view(planned))
    for row in range(len(planned.plan.routes)):
        crew_day = int(planned.plan.routes.crew_day[row])
        sheet = REPORTS["route-sheet"].make(sheet_view(planned, row))
        yield planned.sheet_file(crew_day), sheet


def month_view(planned: Planned) -> MonthPage:
    """Return the overview of a month."""
    crews = [crew.name for _, crew in planned.task.crews]
    routes = planned.plan.routes
    unserved = tuple(_unserved(planned))
    stops, sheets = len(planned.plan.visits), len(routes)
    facts = {"stops": stops, "sheets": sheets, "left": len(unserved)}
    homeless = ", ".join(planned.task.homeless)
    more = say("month.homeless", {"crews": homeless}) if homeless else ""
    return MonthPage(
        frame=planned.showing.frame,
        month=planned.month,
        crews=tuple(crews),
        days=tuple(_days(planned)),
        summary=f"{say('month.summary', facts)} {more}".strip(),
        travel_note=travel_note(bool(routes.is_estimated.any())),
        unserved=unserved,
        interruptions=tuple(_interruptions(planned)),
        not_by_shift=tuple(_not_by_shift(planned)),
        put_off=tuple(_put_off(planned)),
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
        yield _unserved_row(planned, left.joint_id, left.reason)
    for stop_id in planned.task.nowhere:
        yield _unserved_row(planned, stop_id, Problem("route.nowhere"))


def _unserved_row(planned: Planned, stop_id: int, reason: Problem) -> UnservedRow:
    members = planned.task.members_of[stop_id]
    limit = planned.showing.assessed.items.last_allowed_on[members[0]]
    return UnservedRow(
        subjects=tuple(subject_links(planned.showing, members)),
        reason=say(reason.id, reason.values),
        advice=say(f"help.{reason.id}"),
        last_allowed_on=day_of(limit),
    )


def _interruptions(planned: Planned) -> Iterator[InterruptionRow]:
    days = planned.task.crew_days
    crews = dict(planned.task.crews)
    needed: dict[tuple[tuple[str, str], dt.date, str], list[int]] = {}
    for visit, crew_day in enumerate(planned.plan.visits.crew_day.tolist()):
        day = days.day_on[crew_day].astype("datetime64[D]").item()
        crew = crews[int(days.crew[crew_day])].name
        for source in sources_told(planned, interruption(planned, visit)):
            needed.setdefault((source, day, crew), []).append(visit)
    for ((name, facts), day, crew), visits in sorted(needed.items()):
        stops = [int(planned.plan.visits.joint_id[v]) for v in visits]
        joints = [planned.task.joint_of[s] for s in stops]
        links = tuple(planned.showing.joint_link(j) for j in joints)
        yield InterruptionRow(
            source=name, day=day, crew=crew, joints=links, remark=facts
        )


def _not_by_shift(planned: Planned) -> Iterator[SubjectRow]:
    """Yield the stops that are to be tested by a shift that nothing can make."""
    for visit, stop_id in enumerate(planned.plan.visits.joint_id.tolist()):
        why = interruption(planned, visit).none
        if why:
            joint_id = planned.task.joint_of[stop_id]
            yield SubjectRow((planned.showing.joint_link(joint_id),), why)


def _put_off(planned: Planned) -> Iterator[SubjectRow]:
    """Yield what is to be tested though it was put off, on a route or not."""
    for members in planned.task.members_of.values():
        told = put_off(planned.showing, members)
        if told:
            links = tuple(subject_links(planned.showing, members))
            yield SubjectRow(links, told)


def _access(planned: Planned) -> Iterator[AccessRow]:
    yield from dict.fromkeys(_access_of_visits(planned))


def _access_of_visits(planned: Planned) -> Iterator[AccessRow]:
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
                window=permit_hours(joint.permit_from, joint.permit_until),
            )
