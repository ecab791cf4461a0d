"""The entries of the record chain: one per transaction."""

import datetime as dt
from dataclasses import dataclass

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.storage.canonical import Plain, entry_hash, plain
from jointmap.storage.schema import ENTRIES


@dataclass(frozen=True, slots=True)
class Entry:
    """One transaction: when, by whom, why, and the hash that seals it to the last."""

    entry: int
    recorded_at: dt.datetime
    recorded_by: str
    reason: str
    row_count: int
    root: bytes
    previous: bytes
    hash: bytes

    @property
    def fingerprint(self) -> str:
        """Entry number and hash: names one state of the register."""
        return f"{self.entry}-{self.hash.hex()}"


def make_entry(
    site_code: str,
    before: Entry | None,
    now: dt.datetime,
    by: str,
    reason: str,
    leaves: tuple[int, bytes],
) -> Entry:
    """Return the entry that follows ``before`` over ``leaves`` (count, root).

    Time never runs backwards along the chain, whatever a machine's clock does.
    """
    number = before.entry + 1 if before else 1
    now = max(now, before.recorded_at) if before else now
    previous = before.hash if before else bytes(32)
    count, root = leaves
    values = entry_values(site_code, number, plain(now), by, reason, count)
    digest = entry_hash(values, root, previous)
    return Entry(number, now, by, reason, count, root, previous, digest)


def entry_values(site_code: str, *values: Plain) -> list[Plain]:
    """Return what an entry's hash covers beside its root and the hash before."""
    return ["entry", 1, site_code, *values]


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
    values = {
        "site_id": site_id,
        "entry": entry.entry,
        "recorded_at": plain(entry.recorded_at),
        "recorded_by": entry.recorded_by,
        "reason": entry.reason,
        "row_count": entry.row_count,
        "root": entry.root,
        "previous": entry.previous,
        "hash": entry.hash,
    }
    connection.execute(ENTRIES.insert().values(values))


def _entry(row: sa.Row[tuple[object, ...]]) -> Entry:
    return Entry(
        row.entry,
        dt.datetime.fromisoformat(row.recorded_at),
        row.recorded_by,
        row.reason,
        row.row_count,
        bytes(row.root),
        bytes(row.previous),
        bytes(row.hash),
    )
