"""Going through a whole register, and telling in a person's words what is wrong."""

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import Problem
from jointmap.how_far import HowFar, to_nobody
from jointmap.register import FORMS
from jointmap.storage.chain.canonical import plain
from jointmap.storage.chain.fingerprints import difference
from jointmap.storage.database import check_file, open_engine, reading
from jointmap.storage.naming import key_text
from jointmap.storage.objects.compared import object_faults, unreadable
from jointmap.storage.opening import check_tables, version_of
from jointmap.storage.place_named import place_of
from jointmap.storage.register_file import Register
from jointmap.storage.schema import ENTRIES, SCHEMA_VERSION, table_of
from jointmap.storage.verifying.file_pages import (
    page_faults,
    read_any_text,
    size_faults,
)
from jointmap.storage.verifying.verify import (
    Fault,
    Verified,
    attachment_faults,
    seal_of,
    verify,
)

MOST = 20  # faults that are named; the first ones tell the story
KEY_BYTES = 32


@dataclass(frozen=True, slots=True)
class Checked:
    """How much was gone through, the head of the chain, and what is wrong.

    There is no fingerprint where nothing is recorded, or the chain cannot be read to
    its end. ``more`` faults are counted and not named.
    """

    entries: int
    rows: int
    fingerprint: str
    problems: tuple[Problem, ...]
    more: int = 0


def check_register(
    register: Register,
    folder: Path | None = None,
    against: str | None = None,
    tell: HowFar = to_nobody,
) -> Checked:
    """Return what is wrong with a register: guard, chain, marks, files, fingerprint.

    ``folder`` is the site folder that holds the attached files. ``MOST`` problems are
    named, the others counted. Raises ``WrongUse`` for a fingerprint that is none.
    """
    with register.looking() as connection:
        return check_seen(register, connection, folder, against, tell)


def check_seen(
    register: Register,
    connection: Connection,
    folder: Path | None = None,
    against: str | None = None,
    tell: HowFar = to_nobody,
) -> Checked:
    """Return what is wrong with a register as one connection sees it."""
    done = Verified(tell=tell)
    read_any_text(connection)
    problems: list[Problem] = []
    more = 0
    for fault in _faults(register, connection, folder, done):
        if len(problems) < MOST:
            problems.append(_told(register, connection, fault))
        else:
            more += 1
    if against is not None:
        found = difference(connection, register.site_id, against)
        if found is not None:
            problems.insert(0, Problem(f"verify.{found[0]}", found[1]))
    if done.states_forms and done.training_on != plain(register.training_on):
        facts = {"given": register.training_on, "recorded": done.training_on}
        shown = {name: value or "none" for name, value in facts.items()}
        problems.append(Problem("verify.fixed_day", shown))
    fingerprint = f"{done.number}-{done.hash.hex()}" if done.number else ""
    return Checked(done.entries, done.rows, fingerprint, tuple(problems), more)


def reading_problems(url: str, code: str) -> tuple[Problem, ...]:
    """Return what keeps a site from being read at all, for ``verify`` to name.

    Raises ``WrongUse`` for what is no fault of the register: no file, no such site, or
    the tables of another version.
    """
    engine = open_engine(url)
    if engine.dialect.name == "sqlite":
        check_file(Path(place_of(engine.url)))
    with reading(engine) as connection:
        return unreadable_site(connection, code)


def unreadable_site(connection: Connection, code: str) -> tuple[Problem, ...]:
    """Return what keeps a site from being read, as one connection sees it."""
    read_any_text(connection)
    gone = [fault.problem for fault in unreadable(connection)]
    found = version_of(connection)
    if found != SCHEMA_VERSION and not _has_our_tables(connection, found):
        check_tables(connection)
    if gone:
        return tuple(gone[:MOST])
    if found != SCHEMA_VERSION:
        facts = {"found": found or "none", "known": SCHEMA_VERSION}
        return (Problem("verify.version", facts),)
    return tuple(_site_problems(connection, code))


def _has_our_tables(connection: Connection, found: str) -> bool:
    """Whether only what says the version is wrong, not the tables themselves."""
    if found:
        return not any(object_faults(connection))
    names = set(sa.inspect(connection).get_table_names())
    return any(table_of(kind).name in names for kind in FORMS)


def _site_problems(connection: Connection, code: str) -> Iterator[Problem]:
    """Yield what is wrong with the row of a site: its key, its code."""
    rows = connection.exec_driver_sql("SELECT site_id, code, key FROM register_site")
    sites = {row.code: row for row in rows}
    row = sites.get(code)
    if row is not None and not (type(row.key) is bytes and len(row.key) == KEY_BYTES):
        yield Problem("verify.site_key", {"code": code})
    if row is not None:
        return
    first = sa.select(ENTRIES).where(ENTRIES.c.entry == 1)
    for entry in connection.execute(first):
        if type(entry.hash) is bytes and seal_of(code, entry) == entry.hash:
            yield Problem("verify.site_code", {"code": code})


def _faults(
    register: Register, connection: Connection, folder: Path | None, done: Verified
) -> Iterator[Problem | Fault]:
    said = [*page_faults(connection)]
    yield from (Problem("verify.pages", {"said": line}) for line in said)
    if not said:
        yield from size_faults(connection)
    yield from (fault.problem for fault in object_faults(connection))
    site = (register.site_id, register.site_code, register.key)
    try:
        yield from verify(connection, *site, done)
    except (sqlite3.DatabaseError, sa.exc.DatabaseError):
        if not said:
            raise
        done.number = 0
        return  # the pages that cannot be read are named already
    if folder is not None:
        yield from attachment_faults(connection, register.site_id, folder)


def _told(
    register: Register, connection: Connection, fault: Problem | Fault
) -> Problem:
    if isinstance(fault, Problem):
        return fault
    key = " ".join(map(str, fault.key))
    if fault.kind:
        key = key_text(connection, register.site_id, fault.kind, fault.key)
    facts = {
        "entry": fault.entry,
        "kind": fault.kind.replace("_", " "),
        "key": key,
        "revision": fault.revision,
    }
    return Problem(f"verify.{fault.name}", facts)
