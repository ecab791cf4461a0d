"""Writing records: new ones and new revisions; nothing is ever overwritten."""

import datetime as dt
import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import Problem, WrongUse
from jointmap.register import FORMS, Form, Record, form_of
from jointmap.register.rights.roles import MAY_BEGIN
from jointmap.storage.chain.canonical import (
    Plain,
    canonical_bytes,
    leaf_values,
    plain,
    salt_of,
)
from jointmap.storage.chain.entries import (
    Entry,
    Said,
    Sealed,
    last_entry,
    make_entry,
    read_entries_from,
    write_entry,
)
from jointmap.storage.chain.hash_tree import GrowingTree, leaf_hash
from jointmap.storage.database import insert_rows
from jointmap.storage.known import Known, known_of
from jointmap.storage.past_people import PastPeople
from jointmap.storage.permission import Permission
from jointmap.storage.schema import table_of

AT_ONCE = 10_000  # rows that go to the database together


@dataclass(slots=True)
class Writing:
    """One transaction on one site."""

    connection: Connection
    site_id: int
    site_code: str
    key: bytes
    by: str | None = None  # whose roles are asked; None: nobody's, for mechanics only
    # How many are to come in, as far as known: for many, kinds are read whole.
    rows: int = 0
    before: Entry | None = None
    found: object = None  # what the trial of it returned
    permission: Permission = field(init=False)
    _known: dict[str, Known] = field(default_factory=dict)
    _rows: dict[str, list[tuple[object, ...]]] = field(default_factory=dict)
    _tree: GrowingTree = field(default_factory=GrowingTree)
    _forms: dict[str, int] = field(default_factory=dict)
    _waiting: int = 0
    _entry_number: int = 1
    # Of records written in this transaction: where the current revision's row stands.
    _places: dict[tuple[str, int], int] = field(default_factory=dict)
    _closed: dict[str, list[tuple[int, int]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.before = last_entry(self.connection, self.site_id)
        self._entry_number = self.before.entry + 1 if self.before else 1
        begun = self.by is not None and self._has_begun()
        self.permission = Permission(self.by, begun)

    def _has_begun(self) -> bool:
        """Whether anybody, in any revision, ever had a role that brings people in."""
        table, words = table_of("person"), [role.value for role in MAY_BEGIN]
        query = sa.select(table.c.id).where(
            table.c.site_id == self.site_id, table.c.role.in_(words)
        )
        return self.connection.execute(query.limit(1)).first() is not None

    @property
    def entry_number(self) -> int:
        """The number that this transaction's entry will have."""
        return self._entry_number

    def recorded_at(self, number: int) -> dt.datetime | None:
        """Return when an entry on record was recorded; None for no such entry."""
        found = read_entries_from(self.connection, self.site_id, number)[:1]
        return next((e.recorded_at for e in found if e.entry == number), None)

    def known(self, kind: str) -> Known:
        """Return the current records of ``kind``, this transaction's included."""
        if kind not in self._known:
            own = self.connection, self.site_id
            self._known[kind] = known_of(*own, kind, self.rows)
        return self._known[kind]

    def add(self, record: Record) -> int:
        """Add a new record and return its id."""
        known = self.known(record.KIND)
        id_ = known.next_id
        self._write(record, id_, 1)
        return id_

    def revise(self, id: int, record: Record) -> int:  # noqa: A002
        """Add a new revision of a known record and return its number."""
        found = self.known(record.KIND).current(id)
        if found is None:
            raise WrongUse(Problem("storage.no_record", {"kind": record.KIND}))
        revision = found[0]
        self._close(record.KIND, id, revision)
        self._write(record, id, revision + 1)
        return revision + 1

    def add_plain(self, kind: str, rows: Iterable[Sequence[Plain]]) -> None:
        """Add new records given as plain values in the order of the form's columns.

        For very many rows that are known to be sound and new: no record is made.
        """
        form, known = FORMS[kind], self.known(kind)
        self.permission.note_plain(kind)
        self._flush()
        number = itertools.count(known.next_id)
        for some in _batches(rows):
            ready = [self._row(form, next(number), 1, values) for values in some]
            insert_rows(self.connection, table_of(kind), ready)
        self._known[kind] = known_of(self.connection, self.site_id, kind)

    @property
    def is_empty(self) -> bool:
        """Whether nothing was written so far."""
        return not self._tree.count

    def finish(self, said: Said) -> None:
        """Put all rows and the entry that seals them; without rows, nothing."""
        if self.is_empty:
            return
        self.check_permission()
        self._flush()
        sealed = Sealed(self._tree.count, self._tree.root(), self._forms)
        entry = make_entry(self.site_code, self.before, said, sealed)
        write_entry(self.connection, self.site_id, entry)

    def check_permission(self) -> None:
        """Refuse what the one who records may not, all of it named at once."""
        own = self.connection, self.site_id, self.entry_number
        past = PastPeople(*own, self.known("person"))
        self.permission.check(self.known, past)

    def _write(self, record: Record, id_: int, revision: int) -> None:
        form = form_of(type(record))
        known = self.known(form.kind)
        old = known.record(id_) if revision > 1 else None
        self.permission.note(id_, old, record)
        rows = self._rows.setdefault(form.kind, [])
        self._places[form.kind, id_] = len(rows)
        rows.append(self._row(form, id_, revision, [plain(v) for v in record.values()]))
        known.put(id_, revision, record)
        self._waiting += 1
        if self._waiting == AT_ONCE:
            self._flush()

    def _row(
        self, form: Form, id_: int, revision: int, values: Sequence[Plain]
    ) -> tuple[object, ...]:
        salts = self._salts(form, id_, revision)
        inside = leaf_values(form.columns, values, salts) if salts else values
        leaf = leaf_hash(canonical_bytes(form, id_, revision, inside))
        place = (self.entry_number, self._tree.count, leaf)
        self._tree.push(leaf)
        self._forms[form.kind] = form.number
        own = _with_salts(form, values, salts)
        return (self.site_id, id_, revision, *place, None, *own)

    def _flush(self) -> None:
        """Send the rows so far to the database; those they replace are closed first."""
        self._supersede()
        for kind, rows in self._rows.items():
            insert_rows(self.connection, table_of(kind), rows)
            self._known[kind].forget_fresh()
        self._rows, self._places, self._closed, self._waiting = {}, {}, {}, 0

    def _salts(self, form: Form, id_: int, revision: int) -> dict[str, str]:
        if not form.withholds:
            return {}
        names = [c.name for c in form.columns if c.withheld]
        return {n: salt_of(self.key, form.kind, id_, revision, n) for n in names}

    def _close(self, kind: str, id_: int, revision: int) -> None:
        # A record revised twice in one transaction has both revisions among the new
        # rows; the first of them is closed before it is inserted.
        place = self._places.get((kind, id_))
        if place is None:
            self._closed.setdefault(kind, []).append((id_, revision))
            return
        row = self._rows[kind][place]
        self._rows[kind][place] = (*row[:6], self.entry_number, *row[7:])

    def _supersede(self) -> None:
        for kind, closed in self._closed.items():
            table = table_of(kind)
            this = (
                (table.c.site_id == self.site_id)
                & (table.c.id == sa.bindparam("this_id"))
                & (table.c.revision == sa.bindparam("this_revision"))
            )
            update = sa.update(table).where(this)
            names = ("this_id", "this_revision")
            self.connection.execute(
                update.values(superseded_by=self.entry_number),
                [dict(zip(names, pair, strict=True)) for pair in closed],
            )


def _batches(rows: Iterable[Sequence[Plain]]) -> Iterator[list[Sequence[Plain]]]:
    left = iter(rows)
    while some := list(itertools.islice(left, AT_ONCE)):
        yield some


def _with_salts(
    form: Form, values: Sequence[Plain], salts: Mapping[str, str]
) -> tuple[Plain, ...]:
    if not salts:
        return tuple(values)
    row: list[Plain] = []
    for column, value in zip(form.columns, values, strict=True):
        row.append(value)
        if column.withheld:
            row.append(salts[column.name])
    return tuple(row)
