"""The objects of a SQLite file: what stands in its own list of them, and settings.

What is expected is made by the program itself, in memory, and read the same way.
"""

import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.storage.guard import put_guard
from jointmap.storage.schema import GUARDED, METADATA, SCHEMA_VERSION

Objects = dict[tuple[str, str], Any]

# Settings that are kept in the file and could change how it is read.
_SETTINGS = ("application_id", "user_version", "encoding")
_LISTED = "SELECT type, name, tbl_name, sql FROM sqlite_master"
# Counts for choosing an index, made by ANALYZE of any tool; no answer hangs on them.
_COUNTS = re.compile(r"sqlite_stat[1-4]")
_NAMED = re.compile(r'^CONSTRAINT\s+("[^"]*"|\S+)\s+', re.IGNORECASE)


def expected(_connection: Connection, version: str) -> Objects:
    """Return every object that a file of a version has."""
    return dict(_made_in_memory(version))


@cache
def _made_in_memory(version: str) -> Mapping[tuple[str, str], Any]:
    engine = sa.create_engine("sqlite://")
    with engine.connect() as connection:
        if version == SCHEMA_VERSION:
            METADATA.create_all(connection)
            put_guard(connection, GUARDED)
        else:
            # Alembic takes long to load, and only an older file needs it.
            from jointmap.storage.migrations import migrate

            migrate(connection, version)
        found = present(connection)
    engine.dispose()
    return found


def present(connection: Connection) -> Objects:
    """Return every object that the file has."""
    found: Objects = {}
    for kind, name, table, text in connection.exec_driver_sql(_LISTED):
        if _COUNTS.fullmatch(str(name)):
            continue
        key = str(kind), str(name)
        made_of = _definitions(str(text)) if kind == "table" else text
        # A list edited by hand may hold a name twice.
        found[key] = (table, made_of) if key not in found else "twice"
    for setting in _SETTINGS:
        value = connection.exec_driver_sql(f"PRAGMA {setting}").scalar()
        found["setting", setting] = value
    return found


def columns_there(connection: Connection) -> Mapping[str, set[str]]:
    """Return the columns of every true table by its name."""
    query = "SELECT name FROM sqlite_master WHERE type = 'table'"
    names = connection.exec_driver_sql(query).scalars().all()
    columns = "SELECT name FROM pragma_table_info(?)"
    return {
        str(name): set(connection.exec_driver_sql(columns, (name,)).scalars())
        for name in names
    }


def _definitions(text: str) -> tuple[frozenset[str], str]:
    """Return a table's definitions without their order, and what follows them.

    A column that a step added stands behind the keys, and keys may bear other names.
    """
    _, _, body = text.partition("(")
    parts = [" ".join(part.split()) for part in _split(body)]
    return frozenset(_NAMED.sub("", part) for part in parts[:-1]), parts[-1]


def _split(body: str) -> Iterator[str]:
    """Yield what stands between the outer commas, then what follows the end."""
    depth, start = 0, 0
    for place, sign in _unquoted(body):
        if sign == ")" and not depth:
            yield body[start:place]
            start = place
            break
        depth += (sign == "(") - (sign == ")")
        if sign == "," and not depth:
            yield body[start:place]
            start = place + 1
    yield body[start:]


def _unquoted(body: str) -> Iterator[tuple[int, str]]:
    """Yield the signs that stand in no quotes, each with its place."""
    quote = ""
    for place, sign in enumerate(body):
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "'\"`":
            quote = sign
        else:
            yield place, sign
