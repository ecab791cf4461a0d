"""What a transaction knows of one kind of record; read only as far as it is asked."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.register import FORMS, Form, Record
from jointmap.storage.reading import record_maker, value_reader
from jointmap.storage.schema import table_of

Key = tuple[Any, ...]


@dataclass(slots=True)
class Known:
    """The current records of one kind while a transaction lasts.

    A load of new rows needs their keys; a correction needs whole records. Each is read
    when it is first asked for, and kept up from then on.
    """

    connection: Connection
    site_id: int
    form: Form
    next_id: int = 1
    _by_id: dict[int, tuple[int, Record]] | None = None
    _by_key: dict[Key, int] | None = None
    # Written before the records were first asked for.
    _fresh: dict[int, tuple[int, Record]] = field(default_factory=dict)

    @property
    def by_id(self) -> dict[int, tuple[int, Record]]:
        """Revision and record by id."""
        if self._by_id is None:
            make = record_maker(self.form)
            names = [c.name for c in self.form.columns]
            rows: Any = self._current(["revision", *names])
            self._by_id = {row[0]: (row[1], make(row[2:])) for row in rows}
            self._by_id |= self._fresh
            self._fresh = {}
        return self._by_id

    def record(self, id: int) -> Record:  # noqa: A002
        """Return one record by its id, without reading the others."""
        known = self._fresh if self._by_id is None else self._by_id
        if id in known:
            return known[id][1]
        names = [c.name for c in self.form.columns]
        only = table_of(self.form.kind).c.id == id
        row: Any = self._current(names, only).one()
        return record_maker(self.form)(row[1:])

    @property
    def by_key(self) -> dict[Key, int]:
        """Id by natural key."""
        if self._by_key is None:
            # Once whole records are here, they are what is current.
            fresh = self._fresh if self._by_id is None else self._by_id
            self._by_key = self._stored_keys() if self._by_id is None else {}
            self._by_key |= {r.key(): id_ for id_, (_, r) in fresh.items()}
        return self._by_key

    def _stored_keys(self) -> dict[Key, int]:
        columns = {c.name: c for c in self.form.columns}
        back = [value_reader(columns[n]) for n in self.form.key]
        rows: Any = self._current(self.form.key)
        return {
            tuple(f(v) for f, v in zip(back, row[1:], strict=True)): row[0]
            for row in rows
        }

    def put(self, id: int, revision: int, record: Record) -> None:  # noqa: A002
        """Remember what is now the current revision of a record."""
        if self._by_key is not None:
            old = self.by_id[id][1].key() if revision > 1 else None
            if old is not None and self._by_key.get(old) == id:
                del self._by_key[old]
            self._by_key[record.key()] = id
        kept = self._fresh if self._by_id is None else self._by_id
        kept[id] = (revision, record)
        self.next_id = max(self.next_id, id + 1)

    def forget_fresh(self) -> None:
        """Let go of what is in the database by now and can be read from there."""
        self._fresh = {}

    def _current(
        self, names: Sequence[str], *only: sa.ColumnElement[bool]
    ) -> sa.CursorResult[Any]:
        table = table_of(self.form.kind)
        query = sa.select(table.c.id, *(table.c[n] for n in names)).where(
            table.c.site_id == self.site_id, table.c.superseded_by.is_(None), *only
        )
        return self.connection.execute(query.order_by(table.c.id))


class Knows(Protocol):
    """Whatever can say which records are current."""

    def known(self, kind: str) -> Known:
        """Return the current records of ``kind``."""


@dataclass(frozen=True, slots=True)
class Current:
    """The current records of one site, to look things up in."""

    connection: Connection
    site_id: int
    _known: dict[str, Known] = field(default_factory=dict)

    def known(self, kind: str) -> Known:
        """Return the current records of ``kind``."""
        if kind not in self._known:
            self._known[kind] = known_of(self.connection, self.site_id, kind)
        return self._known[kind]


def known_of(connection: Connection, site_id: int, kind: str) -> Known:
    """Return what is known of ``kind``, with nothing read but its last id."""
    table = table_of(kind)
    last = sa.select(sa.func.max(table.c.id)).where(table.c.site_id == site_id)
    next_id = (connection.execute(last).scalar() or 0) + 1
    return Known(connection, site_id, FORMS[kind], next_id)
