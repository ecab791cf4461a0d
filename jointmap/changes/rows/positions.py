"""Positions as sent: to working coordinates, and what is doubtful about them."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import cast

import numpy as np

from jointmap.changes.rows.called import find
from jointmap.errors import Problem, Refused
from jointmap.exchange import WGS84, Draft, Ref, read_number
from jointmap.location import (
    DOUBT_KINDS,
    Doubts,
    Extent,
    Measuring,
    PlaceColumns,
    Places,
    area_of_use,
    doubts,
    epsg_number,
    measuring,
    to_lat_lon,
)
from jointmap.register import Chainage, Joint, Line, Position, Record, Site
from jointmap.register.codes import Subject
from jointmap.register.columns import Floats
from jointmap.storage import Writing
from jointmap.wording import say

CAPTURED = ("captured_x", "captured_y", "captured_crs")
WORKING = ("latitude_deg", "longitude_deg")
PLACE_LABELS = CAPTURED + WORKING

# So far a site reaches beyond the area of use of its working system (judgement).
BEYOND_ITS_ZONE_DEG = 1.0
# Of the places on record so many are looked at (judgement): enough for their middle.
MOST_OTHERS = 100
Measurings = Mapping[tuple[int, str], tuple[int, Measuring]]


def settle_positions(
    job: Writing, drafts: Sequence[Draft]
) -> Iterator[tuple[Draft, Problem | None]]:
    """Yield each position with its working coordinates, or with the doubt about it.

    A doubtful position keeps its captured numbers and gets no working coordinates
    until a person has decided.
    """
    if not drafts:
        return
    x, y = (_numbers(drafts, name) for name in ("captured_x", "captured_y"))
    latitude, longitude = _working(drafts, x, y)
    lines = measurings_of(job)
    places = _places(job, drafts, (x, y, latitude, longitude), lines)
    measured, others = [m for _, m in lines.values()], _others(job)
    about = _first_doubts(doubts(places, _extent(job), measured, others=others))
    for row, draft in enumerate(drafts):
        doubt = _unreadable(draft, latitude[row]) or about.get(row)
        if doubt is not None:
            captured = f"{draft.values['captured_x']}, {draft.values['captured_y']}"
            yield draft, replace(doubt, column="position", value=captured)
            continue
        values = dict(draft.values)
        values["latitude_deg"] = round(float(latitude[row]), 9)
        values["longitude_deg"] = round(float(longitude[row]), 9)
        yield replace(draft, values=values), None


def as_decided(
    job: Writing, draft: Draft, doubt: Problem | None
) -> tuple[Draft, Problem | None]:
    """Return a position as it was settled when the same numbers were sent before.

    A reason sent with it asks anew.
    """
    old = _on_record(job, draft)
    sent = tuple(draft.values[name] for name in CAPTURED)
    if old is None or draft.reason or captured(old) != sent:
        return draft, doubt
    settled = {n: getattr(old, n) for n in WORKING}
    values = {**draft.values, **settled}
    return replace(draft, values=values), doubt if old.latitude_deg is None else None


def beside_its_place(
    job: Writing, draft: Draft, record: Record, doubt: Problem | None
) -> tuple[Record, Problem | None]:
    """Return a corrected position at the place on record while the new one waits.

    The numbers as sent go with the doubt, for the person who decides.
    """
    if doubt is None or not draft.reason or not isinstance(record, Position):
        return record, doubt
    old = _on_record(job, draft)
    if old is None or old.latitude_deg is None:
        return record, doubt
    doubt = replace(doubt, values={**doubt.values, "captured": [*captured(record)]})
    return replace(record, **{n: getattr(old, n) for n in PLACE_LABELS}), doubt


def _on_record(job: Writing, draft: Draft) -> Position | None:
    known, subject = job.known("position"), draft.values["subject"]
    id_ = find(job, cast("Ref", draft.values["subject_id"]))
    held = known.id_of((subject, id_))
    return None if held is None else cast("Position", known.record(held))


def captured(position: Position) -> tuple[str | None, str | None, str]:
    """Return the numbers of a position as they were sent: x, y, system."""
    return position.captured_x, position.captured_y, position.captured_crs


def place_as_sent(position: Position) -> str:
    """Return a position as a sheet has it."""
    x, y, crs = captured(position)
    if crs == WGS84:
        return say("place.degrees", {"x": x, "y": y})
    return say("place.metres", {"x": x, "y": y, "crs": crs})


def measurings_of(job: Writing) -> Measurings:
    """Return the lines as measured, by line id and measuring, numbered."""
    lines = {i: cast("Line", r) for i, (_, r) in job.known("line").by_id.items()}
    chainages = [cast("Chainage", r) for _, r in job.known("chainage").by_id.values()]
    return numbered_measurings(lines, chainages)


def numbered_measurings(
    lines: Mapping[int, Line], chainages: Sequence[Chainage]
) -> Measurings:
    """Return each measuring that fits its line, by (line id, measuring), numbered."""
    found: dict[tuple[int, str], tuple[int, Measuring]] = {}
    for chainage in chainages:
        line = lines[chainage.line_id]
        points = json.loads(line.coordinates), json.loads(chainage.tie_points)
        try:
            measured = measuring(*points, chainage.line_id)
        except Refused:
            continue  # of a route that the line no longer takes
        found[chainage.line_id, chainage.measuring] = (len(found), measured)
    return found


def _numbers(drafts: Sequence[Draft], name: str) -> Floats:
    return np.array([_number(str(d.values[name])) for d in drafts])


def _number(text: str) -> float:
    try:
        return read_number(text)
    except Refused:
        return float("nan")


def _working(drafts: Sequence[Draft], x: Floats, y: Floats) -> tuple[Floats, Floats]:
    latitude, longitude = np.full_like(x, np.nan), np.full_like(x, np.nan)
    systems = np.array([str(d.values["captured_crs"]) for d in drafts])
    for crs in sorted(set(systems.tolist())):
        rows = systems == crs
        try:
            latitude[rows], longitude[rows] = to_lat_lon(x[rows], y[rows], crs)
        except Refused:
            continue  # stays NaN, which is doubted below with the system named
    return latitude, longitude


def _unreadable(draft: Draft, latitude: float) -> Problem | None:
    if np.isfinite(latitude):
        return None
    return Problem("place.unreadable", {"crs": draft.values["captured_crs"]})


def _places(
    job: Writing,
    drafts: Sequence[Draft],
    numbers: tuple[Floats, Floats, Floats, Floats],
    lines: Measurings,
) -> PlaceColumns:
    x, y, latitude, longitude = numbers
    joints = [_joint(job, d) for d in drafts]
    posts = [_post(j, lines) for j in joints]
    files = sorted({d.file for d in drafts})
    return PlaceColumns(
        subject_id=np.arange(len(drafts), dtype=np.int64),
        latitude_deg=latitude,
        longitude_deg=longitude,
        captured_x=x,
        captured_y=y,
        captured_epsg=np.array(
            [epsg_number(str(d.values["captured_crs"])) for d in drafts], dtype=np.int64
        ),
        measuring=np.array([code for code, _ in posts], dtype=np.int64),
        post_kilometre=np.array([post for _, post in posts], dtype=np.float64),
        batch=np.array([files.index(d.file) for d in drafts], dtype=np.int64),
    )


def _joint(job: Writing, draft: Draft) -> Joint | None:
    ref = draft.values["subject_id"]
    if draft.values["subject"] is not Subject.JOINT or not isinstance(ref, Ref):
        return None
    id_ = find(job, ref)
    return cast("Joint", job.known("joint").record(id_)) if id_ else None


def _post(joint: Joint | None, lines: Measurings) -> tuple[int, float]:
    if joint is None or joint.line_id is None or joint.post_kilometre is None:
        return -1, float("nan")
    own = [m for (line, _), m in lines.items() if line == joint.line_id]
    found = lines.get((joint.line_id, joint.post_measuring))
    # Of one measuring alone a post need not say which.
    if not joint.post_measuring and len(own) == 1:
        found = own[0]
    return (-1, float("nan")) if found is None else (found[0], joint.post_kilometre)


def _others(job: Writing) -> Places:
    """Return where some of what has a place on record lies, evenly among all."""
    known = job.known("position")
    ids = np.unique(np.linspace(1, known.next_id - 1, MOST_OTHERS).astype(int))
    found = [known.current(id_) for id_ in ids.tolist()]
    records = [cast("Position", record) for _, record in filter(None, found)]
    pairs = [(p.latitude_deg, p.longitude_deg) for p in records]
    placed = np.array([p for p in pairs if None not in p], np.float64).reshape(-1, 2)
    return Places(placed[:, 0], placed[:, 1])


def _extent(job: Writing) -> Extent | None:
    site = next(cast("Site", r) for _, r in job.known("site").by_id.values())
    edges = (
        site.min_latitude_deg,
        site.max_latitude_deg,
        site.min_longitude_deg,
        site.max_longitude_deg,
    )
    given = [e for e in edges if e is not None]
    if len(given) == len(edges):
        return Extent(*given)
    area = area_of_use(site.working_crs)
    if area is None:
        return None
    south, north, west, east = area
    # A site may reach over the edge of its zone.
    over = BEYOND_ITS_ZONE_DEG
    return Extent(south - over, north + over, west - over, east + over)


def _first_doubts(found: Doubts) -> dict[int, Problem]:
    first: dict[int, Problem] = {}
    for n, row in enumerate(found.row.tolist()):
        values: dict[str, object] = {
            "distance": float(found.distance_metre[n]),
            "east": float(found.east_metre[n]),
            "north": float(found.north_metre[n]),
            "detail": int(found.detail[n]),
        }
        place = found.proposed_latitude_deg[n], found.proposed_longitude_deg[n]
        if np.isfinite(place[0]):
            facts = {"latitude": f"{place[0]:.6f}", "longitude": f"{place[1]:.6f}"}
            values["proposal"] = say("place.proposal", facts)
        first.setdefault(row, Problem(DOUBT_KINDS[int(found.kind[n])], values))
    return first
