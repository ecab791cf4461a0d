"""Opening a database and beginning a read or a write in it.

One writer per site at a time: a write begins with BEGIN IMMEDIATE on SQLite and by
locking the site's row elsewhere, so that a second writer waits instead of failing.
"""

import os
import stat
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.engine import Connection, Engine
from sqlalchemy.pool import NullPool

from jointmap.errors import BrokenRegister, Problem, WrongUse
from jointmap.files.names import JOURNAL, WRITE_AHEAD
from jointmap.files.single import write_private
from jointmap.storage.faults import told_plainly
from jointmap.storage.schema import quoted

WAIT_SECONDS = 300  # long enough for a writer to sit out a large load
READ_SECONDS = 30  # a reader waits for the end of a write only, and is told sooner
_WRITES_AHEAD = 2  # in a SQLite file's head: how it is written, how it is read
# SQLite's page on its file format, 3, from memory; tried against a writer's own.
_JOURNAL_BEGINS = bytes.fromhex("d9d505f920a163d7")
_ONE_STATE = {"isolation_level": "REPEATABLE READ"}


def open_engine(url: str) -> Engine:
    """Return an engine for ``url``; nothing is read or written yet.

    Raises ``WrongUse`` for an address that is none, without repeating it.
    """
    try:
        backend = sa.make_url(url).get_backend_name()
    except sa.exc.ArgumentError:
        raise WrongUse(Problem("storage.bad_address")) from None
    if backend == "sqlite":
        return _sqlite_engine(url)
    if backend != "postgresql":
        raise WrongUse(Problem("storage.bad_address"))
    try:
        return sa.create_engine(url, poolclass=NullPool)
    except ModuleNotFoundError:
        raise WrongUse(Problem("storage.no_driver")) from None
    except sa.exc.NoSuchModuleError:
        raise WrongUse(Problem("storage.bad_address")) from None


def _sqlite_engine(url: str) -> Engine:
    engine = sa.create_engine(url, poolclass=NullPool)
    event.listen(engine, "do_connect", _check_before_opening)
    event.listen(engine, "connect", _take_over_transactions)
    event.listen(engine, "begin", _begin_on_sqlite)
    return engine


def _check_before_opening(
    _dialect: object, _record: object, given: Sequence[Any], _options: object
) -> None:
    if given and given[0] != ":memory:":
        check_plain(Path(given[0]))


def check_plain(path: Path) -> None:
    """Refuse a SQLite file that is no plain file, or beside which no register lies.

    SQLite opens what bears the name of a journal too: a pipe is waited for, and files
    of writing ahead are brought in or deleted. It looks for them beside the file that a
    link leads to.
    """
    real = Path(os.path.realpath(path))
    ahead = [real.with_name(real.name + end) for end in WRITE_AHEAD]
    journal = real.with_name(real.name + JOURNAL)
    _check_kinds([real, journal, *ahead])
    if _is_no_journal(journal):
        raise BrokenRegister(Problem("storage.no_journal", {"place": str(journal)}))
    there = [{"place": str(place)} for place in ahead if os.path.lexists(place)]
    if there:
        raise BrokenRegister([Problem("storage.write_ahead", f) for f in there])


def _is_no_journal(place: Path) -> bool:
    """Whether a file begins as no journal of SQLite does, which would delete it.

    One that a writer had only begun is empty, or as far as the disk had it: noughts.
    """
    try:
        with place.open("rb") as file:
            head = file.read(len(_JOURNAL_BEGINS))
    except OSError:  # not there, or SQLite says what is the matter
        return False
    return any(head) and not _JOURNAL_BEGINS.startswith(head)


def _check_kinds(places: Iterable[Path]) -> None:
    for place in places:
        try:
            kind = place.lstat().st_mode
        except OSError:  # SQLite says what is the matter
            continue
        if not stat.S_ISREG(kind):
            raise BrokenRegister(Problem("storage.not_plain", {"place": str(place)}))


def _take_over_transactions(connection: object, _record: object) -> None:
    # The driver's own idea of when to begin would begin too late.
    connection.isolation_level = None  # type: ignore[attr-defined]


