"""The due list: what is to be tested, by when, because of what."""

import csv
import datetime as dt
import io
import json
from collections.abc import Iterator, Sequence

import numpy as np

from jointmap.due_list import DueLines, due_until, grouped
from jointmap.register.codes import Subject, code_of, word_of
from jointmap.register.columns import Ids
from jointmap.reports import REPORTS
from jointmap.reports.views import Link, Sign
from jointmap.reports.views_due import DueLine, DuePage
from jointmap.workflows.asked import assessed
from jointmap.workflows.clock_views import all_clocks, clock_text
from jointmap.workflows.due_views import basis_of, because_of
from jointmap.workflows.method_choice import method_for
from jointmap.workflows.showing import Showing, day_of, subject_link
from jointmap.workflows.site_folder import SiteFolder

COLUMNS = ("subject", "kind", "boundary", "area", "state", "last_allowed_on",
           "planning_on", "last_test_on", "verdict", "method", "basis", "because",
           "source", "deferred", "read_with", "clocks")  # fmt: skip


def due_text(
    site: SiteFolder,
    *,
    on: dt.date,
    known: dt.date | None,
    until: dt.date | None,
    form: str,
) -> str:
    """Return the due list as a table, CSV or JSON."""
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
        if form == "table":
            return REPORTS["due-text"].make(due_page(showing, until))
        rows = list(due_rows(showing, until))
        return due_csv(rows) if form == "csv" else due_json(rows)


def due_page(showing: Showing, until: dt.date | None = None) -> DuePage:
    """Return the due list with one line for joints that one test credits together."""
    lines, members = due_lines(showing)
    wanted = list(range(len(lines)))
    if until is not None:
        day = np.datetime64(until, "D")
        wanted = np.flatnonzero(lines.planning_on <= day).tolist()
    rows = tuple(_line(showing, lines, members, n) for n in wanted)
    return DuePage(
        frame=showing.frame, lines=rows, until=until, clocks=all_clocks(showing)
    )


def due_lines(showing: Showing) -> tuple[DueLines, Ids]:
    """Return the due lines of a state and the items of each, line after line."""
    items = showing.assessed.items
    joints = showing.assessed.ground.joints
    group_of = dict(
        zip(joints.joint_id.tolist(), showing.assessed.groups.tolist(), strict=True)
    )
    joint = code_of(Subject.JOINT)
    pairs = zip(items.subject.tolist(), items.subject_id.tolist(), strict=True)
    groups = [group_of.get(id_, 0) if subject == joint else 0 for subject, id_ in pairs]
    return grouped(items, np.array(groups, dtype=np.int64))


def _line(showing: Showing, lines: DueLines, members: Ids, n: int) -> DueLine:
    row = int(lines.item[n])
    start = int(lines.member_from[n])
    own = members[start : start + int(lines.member_count[n])].tolist()
    subject, id_ = int(lines.subject[n]), int(lines.subject_id[n])
    because, source = because_of(showing, row)
    last_allowed_on = day_of(lines.last_allowed_on[n])
    left = (last_allowed_on - showing.assessed.on).days if last_allowed_on else None
    return DueLine(
        subjects=tuple(subject_links(showing, own)),
        state=showing.due_sign(word_of(Subject, subject), id_),
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
        remark=_put_off(showing, own),
        clocks=clock_text(showing, subject, id_),
    )


def _put_off(showing: Showing, items: Sequence[int]) -> str:
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
    if subject == code_of(Subject.JOINT):
        return showing.boundary_link(showing.joints[id_].boundary_id)
    if subject == code_of(Subject.PATH):
        return showing.boundary_link(showing.paths[id_].boundary_id)
    return (
        showing.boundary_link(id_) if subject == code_of(Subject.BOUNDARY) else Link("")
    )


def _area(showing: Showing, subject: int, id_: int) -> str:
    return showing.joints[id_].area if subject == code_of(Subject.JOINT) else ""


def _sign(showing: Showing, subject: int, id_: int) -> Sign:
    return showing.joint_sign(id_) if subject == code_of(Subject.JOINT) else Sign()


def due_rows(
    showing: Showing, until: dt.date | None = None
) -> Iterator[dict[str, str]]:
    """Yield one row per joint, path, boundary or source, in due order."""
    lines, members = due_lines(showing)
    group = np.repeat(np.arange(len(lines)), lines.member_count)
    line_of = dict(zip(members.tolist(), group.tolist(), strict=True))
    everything = np.flatnonzero(np.isnat(showing.assessed.items.last_allowed_on))
    last = until or dt.date.max
    order = due_until(showing.assessed.items, last).tolist()
    if until is None:
        order += everything.tolist()
    for row in order:
        n = line_of[row]
        start = int(lines.member_from[n])
        own = members[start : start + int(lines.member_count[n])].tolist()
        yield _row(showing, row, [r for r in own if r != row])


def _row(showing: Showing, row: int, others: list[int]) -> dict[str, str]:
    items = showing.assessed.items
    subject, id_ = int(items.subject[row]), int(items.subject_id[row])
    because, source = because_of(showing, row)
    values = (
        next(subject_links(showing, [row])).text,
        str(word_of(Subject, subject)),
        _boundary(showing, subject, id_).text,
        _area(showing, subject, id_),
        showing.due_sign(word_of(Subject, subject), id_).word,
        day_of(items.last_allowed_on[row]),
        day_of(items.planning_on[row]),
        day_of(items.last_on[row]),
        _sign(showing, subject, id_).word,
        method_for(showing, subject, id_),
        basis_of(showing, row),
        because,
        source,
        showing.deferral(row),
        "; ".join(link.text for link in subject_links(showing, others)),
        clock_text(showing, subject, id_),
    )
    texts = ("" if v is None else str(v) for v in values)
    return dict(zip(COLUMNS, texts, strict=True))


def due_csv(rows: Sequence[dict[str, str]]) -> str:
    """Return rows as CSV; a cell that a spreadsheet would run is neutralised."""
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows({k: neutral(v) for k, v in r.items()} for r in rows)
    return out.getvalue()


def neutral(text: str) -> str:
    """Return ``text`` with an apostrophe before anything that starts a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def due_json(rows: Sequence[dict[str, str]]) -> str:
    """Return rows as a JSON list."""
    return json.dumps(rows, ensure_ascii=False, indent=1) + "\n"
