"""Whether a SQLite file itself is whole: its pages and indexes, below all rows."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sqlalchemy.engine import Connection

from jointmap.errors import Problem

# Of the 100 bytes of the head: "reserved for expansion, must be zero" (SQLite's page
# on its file format, 1.3, from memory).
_RESERVED = slice(72, 92)
MOST_PAGES = 5  # damage that is named; the file is to be replaced in any case


def page_faults(connection: Connection) -> Iterator[str]:
    """Yield what SQLite finds damaged in its file; a server looks after its own.

    It keeps one bit for each page of the file.
    """
    if connection.dialect.name != "sqlite":
        return
    driver: Any = connection.connection
    cursor = driver.cursor()
    try:
        for (said,) in cursor.execute(f"PRAGMA integrity_check({MOST_PAGES})"):
            yield from _lines(said)
    except sqlite3.DatabaseError as error:
        yield str(error)


def size_faults(connection: Connection) -> Iterator[Problem]:
    """Yield a SQLite file that is longer than its pages, as somebody left it.

    SQLite reads its own pages only. To be called after something was read: then no
    writer is at work, and what one left that was stopped is rolled back.
    """
    path = connection.engine.url.database
    if connection.dialect.name != "sqlite" or not path or path == ":memory:":
        return
    pages, size = (
        connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()
        for name in ("page_count", "page_size")
    )
    found = Path(path).stat().st_size
    if found != pages * size:
        facts = {"place": path, "found": found, "known": pages * size}
        yield Problem("verify.size", facts)


def header_faults(path: Path | None) -> Iterator[Problem]:
    """Yield what stands where SQLite's own format keeps the head of its file empty.

    To be called while nothing of this process has the file open: to close it would end
    the locks of whoever has.
    """
    if path is None or not path.is_file():
        return
    with path.open("rb") as file:
        kept = file.read(_RESERVED.stop)[_RESERVED]
    if any(kept):
        facts = {"place": str(path), "first": _RESERVED.start, "found": kept.hex()}
        yield Problem("verify.header", {**facts, "last": _RESERVED.stop - 1})


def _lines(said: str) -> list[str]:
    # SQLite sets a heading over damaged pages, and several of them in one row.
    return [n for n in said.splitlines() if n != "ok" and not n.startswith("***")]


def read_any_text(connection: Connection) -> None:
    """Read text that is no UTF-8 with a mark in it, so that its row can be named."""
    if connection.dialect.name == "sqlite":
        driver: Any = connection.connection.dbapi_connection
        driver.text_factory = lambda data: str(data, "utf-8", "replace")
