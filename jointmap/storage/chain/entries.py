"""The entries of the record chain: one per transaction.

``docs/reference/chain_bytes.md`` tells every byte of an entry's line; a change here is
a new entry form, and the old ones stay.
"""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import BrokenRegister, Problem
from jointmap.storage.chain.canonical import Plain, entry_hash, entry_line, plain
from jointmap.storage.chain.past_forms import forms_text
from jointmap.storage.schema import ENTRIES


@dataclass(frozen=True, slots=True)
class Entry:
    """One transaction: when, by whom, why, and the hash that seals it to the last.

    ``machine_at`` is the time by the machine's own clock, ``training_on`` the day that
    a training site speaks of, ``forms`` the form number of every kind it holds; an
    entry of form 1 has none of them.
    """

    entry: int
    recorded_at: dt.datetime
    recorded_by: str
    reason: str
    row_count: int
    root: bytes
    previous: bytes
    hash: bytes = b""
    machine_at: dt.datetime | None = None
    training_on: dt.date | None = None
    forms: str | None = None

    @property
    def fingerprint(self) -> str:
        """Entry number and hash: names one state of the register."""
        return f"{self.entry}-{self.hash.hex()}"

    def line(self, site_code: str) -> str:
        """Return what the entry's hash is made of."""
        return entry_line(_facts(site_code, self), self.root, self.previous)


@dataclass(frozen=True, slots=True)
class Sealed:
    """What an entry is to seal: how many rows, their root, their kinds' forms."""

    row_count: int
    root: bytes
    forms: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Said:
    """What is said of a transaction: when by the machine's clock, by whom, why."""

    now: dt.datetime
    by: str
    reason: str
    training_on: dt.date | None = None


def make_entry(
    site_code: str, before: Entry | None, said: Said, sealed: Sealed
) -> Entry:
    """Return the entry that follows ``before``.

    Time never runs backwards along the chain, whatever a machine's clock does; the
    machine's own time is kept beside it.
    """
    made = Entry(
        before.entry + 1 if before else 1,
        max(said.now, before.recorded_at) if before else said.now,
        said.by,
        said.reason,
        sealed.row_count,
        sealed.root,
        before.hash if before else bytes(32),
        machine_at=said.now,
        training_on=said.training_on,
        forms=forms_text(sealed.forms),
    )
    return replace(made, hash=hash_of(site_code, made))


def hash_of(site_code: str, entry: Entry | sa.Row[tuple[object, ...]]) -> bytes:
    """Return the hash that an entry must have; raises where a value is of no use."""
    return entry_hash(_facts(site_code, entry), entry.root, entry.previous)


def _facts(site_code: str, entry: Entry | sa.Row[tuple[object, ...]]) -> list[Plain]:
    """Return what the hash covers beside root and hash before, by the entry's form."""
    first = (entry.entry, plain(entry.recorded_at), entry.recorded_by, entry.reason)
    own: tuple[Plain, ...] = (*first, entry.row_count)
    added = (plain(entry.machine_at), plain(entry.training_on), entry.forms)
    if all(value is None for value in added):
        return ["entry", 1, site_code, *own]
    return ["entry", 2, site_code, *own, *added]


def read_entries(connection: Connection, site_id: int) -> list[Entry]:
    """Return all entries of a site in order."""
    return read_entries_from(connection, site_id, 1)


def read_entries_from(connection: Connection, site_id: int, number: int) -> list[Entry]:
    """Return the entries of a site from one number to the last, in order."""
    query = sa.select(ENTRIES).where(ENTRIES.c.site_id == site_id)
    later = query.where(ENTRIES.c.entry >= number).order_by(ENTRIES.c.entry)
    return [_entry(row) for row in connection.execute(later)]


def last_entry(connection: Connection, site_id: int) -> Entry | None:
    """Return the head of a site's chain."""
    query = sa.select(ENTRIES).where(ENTRIES.c.site_id == site_id)
    row = connection.execute(query.order_by(ENTRIES.c.entry.desc()).limit(1)).first()
    return _entry(row) if row else None


def write_entry(connection: Connection, site_id: int, entry: Entry) -> None:
    """Add one entry to the chain."""
    names = [c.name for c in ENTRIES.columns if c.name != "site_id"]
    values = {name: getattr(entry, name) for name in names}
    for name in ("recorded_at", "machine_at", "training_on"):
        values[name] = plain(values[name])
    connection.execute(ENTRIES.insert().values(site_id=site_id, **values))


def _entry(row: sa.Row[tuple[object, ...]]) -> Entry:
    try:
        return _read(row)
    except (TypeError, ValueError) as error:
        problem = Problem("storage.odd_entry", {"entry": row.entry})
        raise BrokenRegister(problem) from error


def _read(row: sa.Row[tuple[object, ...]]) -> Entry:
    machine_at, training_on = row.machine_at, row.training_on
    return Entry(
        row.entry,
        dt.datetime.fromisoformat(row.recorded_at),
        row.recorded_by,
        row.reason,
        row.row_count,
        bytes(row.root),
        bytes(row.previous),
        bytes(row.hash),
        machine_at and dt.datetime.fromisoformat(machine_at),
        training_on and dt.date.fromisoformat(training_on),
        row.forms,
    )
