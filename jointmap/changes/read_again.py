"""A test that is on record already: read again, told by another, or corrected whole.

Nobody took a reading that is made of cells of two. So a test that differs in several
cells waits as one row, and is corrected whole; one that equals a test on record but for
who read it, or when, waits with two proposals: the same reading, or a second one.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

from jointmap.changes.differing import differing, shown
from jointmap.changes.holding import ROW
from jointmap.changes.revise import as_written, put, values_of
from jointmap.changes.rows.find_record import key_of, record_called
from jointmap.changes.rows.resolve import heading_of
from jointmap.errors import Problem
from jointmap.exchange import SHEETS, Draft
from jointmap.register import ABOUT_THE_ROW, FORMS, Held, IsolationTest, Record
from jointmap.register.testing import PLACE_OF_SCOPE
from jointmap.storage import Writing

WHOLE, AGAIN = "row.test_differs", "row.test_again"
_WHO = IsolationTest.KEY.index("person_id")
# Of two equal readings these tell who read, when, and what beside.
_BESIDE = {"person_id", "tested_at", "witness_id", "ground", "weather", "remark"}
_READ = tuple(
    c.name
    for c in FORMS[IsolationTest.KIND].columns
    if c.name not in (*_BESIDE, *ABOUT_THE_ROW)
)


@dataclass(slots=True)
class ReadAgain:
    """The tests on record by their natural key without the person."""

    job: Writing
    # In bulk: ids by the hash of such a key; a million keys would be large.
    _ids: dict[int, tuple[int, ...]] | None = None

    def note(self, id_: int, record: Record) -> None:
        """Remember a test that was put on record."""
        if record.KIND == IsolationTest.KIND and self._ids is not None:
            _keep(self._ids, id_, record.key())

    def meant(self, draft: Draft, record: Record) -> int | None:
        """Return the one test that a row means which names no person, or corrects."""
        if record.KIND != IsolationTest.KIND:
            return None
        if not draft.reason and cast("IsolationTest", record).person_id is not None:
            return None
        found = self._alike(record)
        return found[0][0] if len(found) == 1 else None

    def twin(self, record: Record) -> IsolationTest | None:
        """Return the test on record that has the same reading by somebody else."""
        if record.KIND != IsolationTest.KIND:
            return None
        alike = (old for _, old in self._alike(record))
        return next((old for old in alike if _values(old) == _values(record)), None)

    def _alike(self, record: Record) -> list[tuple[int, IsolationTest]]:
        known, rest = self.job.known(record.KIND), _rest(record.key())
        if known.in_bulk:
            ids = self._in_bulk().get(hash(rest), ())
            found: Iterable[tuple[int, Record]] = ((i, known.record(i)) for i in ids)
        else:
            found = known.having(**_asked_for(record))
        return [
            (id_, cast("IsolationTest", old))
            for id_, old in found
            if _rest(old.key()) == rest
        ]

    def _in_bulk(self) -> dict[int, tuple[int, ...]]:
        if self._ids is None:
            self._ids = {}
            for key, id_ in self.job.known(IsolationTest.KIND).by_key.items():
                _keep(self._ids, id_, key)
        return self._ids


def _keep(ids: dict[int, tuple[int, ...]], id_: int, key: tuple[Any, ...]) -> None:
    code = hash(_rest(key))
    ids[code] = (*ids.get(code, ()), id_)


def _rest(key: tuple[Any, ...]) -> tuple[Any, ...]:
    return key[:_WHO] + key[_WHO + 1 :]


def _values(record: Record) -> tuple[Any, ...]:
    return tuple(getattr(record, name) for name in _READ)


def _asked_for(record: Record) -> dict[str, object]:
    """Return the place and the day, by which there is an index."""
    names = dict.fromkeys(PLACE_OF_SCOPE.values())
    place = {n: v for n in names if (v := getattr(record, n)) is not None}
    return {**place, "tested_on": cast("IsolationTest", record).tested_on}


def whole_row(job: Writing, draft: Draft, old: Record, new: Record) -> Problem:
    """Return the doubt about a test that differs in several cells."""
    labels = differing(old, new)
    headings = {label: heading_of(draft.sheet, label) for label in labels}
    cells = {headings[label]: shown(job, new, label) for label in labels}
    before = [
        f"{headings[label]} {shown(job, old, label) or 'blank'}" for label in labels
    ]
    facts = {"old": ", ".join(before), "row": _text(cells)}
    return Problem(WHOLE, facts, column=ROW, value=_as_value(cells))


def read_again(job: Writing, draft: Draft, old: Record, new: Record) -> Problem:
    """Return the doubt about a test that somebody else has on record already."""
    columns = FORMS[new.KIND].columns
    named = [c.label for c in columns if c.name not in ABOUT_THE_ROW]
    # A bound stands in its reading's cell.
    labels = dict.fromkeys(label.removesuffix("_bound") for label in named)
    every = {heading_of(draft.sheet, n): shown(job, new, n) for n in labels}
    cells = {heading: text for heading, text in every.items() if text}
    said = {h: t for h, t in cells.items() if h in ("person", "tested_at")}
    facts = {"old": key_of(job, old), "row": _text(cells)}
    return Problem(AGAIN, facts, column=ROW, value=_as_value(said))


def _text(cells: Mapping[str, str]) -> str:
    return json.dumps(cells, ensure_ascii=False, sort_keys=True)


def _as_value(cells: Mapping[str, str]) -> str:
    return ", ".join(f"{heading} {text}" for heading, text in cells.items())


def decide_row(job: Writing, held: Held, reason: str, *, accept: bool) -> None:
    """Do with a test that waits as a row what was decided.

    What differs is corrected whole, or left. What somebody else read alike is the same
    reading, which learns who and when, or a second one beside it.
    """
    sheet, details = SHEETS[held.sheet], json.loads(held.details or "{}")
    cells = json.loads(details["row"])
    if held.doubt == AGAIN and not accept:
        values = values_of(job, sheet, cells)
        written = as_written(sheet, "", cells)
        job.add(IsolationTest(**values, as_written=written, origin=held.origin))
        return
    if not accept:
        return
    name, given = held.subject_key, cells
    if held.doubt == AGAIN:
        beside = {c.label for c in FORMS[sheet.kind].columns if c.name in _BESIDE}
        name, given = details["old"], {h: t for h, t in cells.items() if h in beside}
    id_ = record_called(job, sheet.kind, name)
    old = job.known(sheet.kind).record(id_)
    values = values_of(job, sheet, given)
    values["as_written"] = as_written(sheet, old.as_written, given)
    put(job, id_, replace(old, **values), reason)
