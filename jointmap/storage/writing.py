"""Writing records: new ones and new revisions; nothing is ever overwritten."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import Problem, WrongUse
from jointmap.register import FORMS, Form, Record, form_of
from jointmap.storage.canonical import (
    Plain,
    canonical_bytes,
    leaf_hash,
    leaf_values,
    plain,
    salt_of,
    tree_root,
)
from jointmap.storage.database import insert_rows
from jointmap.storage.entries import Entry, last_entry, make_entry, write_entry
from jointmap.storage.reading import each_current
from jointmap.storage.schema import table_of


@dataclass(slots=True)
class Known:
    """The current records of one kind while a transaction lasts."""

    by_id: dict[int, tuple[int, Record]] = field(default_factory=dict)
    by_key: dict[tuple[Any, ...], int] = field(default_factory=dict)
    next_id: int = 1

    def put(self, id: int, revision: int, record: Record) -> None:  # noqa: A002
        """Remember what is now the current revision of a record."""
        if id in self.by_id:
            self.by_key.pop(self.by_id[id][1].key(), None)
        self.by_id[id] = (revision, record)
        self.by_key[record.key()] = id
        self.next_id = max(self.next_id, id + 1)


@dataclass(slots=True)
class Writing:
    """One transaction on one site."""

    connection: Connection
    site_id: int
    site_code: str
    key: bytes
    before: Entry | None = None
    _known: dict[str, Known] = field(default_factory=dict)
    _rows: dict[str, list[tuple[object, ...]]] = field(default_factory=dict)
    _leaves: list[bytes] = field(default_factory=list)
    _superseded: list[tuple[str, int, int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.before = last_entry(self.connection, self.site_id)

    @property
    def entry_number(self) -> int:
        """The number that this transaction's entry will have."""
        return self.before.entry + 1 if self.before else 1

    def known(self, kind: str) -> Known:
        """Return the current records of ``kind``, this transaction's included."""
        if kind not in self._known:
            found = Known()
            for id_, revision, record in each_current(
                self.connection, self.site_id, FORMS[kind]
            ):
                found.put(id_, revision, record)
            self._known[kind] = found
        return self._known[kind]

    def add(self, record: Record) -> int:
        """Add a new record and return its id."""
        known = self.known(record.KIND)
        id_ = known.next_id
        self._write(record, id_, 1)
        return id_

    def revise(self, id: int, record: Record) -> int:  # noqa: A002
        """Add a new revision of a known record and return its number."""
        known = self.known(record.KIND)
        if id not in known.by_id:
            raise WrongUse(Problem("storage.no_record", {"kind": record.KIND}))
        revision = known.by_id[id][0]
        self._superseded.append((record.KIND, id, revision))
        self._write(record, id, revision + 1)
        return revision + 1

    @property
    def is_empty(self) -> bool:
        """Whether nothing was written so far."""
        return not self._leaves

    def finish(self, now: dt.datetime, by: str, reason: str) -> None:
        """Put all rows and the entry that seals them; without rows, nothing."""
        if self.is_empty:
            return
        self._supersede()
        for kind, rows in self._rows.items():
            insert_rows(self.connection, table_of(kind), rows)
        leaves = (len(self._leaves), tree_root(self._leaves))
        entry = make_entry(self.site_code, self.before, now, by, reason, leaves)
        write_entry(self.connection, self.site_id, entry)

    def _write(self, record: Record, id_: int, revision: int) -> None:
        form = form_of(type(record))
        values = [plain(v) for v in record.values()]
        salts = self._salts(form, id_, revision)
        data = canonical_bytes(form, id_, revision, leaf_values(form, values, salts))
        leaf = leaf_hash(data)
        lead = (self.site_id, id_, revision, self.entry_number, len(self._leaves), leaf)
        row = (*lead, None, *_with_salts(form, values, salts))
        self._rows.setdefault(form.kind, []).append(row)
        self._leaves.append(leaf)
        self.known(form.kind).put(id_, revision, record)

    def _salts(self, form: Form, id_: int, revision: int) -> dict[str, str]:
        if not form.withholds:
            return {}
        names = [c.name for c in form.columns if c.withheld]
        return {n: salt_of(self.key, form.kind, id_, revision, n) for n in names}

    def _supersede(self) -> None:
        # A record revised twice in one transaction has both revisions among the new
        # rows; those are closed before they are inserted.
        for kind, id_, revision in self._superseded:
            rows = self._rows[kind]
            place = next((n for n, r in enumerate(rows) if r[1:3] == (id_, revision)), -1)
            if place >= 0:
                row = rows[place]
                rows[place] = (*row[:6], self.entry_number, *row[7:])
            else:
                self._close(kind, id_, revision)

    def _close(self, kind: str, id_: int, revision: int) -> None:
        table = table_of(kind)
        this = (
            (table.c.site_id == self.site_id)
            & (table.c.id == id_)
            & (table.c.revision == revision)
        )
        values = {"superseded_by": self.entry_number}
        self.connection.execute(sa.update(table).where(this).values(values))


def _with_salts(
    form: Form, values: list[Plain], salts: Mapping[str, str]
) -> tuple[Plain, ...]:
    if not salts:
        return tuple(values)
    row: list[Plain] = []
    for column, value in zip(form.columns, values, strict=True):
        row.append(value)
        if column.withheld:
            row.append(salts[column.name])
    return tuple(row)
