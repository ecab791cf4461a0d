"""Deciding what was held: a proposal accepted or refused, with who and why."""

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, cast

from jointmap.changes.change import Change, begin, free_number
from jointmap.changes.holding import DIFFERS, DIFFERS_SINCE, POSITION, held_of
from jointmap.changes.read_again import AGAIN, WHOLE, decide_row
from jointmap.changes.rows.called import find
from jointmap.changes.rows.context import local_day
from jointmap.changes.rows.find_record import record_called
from jointmap.changes.rows.positions import CAPTURED, WORKING, settle_positions
from jointmap.changes.rows.tags_asked import LIKE_TAG, OF_SPREADSHEET
from jointmap.errors import Problem, Refused, WrongUse
from jointmap.exchange import SHEETS, Draft, Ref, written_text
from jointmap.exchange.cells import read_cell
from jointmap.exchange.drafts import JOINT_PLACE_COLUMNS
from jointmap.location import to_lat_lon
from jointmap.plain_text import shown
from jointmap.register import Column, Decision, Held, Position, Record
from jointmap.register.bounds import BEYOND
from jointmap.register.codes import KIND_OF_SUBJECT, DecisionKind
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.snapshot.waiting import open_held
from jointmap.storage import Writing
from jointmap.wording import say

MOST_LATITUDE, MOST_LONGITUDE = 90.0, 180.0


def waiting_rows(
    site: SiteFolder, on: dt.date | None, known: dt.date | None
) -> list[tuple[str, str, str]]:
    """Return a row per value that waits: its number, what it is, why and a proposal.

    Without ``on``, whatever the day it was sent on.
    """
    with snapshot_of(site.register, known) as state:
        found = open_held(state if on is None else state.on_day(on))
        return [_row(number, held) for number, held in found]


def waiting_shown(rows: Sequence[tuple[str, str, str]]) -> list[shown.Block]:
    """Return what waits for a person at a terminal; nothing where nothing does."""
    columns = (
        shown.Column(say("terminal.line"), is_number=True),
        shown.Column(say("terminal.waits"), 24),
        shown.Column(say("terminal.why_waits")),
    )
    return [shown.Table.of(columns, rows)] if rows else []


def _row(number: int, held: Held) -> tuple[str, str, str]:
    why = say(held.doubt, json.loads(held.details or "{}"))
    more = say("find.proposal", {"proposal": held.proposal}) if held.proposal else ""
    what = f"{held.subject_key}, {held.column}: {held.value}"
    return str(number), what, f"{why}{more}  [{held.origin}]"


def decide(
    site: SiteFolder,
    number: int,
    *,
    now: dt.datetime,
    by: str,
    reason: str,
    accept: bool,
) -> str:
    """Accept or refuse the proposal of one line; returns what was done.

    Raises ``WrongUse`` for a line that does not wait, or has nothing to accept.
    """
    with begin(site, Change(now.date(), now, by, reason)) as job:
        held = _waiting(job, number)
        today = local_day(job, now)
        rest = replace(held, is_open=False)
        if held.column == POSITION and held.doubt != DIFFERS:
            _settle_position(job, held, reason, accept)
        elif held.column == POSITION and accept:
            rest = _move(job, held, today, reason) or rest
        elif held.doubt in (WHOLE, AGAIN):
            decide_row(job, held, reason, accept=accept)
        elif accept:
            _apply(job, held, number, reason)
        job.revise(number, replace(rest, correction_reason=reason))
        kind = (
            DecisionKind.ACCEPTED_PROPOSAL if accept else DecisionKind.REFUSED_PROPOSAL
        )
        job.add(_decision(job, held, number, kind, today, by, reason))
    return say("held.decided", {"number": number, "what": kind})


def _waiting(job: Writing, number: int) -> Held:
    known = job.known("held").by_id
    if number not in known or not cast("Held", known[number][1]).is_open:
        raise WrongUse(Problem("held.no_line", {"number": number}))
    return cast("Held", known[number][1])


def _decision(  # noqa: PLR0913, PLR0917 - a decision is made of exactly these
    job: Writing,
    held: Held,
    number: int,
    kind: DecisionKind,
    today: dt.date,
    by: str,
    reason: str,
) -> Decision:
    return Decision(
        number=free_number(job, f"held {number}"),
        decided_on=today,
        kind=kind,
        person_id=job.known("person").id_of((by,)),
        subject=held.column,
        subject_key=held.subject_key,
        why=reason,
    )


