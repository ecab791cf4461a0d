"""Opening a database and beginning a read or a write in it.

One writer per site at a time: a write begins with BEGIN IMMEDIATE on SQLite and by
locking the site's row elsewhere, so that a second writer waits instead of failing.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.engine import Connection, Engine

from jointmap.errors import BrokenRegister, Problem
from jointmap.storage.schema import ABOUT, METADATA, PROGRAM, SCHEMA_VERSION

WAIT_SECONDS = 60


def open_engine(url: str) -> Engine:
    """Return an engine for ``url``; nothing is read or written yet."""
    if not url.startswith("sqlite"):
        return sa.create_engine(url)
    engine = sa.create_engine(url, connect_args={"timeout": WAIT_SECONDS})
    event.listen(engine, "connect", _take_over_transactions)
    event.listen(engine, "begin", _begin_on_sqlite)
    return engine


def _take_over_transactions(connection: object, _record: object) -> None:
    # The driver's own idea of when to begin would begin too late.
    connection.isolation_level = None  # type: ignore[attr-defined]


def _begin_on_sqlite(connection: Connection) -> None:
    writing = connection.get_execution_options().get("writing", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """Give a connection that sees one state of the register throughout."""
    with engine.connect() as connection, connection.begin():
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """Give a connection whose changes are kept whole or not at all."""
    with engine.connect() as plain:
        connection = plain.execution_options(writing=True)
        with connection.begin():
            yield connection


def create_schema(engine: Engine) -> None:
    """Make all tables in an empty database and say whose they are."""
    with writing(engine) as connection:
        METADATA.create_all(connection)
        values = {"program": PROGRAM, "schema_version": SCHEMA_VERSION}
        connection.execute(ABOUT.insert().values(values))


def check_schema(engine: Engine, place: str) -> None:
    """Refuse a database that is not a register of this program and version."""
    try:
        with reading(engine) as connection:
            row = connection.execute(sa.select(ABOUT)).one()
    except (sa.exc.DatabaseError, sa.exc.NoResultFound) as error:
        raise BrokenRegister(Problem("storage.not_a_register", {"place": place})) from error
    if row.program != PROGRAM or row.schema_version != SCHEMA_VERSION:
        facts = {"place": place, "found": row.schema_version, "known": SCHEMA_VERSION}
        raise BrokenRegister(Problem("storage.other_version", facts))


def sqlite_url(path: Path) -> str:
    """Return the address of a SQLite file."""
    return f"sqlite:///{path}"


def insert_rows(
    connection: Connection, table: sa.Table, rows: Iterable[tuple[object, ...]]
) -> None:
    """Insert whole rows given as tuples in the table's column order."""
    ready = list(rows)
    if not ready:
        return
    names = [c.name for c in table.columns]
    mark = "?" if connection.dialect.paramstyle == "qmark" else "%s"
    marks = ", ".join(mark for _ in names)
    sql = f"INSERT INTO {table.name} ({', '.join(names)}) VALUES ({marks})"
    connection.exec_driver_sql(sql, ready)
