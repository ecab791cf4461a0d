"""Readings by nobody named or without papers: one finding each person or instrument.

A site that kept no papers gets a line with a count, and not one for each test.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.register import Instrument, Person
from jointmap.register.codes import Outcome
from jointmap.register.columns import Flags, Ids, TestColumns
from jointmap.register.paper_states import (
    PaperState,
    lets_count,
    state_of,
)
from jointmap.tables import METHODS
from jointmap.tables.who_reads import methods_of_kind

NOBODY_NAMED = Kind("person_not_named", Gravity.LOOK, "record", "last")
NO_QUALIFICATION = Kind("person_without_paper", Gravity.LOOK, "record", "last")
OTHER_TASK = Kind("person_other_task", Gravity.LOOK, "common_practice", "last")
NOTHING_NAMED = Kind("instrument_not_named", Gravity.LOOK, "record", "last")
NO_CERTIFICATE = Kind("instrument_without_paper", Gravity.LOOK, "record", "last")
OTHER_KIND = Kind("instrument_other_kind", Gravity.LOOK, "common_practice", "last")
KIND_UNKNOWN = Kind("instrument_kind_unknown", Gravity.LOOK, "common_practice", "last")


@dataclass(frozen=True, slots=True)
class Several:
    """Rows of tests that are told in one finding."""

    tests: TestColumns
    rows: Ids

    @property
    def facts(self) -> Mapping[str, object]:
        """How many, from when to when, and by which methods."""
        tests, rows = self.tests, self.rows
        on = tests.tested_on[rows]
        used = np.unique(tests.method[rows]).tolist()
        return {
            "count": len(rows),
            "first": on.min().item(),
            "last": on.max().item(),
            "methods": ", ".join(METHODS[m].label for m in used if m >= 0),
        }

    def each(self, owner_id: Ids) -> Iterator[tuple[int, "Several"]]:
        """Yield the rows of each owner; ``owner_id`` has one a test."""
        own = owner_id[self.rows]
        order = np.argsort(own, kind="stable")
        ids, starts = np.unique(own[order], return_index=True)
        parts = np.split(self.rows[order], starts[1:])[: len(ids)]
        for id_, rows in zip(ids.tolist(), parts, strict=True):
            yield id_, Several(self.tests, rows)


@finds(NOBODY_NAMED, NO_QUALIFICATION, OTHER_TASK)
def persons_without(seen: Seen) -> Iterator[Found]:
    """Yield what was read by nobody named, and each person without a paper for it."""
    yield from _unnamed(seen, NOBODY_NAMED, Person.KIND)
    people = seen.site.state.people
    for kind, state in (
        (NO_QUALIFICATION, PaperState.NONE_ON_RECORD),
        (OTHER_TASK, PaperState.OTHER_TASK),
    ):
        for id_, own in _by_owner(seen, Person.KIND, state):
            about, who = About.called(people[id_].code), seen.site.person(id_)
            more = {"person": who, "tasks": _tasks(seen, id_)}
            yield seen.finding(kind, about, kind.id, **own.facts, **more)


@finds(NOTHING_NAMED, NO_CERTIFICATE, OTHER_KIND)
def instruments_without(seen: Seen) -> Iterator[Found]:
    """Yield what was read with nothing named, and each instrument that does not do."""
    yield from _unnamed(seen, NOTHING_NAMED, Instrument.KIND)
    instruments = seen.site.state.instruments
    for kind, state in (
        (NO_CERTIFICATE, PaperState.NONE_ON_RECORD),
        (OTHER_KIND, PaperState.OTHER_KIND),
    ):
        for id_, own in _by_owner(seen, Instrument.KIND, state):
            yield _of_instrument(seen, kind, instruments[id_], own)


@finds(KIND_UNKNOWN)
def kinds_unknown(seen: Seen) -> Iterator[Found]:
    """Yield each instrument in use of a kind of which is not known what it reads."""
    known, tests = seen.site.state.instruments, seen.site.assessed.tests
    odd = [id_ for id_, i in known.items() if methods_of_kind(i.kind) is None]
    if odd:
        used = seen.named_in_tests[Instrument.KIND]
        rows = np.flatnonzero(np.isin(used, odd) & _read(tests))
        several = Several(tests, rows)
        for id_, own in several.each(used):
            yield _of_instrument(seen, KIND_UNKNOWN, known[id_], own)


def _of_instrument(seen: Seen, kind: Kind, record: Instrument, own: Several) -> Found:
    more = {"instrument": record.name, "what": record.kind}
    return seen.finding(kind, About.called(record.name), kind.id, **own.facts, **more)


def _unnamed(seen: Seen, kind: Kind, whose: str) -> Iterator[Found]:
    """Yield one finding for the whole site: a test tells no more of who made it."""
    own = _told(seen, whose, PaperState.NONE_NAMED)
    if len(own.rows):
        about = About.called(seen.site.state.site.name)
        yield seen.finding(kind, about, kind.id, **own.facts)


def _by_owner(
    seen: Seen, whose: str, state: PaperState
) -> Iterator[tuple[int, Several]]:
    own = _told(seen, whose, state)
    if len(own.rows):
        yield from own.each(seen.named_in_tests[whose])


def _told(seen: Seen, whose: str, state: PaperState) -> Several:
    """Return the readings in a state that nobody decided to let count."""
    tests = seen.site.assessed.tests
    codes = getattr(tests, f"{whose}_paper")
    own: Flags = (state_of(codes) == state) & _read(tests)
    own &= ~lets_count(codes)
    return Several(tests, np.flatnonzero(own))


def _read(tests: TestColumns) -> Flags:
    read: Flags = tests.outcome == Outcome.MEASURED
    return read


def _tasks(seen: Seen, person_id: int) -> str:
    own = seen.site.state.qualifications.values()
    return ", ".join(sorted({q.task for q in own if q.person_id == person_id}))


MISSING_PAPER_FINDERS: tuple[Finder, ...] = (
    persons_without,
    instruments_without,
    kinds_unknown,
)
