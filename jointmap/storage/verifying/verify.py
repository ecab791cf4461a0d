"""Whether the register holds what its own chain says; rows stream by, none is kept."""

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.how_far import HowFar, to_nobody
from jointmap.register import FORMS
from jointmap.storage.attachment_files import fault_of, path_of
from jointmap.storage.chain.canonical import Plain
from jointmap.storage.chain.entries import hash_of
from jointmap.storage.chain.hash_tree import GrowingTree
from jointmap.storage.chain.past_forms import forms_in
from jointmap.storage.schema import (
    ABOUT,
    ENTRIES,
    MARK,
    METADATA,
    PROGRAM,
    SCHEMA_VERSION,
    SITES,
    VERSION,
    table_of,
)
from jointmap.storage.verifying.row_stream import Row, each_row

ROWS_A_TIME = 1000  # after which it is told how far it is


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that does not fit: a stable name, the entry, the row if it is one."""

    name: str
    entry: int = 0
    kind: str = ""
    key: tuple[Plain, ...] = ()
    revision: int = 0


@dataclass(slots=True)
class Verified:
    """What was gone through, and the head of the chain."""

    entries: int = 0
    rows: int = 0
    number: int = 0
    hash: bytes = bytes(32)
    states_forms: bool = False
    # The training day that entries state, if any states whether there is one.
    training_on: str | None = None
    tell: HowFar = to_nobody
    of: int = 0  # rows that the entries count


def verify(
    connection: Connection, site_id: int, site_code: str, key: bytes, done: Verified
) -> Iterator[Fault]:
    """Yield every fault of a site's register in the order of its chain.

    ``done`` is filled on the way. ``key`` is the site's, of which the salts are made.
    """
    yield from stray_rows(connection)
    yield from rows_beyond(connection, site_code)
    done.of = _rows_told(connection, site_id)
    done.tell("checking", 0, done.of)
    yield from _Chain(connection, site_id, site_code, key, done).faults()
    for kind in FORMS:
        yield from _wrong_marks(connection, site_id, kind)


def _rows_told(connection: Connection, site_id: int) -> int:
    """Return how many rows the entries count, whatever somebody wrote there."""
    counts = sa.select(ENTRIES.c.row_count).where(ENTRIES.c.site_id == site_id)
    return sum(n for n in connection.execute(counts).scalars() if type(n) is int)


def stray_rows(connection: Connection) -> Iterator[Fault]:
    """Yield each site number under which there are rows, and no site.

    One look-up in the key for each number, however many rows there are.
    """
    known = set(connection.execute(sa.select(SITES.c.site_id)).scalars())
    for table in METADATA.sorted_tables:
        if "site_id" not in table.c or table is SITES:
            continue
        column, least = table.c.site_id, sa.func.min(table.c.site_id)
        number = connection.scalar(sa.select(least))
        while number is not None:
            if number not in known:
                yield Fault("stray_rows", key=(table.name, number))
            number = connection.scalar(sa.select(least).where(column > number))


def rows_beyond(connection: Connection, site_code: str) -> Iterator[Fault]:
    """Yield what the tables that describe the register hold and nobody wrote.

    Several sites may share a database; in a file, a site without any entry that is not
    the one at hand is of nobody.
    """
    for table, wanted in ((ABOUT, PROGRAM), (VERSION, SCHEMA_VERSION)):
        for row in connection.execute(sa.select(table)):
            if tuple(row) != (wanted,):
                yield Fault("row_foreign", key=(table.name, *map(str, row)))
        if connection.scalar(sa.select(sa.func.count()).select_from(table)) != 1:
            yield Fault("row_count", key=(table.name,))
    if connection.dialect.name == "sqlite":
        has_entry = sa.exists().where(ENTRIES.c.site_id == SITES.c.site_id)
        others = sa.select(SITES.c.code).where(SITES.c.code != site_code, ~has_entry)
        for code in connection.execute(others).scalars():
            yield Fault("row_foreign", key=(SITES.name, str(code)))


def attachment_faults(
    connection: Connection, site_id: int, folder: Path
) -> Iterator[Fault]:
    """Yield attachments whose file in the site folder is gone or changed."""
    table = table_of("attachment")
    names = ("sha256", "size_bytes", "entry", "revision", *FORMS["attachment"].key)
    query = sa.select(*(table.c[n] for n in names)).where(table.c.site_id == site_id)
    rows = query.order_by(table.c.sha256).execution_options(yield_per=1000)
    before, name = "", ""
    with connection.execute(rows) as result:
        for sha256, size, entry, revision, *key in result:
            if sha256 != before:
                before, name = sha256, _file_fault(folder, sha256, size)
            if name:
                yield Fault(name, entry, "attachment", tuple(key), revision)


def attached_hashes(connection: Connection, site_id: int) -> Iterator[tuple[str, int]]:
    """Yield SHA-256 and size of every file that was ever attached, each once."""
    table = table_of("attachment")
    query = sa.select(table.c.sha256, table.c.size_bytes).distinct()
    for row in connection.execute(query.where(table.c.site_id == site_id)):
        yield row.sha256, row.size_bytes


def _file_fault(folder: Path, sha256: str, size: int) -> str:
    try:
        path = path_of(folder, sha256)
    except ValueError:
        return "row"
    return fault_of(path, sha256, size)


@dataclass(slots=True)
class _Chain:
    """Walks entries and rows side by side."""

    connection: Connection
    site_id: int
    site_code: str
    key: bytes
    done: Verified

    def faults(self) -> Iterator[Fault]:
        """Yield faults of rows and entries, in order."""
        with closing(each_row(self.connection, self.site_id, self.key)) as rows:
            yield from self._faults(rows)

    def _faults(self, rows: Iterator[Row]) -> Iterator[Fault]:
        row = next(rows, None)
        for entry in _entries(self.connection, self.site_id):
            if type(entry.entry) is not int:
                yield Fault("entry_missing", self.done.number + 1)
                continue
            yield from self._link(entry)
            while row is not None and row.entry < entry.entry:
                yield _row_fault("no_entry", row)
                row = next(rows, None)
            tree, before = GrowingTree(), None
            held: set[str] = set()
            count = entry.row_count if type(entry.row_count) is int else 0
            while row is not None and row.entry == entry.entry:
                yield from self._row(row, before, count)
                tree.push(row.leaf)
                held.add(row.kind)
                before, row = row, next(rows, None)
            yield from _sealed(entry, tree)
            yield from self._stated(entry, held)
        while row is not None:
            yield _row_fault("no_entry", row)
            row = next(rows, None)

    def _row(self, row: Row, before: Row | None, count: int) -> Iterator[Fault]:
        self.done.rows += 1
        if not self.done.rows % ROWS_A_TIME:
            self.done.tell("checking", min(self.done.rows, self.done.of), self.done.of)
        if row.fault:
            yield _row_fault(row.fault, row)
        place = before.position + 1 if before else 0
        if row.position != place or row.position >= count:
            # Of two rows in one place either may be the one that was moved.
            if before and row.position == before.position:
                yield _row_fault("position", before)
            yield _row_fault("position", row)

    def _link(self, entry: sa.Row[Any]) -> Iterator[Fault]:
        done = self.done
        if entry.entry != done.number + 1:
            yield Fault("entry_missing", done.number + 1)
        elif entry.previous != done.hash:
            yield Fault("entry_previous", entry.entry)
        if entry.hash != seal_of(self.site_code, entry):
            yield Fault("entry_hash", entry.entry)
        done.number = entry.entry
        # Of another type it is told as not fitting, here and at the next entry.
        done.hash = entry.hash if type(entry.hash) is bytes else b""
        done.entries += 1

    def _stated(self, entry: sa.Row[Any], held: set[str]) -> Iterator[Fault]:
        """Compare the kinds that an entry states with those that it holds."""
        done = self.done
        is_first_form = entry.forms is None
        if done.states_forms if is_first_form else set(forms_in(entry.forms)) != held:
            yield Fault("entry_forms", entry.entry)
        if done.states_forms and entry.training_on != done.training_on:
            yield Fault("entry_training", entry.entry)
        if not is_first_form:
            done.states_forms, done.training_on = True, entry.training_on


def _entries(connection: Connection, site_id: int) -> Iterator[sa.Row[Any]]:
    query = sa.select(ENTRIES).where(ENTRIES.c.site_id == site_id)
    ordered = query.order_by(ENTRIES.c.entry).execution_options(yield_per=1000)
    with connection.execute(ordered) as result:
        yield from result


def seal_of(site_code: str, entry: sa.Row[Any]) -> bytes:
    """Return the hash that a stored entry must have; empty where none can be made."""
    try:
        return hash_of(site_code, entry)
    except (TypeError, AttributeError):
        return b""


def _sealed(entry: sa.Row[Any], tree: GrowingTree) -> Iterator[Fault]:
    if tree.count != entry.row_count or not tree.count:
        yield Fault("entry_count", entry.entry)
    elif tree.root() != entry.root:
        yield Fault("entry_root", entry.entry)


def _row_fault(name: str, row: Row) -> Fault:
    names = [c.name for c in FORMS[row.kind].columns]
    key = tuple(row.values[names.index(n)] for n in FORMS[row.kind].key)
    return Fault(name, row.entry, row.kind, key, row.revision)


def _wrong_marks(connection: Connection, site_id: int, kind: str) -> Iterator[Fault]:
    """Yield rows whose ``superseded_by`` is not the entry of the next revision."""
    table = table_of(kind)
    after = table.alias("after")
    same = (after.c.site_id == table.c.site_id) & (after.c.id == table.c.id)
    follows = same & (after.c.revision == table.c.revision + 1)
    key = [table.c[name] for name in FORMS[kind].key]
    lead = [table.c.entry, table.c.revision]
    both = sa.select(*lead, *key).select_from(table.outerjoin(after, follows))
    here = table.c.site_id == site_id
    wrong = both.where(here, table.c[MARK].is_distinct_from(after.c.entry))
    for row in connection.execute(wrong.order_by(table.c.entry, table.c.position)):
        yield Fault("mark", row[0], kind, tuple(row[2:]), row[1])
    orphan = sa.select(*lead, *key).where(
        here,
        table.c.revision > 1,
        ~sa.exists().where(
            after.c.site_id == table.c.site_id,
            after.c.id == table.c.id,
            after.c.revision == table.c.revision - 1,
        ),
    )
    for row in connection.execute(orphan):
        yield Fault("revision_gap", row[0], kind, tuple(row[2:]), row[1])
