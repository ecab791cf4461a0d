"""The due list: what is to be tested, by when, because of what."""

import datetime as dt
from collections.abc import Iterator, Sequence

import numpy as np

from jointmap.assessment.site_on_day import day_of
from jointmap.due_list import DueLines, due_until
from jointmap.pages.asked import assessed
from jointmap.pages.clock_views import all_clocks, clock_text
from jointmap.pages.due.columns import due_columns
from jointmap.pages.due.lines import due_lines
from jointmap.pages.due.steps import basis_of, because_of
from jointmap.pages.method_choice import method_for
from jointmap.pages.showing import Showing, subject_link
from jointmap.plain_text import csv_text, json_text
from jointmap.plain_text.shown import Block
from jointmap.register.codes import Subject
from jointmap.register.columns import Ids
from jointmap.reports import terminal
from jointmap.reports.views import Link, Sign
from jointmap.reports.views_due import DueLine, DueMember, DuePage
from jointmap.sites.site_folder import SiteFolder

DueTable = dict[str, list[str]]


def due_text(
    site: SiteFolder,
    *,
    on: dt.date,
    known: dt.date | None,
    until: dt.date | None,
    form: str,
) -> str:
    """Return the due list as CSV or JSON."""
    with assessed(site, on, known) as (found, frame):
        table = due_table(Showing(found, frame), until)
        return due_csv(table) if form == "csv" else due_json(table)


def due_shown(
    site: SiteFolder, *, on: dt.date, known: dt.date | None, until: dt.date | None
) -> list[Block]:
    """Return the due list for a person at a terminal."""
    with assessed(site, on, known) as (found, frame):
        return [*terminal.due_blocks(due_page(Showing(found, frame), until))]


def due_page(showing: Showing, until: dt.date | None = None) -> DuePage:
    """Return the due list with one line for joints that one test credits together."""
    lines, members = due_lines(showing.assessed)
    wanted = list(range(len(lines)))
    if until is not None:
        day = np.datetime64(until, "D")
        wanted = np.flatnonzero(lines.planning_on <= day).tolist()
    rows = tuple(_line(showing, lines, members, n) for n in wanted)
    return DuePage(
        frame=showing.frame, lines=rows, until=until, clocks=all_clocks(showing)
    )


def _line(showing: Showing, lines: DueLines, members: Ids, n: int) -> DueLine:
    row = int(lines.item[n])
    start = int(lines.member_from[n])
    own = members[start : start + int(lines.member_count[n])].tolist()
    subject, id_ = int(lines.subject[n]), int(lines.subject_id[n])
    because, source = because_of(showing, row)
    last_allowed_on = day_of(lines.last_allowed_on[n])
    left = (last_allowed_on - showing.assessed.on).days if last_allowed_on else None
    return DueLine(
        subject=subject_link(showing, subject, id_),
        is_joint=subject == Subject.JOINT,
        credited=tuple(_credited(showing, own[1:])),
        state=showing.due_sign(Subject.at(subject), id_),
        last_allowed_on=last_allowed_on,
        days_left=left,
        boundary=_boundary(showing, subject, id_),
        area=_area(showing, subject, id_),
        method=method_for(showing, subject, id_),
        last_test_on=day_of(showing.assessed.items.last_on[row]),
        verdict=_sign(showing, subject, id_),
        basis=basis_of(showing, row),
        because=because,
        source=source,
        remark=put_off(showing, own),
        clocks=clock_text(showing, subject, id_),
        next_step=showing.next_steps.beyond_test(Subject.at(subject), id_),
    )


def _credited(showing: Showing, items: Sequence[int]) -> Iterator[DueMember]:
    """Yield what the reading of a line credits besides what it is made for."""
    found = showing.assessed.items
    for link, row in zip(subject_links(showing, items), items, strict=True):
        state = showing.due_sign(Subject.JOINT, int(found.subject_id[row]))
        yield DueMember(link, state, day_of(found.last_allowed_on[row]))


def put_off(showing: Showing, items: Sequence[int]) -> str:
    """Return what was decided on the members of a line, each named if they are many."""
    links = zip(subject_links(showing, items), items, strict=True)
    told = [(link.text, showing.deferral(row)) for link, row in links]
    many = len(items) > 1
    return " ".join(f"{name}: {text}" if many else text for name, text in told if text)


def subject_links(showing: Showing, items: Sequence[int]) -> Iterator[Link]:
    """Yield the link to what each due item is about."""
    found = showing.assessed.items
    for row in items:
        yield subject_link(showing, int(found.subject[row]), int(found.subject_id[row]))


def _boundary(showing: Showing, subject: int, id_: int) -> Link:
    if subject == Subject.JOINT:
        return showing.boundary_link(showing.joints[id_].boundary_id)
    if subject == Subject.PATH:
        return showing.boundary_link(showing.paths[id_].boundary_id)
    return showing.boundary_link(id_) if subject == Subject.BOUNDARY else Link("")


def _area(showing: Showing, subject: int, id_: int) -> str:
    return showing.joints[id_].area if subject == Subject.JOINT else ""


def _sign(showing: Showing, subject: int, id_: int) -> Sign:
    if subject == Subject.BOUNDARY:
        return Sign(note=showing.not_proved(Subject.BOUNDARY, id_))
    return showing.joint_sign(id_) if subject == Subject.JOINT else Sign()


def due_table(showing: Showing, until: dt.date | None = None) -> DueTable:
    """Return one row per joint, path, boundary or source, in due order."""
    order = due_until(showing.assessed.items, until or dt.date.max)
    if until is None:
        undated = np.flatnonzero(np.isnat(showing.assessed.items.last_allowed_on))
        order = np.concatenate([order, undated])
    return due_columns(showing, order)


def due_csv(table: DueTable) -> str:
    """Return a table as CSV."""
    return csv_text(tuple(table), zip(*table.values(), strict=True))


def due_json(table: DueTable) -> str:
    """Return a table as a JSON list of rows."""
    rows = [
        dict(zip(table, row, strict=True)) for row in zip(*table.values(), strict=True)
    ]
    return json_text(rows, indent=1) + "\n"
