"""What changed since a day or a state: new findings, closed ones, corrections."""

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from jointmap.assessment.assess import assess
from jointmap.errors import Problem, WrongUse
from jointmap.findings.every_finding import ALL_FINDERS, all_findings
from jointmap.findings.finder import Finder
from jointmap.findings.finding import About, Found
from jointmap.pages.asked import assessed, frame_of
from jointmap.pages.findings_shown import (
    HEADING,
    cells_of,
    rows_of,
    shown,
    table_of,
)
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text import csv_text
from jointmap.plain_text.shown import Block
from jointmap.register import FORMS
from jointmap.register.revision import Revision
from jointmap.register.told import Told
from jointmap.reports.views import Finding
from jointmap.reports.views_overview import Changed
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.snapshot import Snapshot
from jointmap.wording import say, say_told

Findings = Sequence[Found]
ByChange = Mapping[str, list[Finding]]  # new, closed, otherwise
# How far back the first page looks (our choice: from one month's sheets to the next).
DAYS_BACK = 30
# What says how long something has lasted is another number each day.
_LASTING = ("days",)
_HEADING = ("change", *HEADING)


@dataclass(frozen=True, slots=True)
class Changes:
    """What is new, what is gone, and what is said otherwise of the same thing."""

    new: list[Found]
    closed: list[Found]
    otherwise: list[Found]

    @classmethod
    def between(cls, then: Findings, now: Findings) -> "Changes":
        """Return how the findings of two states differ."""
        before, after = _by_key(then), _by_key(now)
        return cls(
            [f for f in now if _key(f) not in before],
            [f for f in then if _key(f) not in after],
            [f for f in now if _said(f) not in before.get(_key(f), [_said(f)])],
        )


def _key(found: Found) -> tuple[str, About]:
    return found.kind.id, found.about


def _said(found: Found) -> str:
    """Return the sentence of a finding without how long it has lasted."""
    return say_told(_but_lasting(found.told))


def _but_lasting(told: Told) -> Told:
    values = {k: v for k, v in told.values.items() if k not in _LASTING}
    kept = {k: _but_lasting(v) if isinstance(v, Told) else v for k, v in values.items()}
    return Told(told.id, kept)


def _by_key(findings: Findings) -> dict[tuple[str, About], list[str]]:
    by_key: dict[tuple[str, About], list[str]] = {}
    for found in findings:
        by_key.setdefault(_key(found), []).append(_said(found))
    return by_key


@dataclass(frozen=True, slots=True)
class Since:
    """Since when, by which finders, and in which form: ``table`` or ``csv``."""

    when: str
    finders: Sequence[Finder]
    form: str = "table"


def since_shown(
    site: SiteFolder, asked: Since, *, on: dt.date, known: dt.date | None
) -> tuple[list[Block] | str, int]:
    """Return what changed since a day or a fingerprint, and how much is new.

    A day stands for all that was known at its end, judged for that day; a fingerprint
    for the state that bears it, judged for the day it was recorded on.
    """
    with assessed(site, on, known) as (found, frame):
        now = Showing(found, frame)
        count, day = _state_meant(now, asked.when)
        later = all_findings(now, ShownTests(now), asked.finders)
        told = _told(site, now, later, count, min(day, on), asked.finders)
        corrected = _corrected_since(now.assessed.state, count)
    if asked.form == "csv":
        return csv_text(_HEADING, _cells(told, corrected)), len(told["new"])
    facts = {"since": asked.when, "entry": count}
    return [*_blocks(told, corrected, facts)], len(told["new"])


def changed_lately(site: SiteFolder, now: Showing, later: Findings) -> Changed | None:
    """Return what changed in the last days; None where nothing was known before.

    ``later`` is all that is found now.
    """
    on = now.frame.on - dt.timedelta(days=DAYS_BACK)
    count = _known_by(now, on)
    if not count:
        return None
    told = _told(site, now, later, count, on, ALL_FINDERS)
    corrected = _corrected_since(now.assessed.state, count)
    return Changed(
        since=on,
        summary=_summary(told, corrected, {"since": on, "entry": count}),
        new=tuple(told["new"]),
    )


def _told(
    site: SiteFolder,
    now: Showing,
    later: Findings,
    count: int,
    on: dt.date,
    finders: Sequence[Finder],
) -> ByChange:
    then = _judged_then(site, now, count, on)
    earlier = all_findings(then, ShownTests(then), finders)
    changes = Changes.between(earlier, later)
    return {
        "new": [shown(now, f) for f in changes.new],
        "closed": [shown(then, f) for f in changes.closed],
        "otherwise": [shown(now, f) for f in changes.otherwise],
    }


def _state_meant(now: Showing, since: str) -> tuple[int, dt.date]:
    """Return how many entries the state meant has, and the day to judge it for."""
    entries = now.assessed.state.entries
    days = [now.state.local_day(entry.entry) for entry in entries]
    for entry, day in zip(entries, days, strict=True):
        if since == entry.fingerprint:
            return entry.entry, day
    day_asked = _day(since)
    count = 0 if day_asked is None else _known_by(now, day_asked)
    if day_asked is None or not count:
        facts = {"value": since, "first": days[0], "last": entries[-1].fingerprint}
        raise WrongUse(Problem("since.unknown", facts, value=since))
    return count, day_asked


def _known_by(now: Showing, day: dt.date) -> int:
    """Return how many entries there were at the end of a day."""
    entries = now.assessed.state.entries
    return sum(now.state.local_day(entry.entry) <= day for entry in entries)


def _day(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        return None


def _judged_then(site: SiteFolder, now: Showing, count: int, on: dt.date) -> Showing:
    state = now.assessed.state.at_entry(count).on_day(on)
    return Showing(assess(state, on), frame_of(site, state, on, None))


def _corrected_since(state: Snapshot, count: int) -> dict[str, int]:
    """Return how many records of each kind were corrected after an entry."""
    found = {
        kind: sum(
            any(_is_after(r, count) for r in revisions)
            for revisions in state.corrected_of(form.record)
        )
        for kind, form in FORMS.items()
    }
    return {kind: number for kind, number in found.items() if number}


def _is_after(revision: Revision, count: int) -> bool:
    return revision.revision > 1 and revision.entry > count


def _summary(
    told: ByChange, corrected: Mapping[str, int], facts: Mapping[str, object]
) -> str:
    numbers = {word: len(found) for word, found in told.items()}
    corrections = {"corrected": sum(corrected.values())}
    return say("since.summary", {**facts, **numbers, **corrections})


def _blocks(
    told: ByChange, corrected: Mapping[str, int], facts: Mapping[str, object]
) -> Iterator[Block]:
    yield _summary(told, corrected, facts)
    rows = [
        row for word, found in told.items() for row in rows_of(found, f"since.{word}")
    ]
    if rows:
        yield table_of(rows)
    yield from _corrections(corrected).values()


def _corrections(corrected: Mapping[str, int]) -> dict[str, str]:
    """Return by kind of record how many were corrected, in a sentence."""
    named = {kind: kind.replace("_", " ") for kind in corrected}
    return {
        kind: say("since.corrected", {"kind": named[kind], "count": number})
        for kind, number in corrected.items()
    }


def _cells(told: ByChange, corrected: Mapping[str, int]) -> Iterator[tuple[str, ...]]:
    """Yield the cells of each change as CSV; of a correction its kind and sentence."""
    for word, found in told.items():
        yield from ((word, *cells) for cells in cells_of(found))
    for kind, sentence in _corrections(corrected).items():
        own = {"kind": kind, "because": sentence}
        yield "corrected", *(own.get(name, "") for name in HEADING)