def _settle_position(job: Writing, held: Held, reason: str, accept: bool) -> None:
    """Give the position its working coordinates: as proposed, or as sent."""
    id_, position = _position_of(job, held)
    sent = json.loads(held.details or "{}").get("captured")
    if sent:  # a correction, which waited beside the place on record
        position = replace(position, **dict(zip(CAPTURED, sent, strict=True)))
    place = _proposed(held) if accept else _as_captured(position)
    if place is None:
        return  # as sent it is nowhere, and stays so
    latitude, longitude = place
    put = replace(position, latitude_deg=latitude, longitude_deg=longitude)
    job.revise(id_, replace(put, correction_reason=reason))


def _as_captured(position: Position) -> tuple[float, float] | None:
    """Return the place that the captured numbers name, if they name one."""
    try:
        x, y = (float(str(n)) for n in (position.captured_x, position.captured_y))
        found = to_lat_lon([x], [y], position.captured_crs)
    except (ValueError, Refused):
        return None
    latitude, longitude = float(found[0][0]), float(found[1][0])
    on_earth = abs(latitude) <= MOST_LATITUDE and abs(longitude) <= MOST_LONGITUDE
    return (latitude, longitude) if on_earth else None


def _position_of(job: Writing, held: Held) -> tuple[int, Position]:
    known = job.known("position")
    for subject, kind in KIND_OF_SUBJECT.items():
        if not held.subject_key.startswith(f"{subject} "):
            continue
        named = Ref(kind, held.subject_key.removeprefix(f"{subject} "))
        id_ = known.id_of((subject, find(job, named)))
        if id_ is not None:
            return id_, cast("Position", known.record(id_))
    raise WrongUse(Problem("held.no_line", {"number": held.subject_key}))


def _move(job: Writing, held: Held, today: dt.date, reason: str) -> Held | None:
    """Put a position where the sheet has it; return what is doubtful about that."""
    id_, position = _position_of(job, held)
    ((draft, doubt),) = settle_positions(job, [_sent_again(held, position)])
    values: dict[str, Any] = {n: draft.values.get(n) for n in (*CAPTURED, *WORKING)}
    moved = replace(position, **values, correction_reason=reason)
    if doubt is not None and _as_captured(moved) is None:
        raise WrongUse(replace(doubt, column=POSITION))
    job.revise(id_, moved)
    return None if doubt is None else held_of(draft, doubt, today)


def _sent_again(held: Held, position: Position) -> Draft:
    file, _, line = held.origin.rpartition(":")
    subject = position.subject
    name = held.subject_key.removeprefix(f"{subject} ")
    sent = json.loads(held.details or "{}")["captured"]
    values: dict[str, object] = dict(zip(CAPTURED, sent, strict=True))
    values |= {"subject": subject, "subject_id": Ref(KIND_OF_SUBJECT[subject], name)}
    return Draft("position", held.sheet, file, int(line), values)


def _proposed(held: Held) -> tuple[float, float]:
    words = (held.proposal or "").replace(",", "").split()
    numbers = [float(w) for w in words if w.lstrip("-").replace(".", "").isdigit()]
    if len(numbers) != len(("latitude", "longitude")):
        raise WrongUse(Problem("held.only_positions", {"number": held.subject_key}))
    return numbers[0], numbers[1]


def _apply(job: Writing, held: Held, number: int, reason: str) -> None:
    """Write the value as sent into the record that it differed from, or lacks."""
    if held.doubt in (LIKE_TAG, OF_SPREADSHEET):
        near = held.proposal or say("held.another_joint")
        raise WrongUse(Problem("held.tag", {"tag": held.value, "near": near}))
    sheet = SHEETS[held.sheet]
    kind, column = sheet.kind, sheet.columns.get(held.column)
    if held.sheet == "joints" and held.column in JOINT_PLACE_COLUMNS:
        kind, column = "position", JOINT_PLACE_COLUMNS[held.column]
    if held.doubt not in (DIFFERS, DIFFERS_SINCE, BEYOND) or column is None:
        raise WrongUse(Problem("held.only_positions", {"number": number}))
    id_ = record_called(job, kind, held.subject_key)
    record = job.known(kind).record(id_)
    changed = _changed(job, record, column, held.value or "")
    job.revise(id_, replace(record, **changed, correction_reason=reason))


def _changed(job: Writing, record: Record, column: Column, text: str) -> dict[str, Any]:
    """Return what a cell changes: its value, its bound, and how it was written."""
    value, bound = read_cell(column, text, accepted=True) if text else (None, 0)
    changed = {column.name: find(job, value) if isinstance(value, Ref) else value}
    if hasattr(record, f"{column.label}_bound"):
        changed[f"{column.label}_bound"] = bound
    if column.quantity:
        written = json.loads(record.as_written or "{}") | {column.label: text}
        changed["as_written"] = written_text({k: v for k, v in written.items() if v})
    return changed
