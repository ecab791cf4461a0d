"""What a transaction knows of one kind of record; read only as far as it is asked."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol, TypeAlias

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.register import FORMS, Form, Record
from jointmap.register.testing import PLACE_OF_SCOPE
from jointmap.storage.chain.canonical import plain
from jointmap.storage.like_names import may_look_like, may_read_alike
from jointmap.storage.reading import record_maker, value_reader
from jointmap.storage.schema import table_of

Key: TypeAlias = tuple[Any, ...]
Names: TypeAlias = tuple[str, ...]
# So many rows are looked up one by one whatever there is: it takes no time to speak of.
ALWAYS_FEW = 100
_SHARE = 100  # beyond, a kind is read whole for more than one row in so many


def reads_in_bulk(rows: int, last_id: int) -> bool:
    """Whether a transaction of so many rows reads a kind whole, not row by row."""
    return rows > max(ALWAYS_FEW, last_id // _SHARE)


@dataclass(slots=True)
class Known:
    """The current records of one kind while a transaction lasts.

    ``id_of``, ``current`` and ``having`` look single records up by index, or in what
    was read whole where the transaction brings many rows (``in_bulk``). ``by_id`` and
    ``by_key`` read the kind whole. What was written since is kept up in either.
    """

    connection: Connection
    site_id: int
    form: Form
    next_id: int = 1
    in_bulk: bool = False
    _by_id: dict[int, tuple[int, Record]] | None = None
    _by_key: dict[Key, int] | None = None
    # Looked up, or written and not yet asked for whole.
    _some: dict[int, tuple[int, Record]] = field(default_factory=dict)
    _ids: dict[Key, int | None] = field(default_factory=dict)
    _asked: set[tuple[Names, Key]] = field(default_factory=set)
    # Ids by the values under some names, of the records that are here.
    _groups: dict[Names, dict[Key, set[int]]] = field(default_factory=dict)

    @property
    def is_empty(self) -> bool:
        """Whether there is no record of this kind."""
        return self.next_id == 1

    @property
    def by_id(self) -> dict[int, tuple[int, Record]]:
        """Revision and record by id, of all records."""
        if self._by_id is None:
            self._by_id = self._stored({}) | self._some
            self._some, self._groups = {}, {}
        return self._by_id

    @property
    def by_key(self) -> dict[Key, int]:
        """Id by natural key, of all records."""
        if self._by_key is None:
            # Once whole records are here, they are what is current.
            reads = self.in_bulk and self._by_id is None
            here = self._some if reads else self.by_id
            stored = dict(self._keys({})) if reads else {}
            self._by_key = stored | {r.key(): id_ for id_, (_, r) in here.items()}
        return self._by_key

    def id_of(self, key: Key) -> int | None:
        """Return the id of the record with a natural key; None where there is none."""
        if self._is_whole or self._by_key is not None:
            return self.by_key.get(key)
        if key not in self._ids:
            found = self._keys(_asked_for(self.form, key))
            self._ids[key] = dict(found).get(key)
        return self._ids[key]

    def current(self, id_: int | None) -> tuple[int, Record] | None:
        """Return revision and record of an id; None where there is none."""
        if self._is_whole:
            return self.by_id.get(id_ or 0)
        if id_ is not None and id_ not in self._some:
            self._take(self._stored({"id": id_}))
        return self._some.get(id_ or 0)

    def record(self, id_: int | None) -> Record:
        """Return the record of an id that is on record."""
        found = self.current(id_)
        if found is None:
            raise KeyError(id_)
        return found[1]

    def having(self, **values: object) -> list[tuple[int, Record]]:
        """Return ids and records that hold these values, by id."""
        names, key = tuple(values), tuple(values.values())
        if not self._is_whole and (names, key) not in self._asked:
            self._asked.add((names, key))
            self._take(self._stored(values))
        ids = self._group(names).get(key, ())
        return [(id_, self.record(id_)) for id_ in sorted(ids)]

    def filled(self, name: str) -> list[tuple[int, Record]]:
        """Return ids and records that hold anything in a column, by id."""
        if not self._is_whole:
            column = table_of(self.form.kind).c[name]
            self._take(self._stored({}, column.is_not(None)))
        here = sorted(self._here.items())
        return [(i, r) for i, (_, r) in here if getattr(r, name) is not None]

    def words(self, name: str) -> set[str]:
        """Return the different texts of a column."""
        if self._is_whole:
            return {getattr(r, name) for _, r in self.by_id.values()}
        column = table_of(self.form.kind).c[name]
        query = sa.select(column).where(self._now()).distinct()
        stored = self.connection.execute(query).scalars()
        return {*stored, *(getattr(r, name) for _, r in self._some.values())}

    def keys_like(self, **parts: object) -> Iterable[Key]:
        """Return the natural keys whose texts may look like these, by id; all in bulk.

        What is no text is the same in all of them.
        """
        if self._is_whole:
            return self.by_key
        dialect, table = self.connection.dialect.name, table_of(self.form.kind)
        values = {n: part for n, part in parts.items() if type(part) is not str}
        texts = [
            may_look_like(table.c[n], part, dialect)
            for n, part in parts.items()
            if type(part) is str
        ]
        return [found for found, _ in self._keys(values, *texts)]

    def keys_alike(self, name: str, look: str) -> Iterable[Key]:
        """Return the natural keys whose text in a column may have a look, by id."""
        if self._is_whole:
            return self.by_key
        column = table_of(self.form.kind).c[name]
        dialect = self.connection.dialect.name
        return [key for key, _ in self._keys({}, may_read_alike(column, look, dialect))]

    def read_whole(self) -> None:
        """Read all records, as whoever asks for many of them does."""
        self._by_id = self.by_id

    def put(self, id: int, revision: int, record: Record) -> None:  # noqa: A002
        """Remember what is now the current revision of a record."""
        old = self.current(id) if revision > 1 else None
        if old is not None:
            self._leave(id, old[1])
        if self._by_key is not None:
            self._by_key[record.key()] = id
        elif not self._is_whole:
            self._ids[record.key()] = id
        self._keep(id, revision, record)
        self.next_id = max(self.next_id, id + 1)

    def forget_fresh(self) -> None:
        """Let go of what is in the database by now and can be read from there."""
        self._some, self._ids, self._asked = {}, {}, set()
        if self._by_id is None:
            self._groups = {}

    @property
    def _is_whole(self) -> bool:
        return self.in_bulk or self._by_id is not None

    @property
    def _here(self) -> dict[int, tuple[int, Record]]:
        return self.by_id if self._is_whole else self._some

    def _leave(self, id_: int, old: Record) -> None:
        """Forget what a record was called, and what it belonged to."""
        key = old.key()
        if self._by_key is not None and self._by_key.get(key) == id_:
            del self._by_key[key]
        if self._ids.get(key, id_) == id_:
            self._ids[key] = None
        for names, group in self._groups.items():
            group.get(_values(old, names), set()).discard(id_)

    def _take(self, found: Mapping[int, tuple[int, Record]]) -> None:
        """Keep what was read, but for records that were written since."""
        for id_, (revision, record) in found.items():
            if id_ not in self._some:
                self._keep(id_, revision, record)

    def _keep(self, id_: int, revision: int, record: Record) -> None:
        kept = self._some if self._by_id is None else self._by_id
        kept[id_] = (revision, record)
        for names, group in self._groups.items():
            group.setdefault(_values(record, names), set()).add(id_)

    def _group(self, names: Names) -> dict[Key, set[int]]:
        here = self._here
        if names not in self._groups:
            group: dict[Key, set[int]] = {}
            for id_, (_, record) in here.items():
                group.setdefault(_values(record, names), set()).add(id_)
            self._groups[names] = group
        return self._groups[names]

    def _keys(
        self, values: Mapping[str, object], *more: sa.ColumnElement[bool]
    ) -> list[tuple[Key, int]]:
        """Return the stored natural keys where columns hold these values, by id."""
        columns = {c.name: c for c in self.form.columns}
        back = [value_reader(columns[n]) for n in self.form.key]
        return [
            (tuple(f(v) for f, v in zip(back, row[1:], strict=True)), row[0])
            for row in self._rows(["id", *self.form.key], values, more)
        ]

    def _stored(
        self, values: Mapping[str, object], *more: sa.ColumnElement[bool]
    ) -> dict[int, tuple[int, Record]]:
        """Return the stored records where columns hold these values, by id."""
        make = record_maker(self.form)
        names = ["id", "revision", *(c.name for c in self.form.columns)]
        rows = self._rows(names, values, more)
        return {row[0]: (row[1], make(row[2:])) for row in rows}

    def _rows(
        self,
        names: Sequence[str],
        values: Mapping[str, object],
        more: Sequence[sa.ColumnElement[bool]],
    ) -> Iterable[Any]:
        """Return current rows by their id, which is the first of the names."""
        table = table_of(self.form.kind)
        which = [self._now(), *self._where(values), *more]
        query = sa.select(*(table.c[n] for n in names)).where(*which)
        if len(which) == 1:
            return self.connection.execute(query.order_by(table.c.id))
        # To give few rows in order, a planner might go through all by their id.
        return sorted(self.connection.execute(query), key=lambda row: row[0])

    def _where(self, values: Mapping[str, object]) -> list[sa.ColumnElement[bool]]:
        table = table_of(self.form.kind)
        return [
            table.c[n].is_(None) if v is None else table.c[n] == plain(v)
            for n, v in values.items()
        ]

    def _now(self) -> sa.ColumnElement[bool]:
        table = table_of(self.form.kind)
        return (table.c.site_id == self.site_id) & table.c.superseded_by.is_(None)


def _values(record: Record, names: Names) -> Key:
    return tuple(getattr(record, name) for name in names)


# The places of a test, each with an index of its own.
_PLACES = frozenset(PLACE_OF_SCOPE.values())


def _asked_for(form: Form, key: Key) -> dict[str, object]:
    """Return the values to look a key up by.

    Of a test not the places that it is not at: a planner might take the index of joints
    for all tests without a joint. The keys found are compared whole.
    """
    values = dict(zip(form.key, key, strict=True))
    return {n: v for n, v in values.items() if v is not None or n not in _PLACES}


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


def known_of(connection: Connection, site_id: int, kind: str, rows: int = 0) -> Known:
    """Return what is known of ``kind``, with nothing read but its last id.

    ``rows`` is how many the transaction is to bring.
    """
    table = table_of(kind)
    last = sa.select(sa.func.max(table.c.id)).where(table.c.site_id == site_id)
    last_id = connection.execute(last).scalar() or 0
    in_bulk = reads_in_bulk(rows, last_id)
    return Known(connection, site_id, FORMS[kind], last_id + 1, in_bulk)
