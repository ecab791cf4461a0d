"""What was recorded late: the day it happened, the day it was recorded, the delay."""

import datetime as dt
from collections.abc import Iterator
from itertools import pairwise
from typing import cast

from jointmap.plain_text import csv_text
from jointmap.plain_text.shown import Block, Column, Table
from jointmap.register import (
    Alias,
    Altered,
    Certificate,
    Decision,
    Device,
    Installation,
    IsolationTest,
    Joint,
    Occurrence,
    ParallelPath,
    Record,
)
from jointmap.register.altered import TEXTS
from jointmap.register.revision import Revision
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.snapshot import Snapshot, snapshot_of
from jointmap.wording import say

# What tells, of each kind, when it happened.
_HAPPENED: dict[type[Record], str] = {
    IsolationTest: "tested_on",
    Installation: "installed_on",
    Device: "fitted_on",
    Occurrence: "happened_on",
    Certificate: "valid_from_on",
    Decision: "decided_on",
}
# What ends a thing that is on record: the day that a later revision gives it.
_ENDED: dict[type[Record], str] = {
    Joint: "out_of_duty_on",
    Device: "removed_on",
    ParallelPath: "removed_on",
}
_OF_DUTY = ("state", "out_of_duty_on", TEXTS)
_HEADING = ("kind", "what", "happened_on", "recorded_on", "delay_days", "by", "why")


def late_shown(
    site: SiteFolder, *, days: int, known: dt.date | None, form: str = "table"
) -> tuple[list[Block] | str, int]:
    """Return what was first recorded more than ``days`` days late, and how much it is.

    The longest delay comes first. An end that a later revision gave, and an older name,
    are recorded with it. ``form`` is ``table`` or ``csv``.
    """
    with snapshot_of(site.register, known) as state:
        found = sorted(_late(state, days), key=lambda r: (-int(r[4]), r))
    if form == "csv":
        return csv_text(_HEADING, found), len(found)
    if not found:
        return [say("late.none", {"days": days})], 0
    return [Table.of(_columns(), map(_row, found))], len(found)


def _columns() -> Iterator[Column]:
    yield Column(say("terminal.happened"))
    yield Column(say("terminal.recorded"))
    yield Column(say("terminal.delay"), 6, is_number=True)
    yield Column(say("terminal.late_of"))


def _row(late: tuple[str, ...]) -> tuple[str, ...]:
    told = dict(zip(_HEADING, late, strict=True))
    days = told["happened_on"], told["recorded_on"], told["delay_days"]
    return (*days, say("late.line", told))


def _late(state: Snapshot, days: int) -> Iterator[tuple[str, ...]]:
    for named, happened, revision in _happened(state):
        on = state.local_day(revision.entry)
        delay = (on - happened).days
        if delay > days:
            entry, what = state.entry(revision.entry), state.name_of(revision.record)
            who = (entry.recorded_by, entry.reason)
            yield named, what, str(happened), str(on), str(delay), *who


def _happened(state: Snapshot) -> Iterator[tuple[str, dt.date, Revision]]:
    """Yield what happened by name, its day, and the revision that told of it first."""
    for kind, column in _HAPPENED.items():
        for revision in state.every_revision(kind):
            if revision.revision == 1:
                name = kind.KIND.replace("_", " ")
                yield name, getattr(revision.record, column), revision
    for kind, column in _ENDED.items():
        named = say("late.end", {"kind": kind.KIND})
        for old, new in _corrections(state, kind):
            before, ended = (getattr(r.record, column) for r in (old, new))
            if ended is not None and ended != before:
                yield named, ended, new
    yield from _altered(state)
    yield from _renamed(state)


def _altered(state: Snapshot) -> Iterator[tuple[str, dt.date, Revision]]:
    """Yield what was altered, but for the end of a duty, which is told as one."""
    for revision in state.every_revision(Altered):
        row = cast("Altered", revision.record)
        if row.column not in _OF_DUTY and revision.revision == 1:
            yield say("late.altered"), row.until_on, revision


def _corrections(
    state: Snapshot, kind: type[Record]
) -> Iterator[tuple[Revision, Revision]]:
    for revisions in state.corrected_of(kind):
        yield from pairwise(revisions)


def _renamed(state: Snapshot) -> Iterator[tuple[str, dt.date, Revision]]:
    """Yield each older name of a joint that came in with the new one."""
    given = {
        (new.id, new.entry)
        for old, new in _corrections(state, Joint)
        if old.record.key() != new.record.key()
    }
    for revision in state.every_revision(Alias):
        alias = cast("Alias", revision.record)
        if (alias.joint_id, revision.entry) in given and alias.until_on is not None:
            yield say("late.name"), alias.until_on, revision