def _begin_on_sqlite(connection: Connection) -> None:
    writing = connection.get_execution_options().get("writing", False)
    seconds = WAIT_SECONDS if writing else READ_SECONDS
    connection.exec_driver_sql(f"PRAGMA busy_timeout = {int(seconds * 1000)}")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """Give a connection that sees one state of the register throughout."""
    with told_plainly(engine), engine.connect() as plain:
        is_file = engine.dialect.name == "sqlite"
        connection = plain if is_file else plain.execution_options(**_ONE_STATE)
        with connection.begin() as transaction:
            yield connection
            # Nothing is to be kept, and a damaged file fails at a commit.
            transaction.rollback()


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """Give a connection whose changes are kept whole or not at all."""
    with told_plainly(engine), engine.connect() as plain:
        connection = plain.execution_options(writing=True)
        with connection.begin():
            yield connection


@contextmanager
def trying(engine: Engine) -> Iterator[Connection]:
    """Give a connection whose changes are thrown away at the end."""
    with told_plainly(engine), engine.connect() as plain:
        connection = plain.execution_options(writing=True)
        with connection.begin() as transaction:
            yield connection
            transaction.rollback()


def sqlite_url(path: Path) -> str:
    """Return the address of a SQLite file."""
    return f"sqlite:///{path}"


def file_of(url: str) -> Path | None:
    """Return the file of a SQLite address; nothing for a server or a wrong address."""
    try:
        made = sa.make_url(url)
    except sa.exc.ArgumentError:
        return None
    is_file = made.get_backend_name() == "sqlite" and made.database
    return Path(made.database) if is_file and made.database else None


def check_file(path: Path) -> None:
    """Refuse a SQLite file that is not there, is cut short, or set to write ahead.

    SQLite itself sees only whole pages that are missing; of a file set to write ahead
    it lays others beside it, even to read.
    """
    place = {"place": str(path)}
    check_plain(path)
    if not path.is_file():
        raise WrongUse(Problem("storage.no_file", place))
    with path.open("rb") as file:
        head = file.read(20)
    if head.startswith(b"SQLite format 3") and _WRITES_AHEAD in head[18:]:
        raise BrokenRegister(Problem("storage.is_write_ahead", place))
    page = int.from_bytes(head[16:18], "big")
    size = 65536 if page == 1 else page
    if head.startswith(b"SQLite format 3") and path.stat().st_size % max(size, 1):
        raise BrokenRegister(Problem("storage.damaged", place))


def make_private_file(engine: Engine) -> None:
    """Make a SQLite file that is not there yet, so that only its owner may read it.

    SQLite gives its journal the rights of the file.
    """
    path = engine.url.database if engine.dialect.name == "sqlite" else None
    # Where it cannot be made, SQLite says why.
    with suppress(OSError):
        if path and not Path(path).exists():
            write_private(Path(path))


def without_password(address: str) -> str:
    """Return an address without its password; a file name as it is."""
    if "://" not in address:
        return address
    full = sa.make_url(address).difference_update_query(["password"])
    place = (full.host, full.port, full.database, full.query)
    bare = sa.URL.create(full.drivername, full.username, None, *place)
    return bare.render_as_string(hide_password=False)


def insert_rows(
    connection: Connection, table: sa.Table, rows: Iterable[tuple[object, ...]]
) -> None:
    """Insert whole rows given as tuples in the table's column order."""
    names = quoted(c.name for c in table.columns)
    if connection.dialect.name == "sqlite":
        marks = ", ".join("?" for _ in table.columns)
        sql = f"INSERT INTO {table.name} ({names}) VALUES ({marks})"  # noqa: S608
        ready = list(rows)
        if ready:
            connection.exec_driver_sql(sql, ready)
        return
    sql = f"COPY {table.name} ({names}) FROM STDIN"
    driver: Any = connection.connection
    with driver.cursor() as cursor, cursor.copy(sql) as copy:
        for row in rows:
            copy.write_row(row)
