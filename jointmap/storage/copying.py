"""One site of a register copied into another database, row by row and byte by byte."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import Problem, Refused
from jointmap.files.single import write_private
from jointmap.register import FORMS
from jointmap.storage.database import insert_rows, open_engine, sqlite_url, writing
from jointmap.storage.faults import NO_ROOM
from jointmap.storage.opening import add_site
from jointmap.storage.register_file import Register
from jointmap.storage.schema import ENTRIES, SITES, table_of
from jointmap.storage.verifying.row_stream import raw_rows

_AT_ONCE = 5_000


def save_copy(register: Register, file: Path) -> None:
    """Write a consistent copy of one site, as it is now, into a new SQLite file.

    Others may go on reading and writing meanwhile.
    """
    with register.looking() as connection:
        sites = connection.scalar(sa.select(sa.func.count()).select_from(SITES))
        if connection.dialect.name == "sqlite" and sites == 1:
            _copy_file(connection, file)
        else:
            write_private(file)
            engine = open_engine(sqlite_url(file))
            with writing(engine) as there:
                copy_site(connection, register, there)
            engine.dispose()


def _copy_file(connection: Connection, file: Path) -> None:
    source: Any = connection.connection.driver_connection
    write_private(file)
    target = sqlite3.connect(file)
    try:
        source.backup(target)
    except sqlite3.OperationalError as error:
        # It does not say which of the two; only the copy grows.
        if any(sign in str(error) for sign in NO_ROOM):
            raise Refused(Problem("storage.full", {"place": str(file)})) from error
        raise
    finally:
        target.close()


def copy_site(connection: Connection, register: Register, there: Connection) -> None:
    """Copy a site seen by ``connection`` into another database.

    Raises ``WrongUse`` where a site of that code is there already.
    """
    site_id = add_site(there, register.site_code, register.key)
    # Entries come last, as they do when they are first written.
    for table in [*(table_of(kind) for kind in FORMS), ENTRIES]:
        rows = raw_rows(connection, table, register.site_id)
        for some in _batches(rows):
            insert_rows(there, table, [(site_id, *row[1:]) for row in some])


def _batches(rows: Iterator[tuple[Any, ...]]) -> Iterator[list[tuple[Any, ...]]]:
    some: list[tuple[Any, ...]] = []
    for row in rows:
        some.append(row)
        if len(some) == _AT_ONCE:
            yield some
            some = []
    yield some
