"""The objects of a PostgreSQL schema, from the server's own catalogues.

Partitions of our tables are the owner's business, and so is what an extension brought;
a trigger of somebody else is named on either.
"""

from collections.abc import Iterator, Mapping, Sequence
from importlib import resources
from typing import Any

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.storage.guard import FUNCTIONS
from jointmap.storage.guard import expected as guards
from jointmap.storage.schema import GUARDED, MARK, METADATA

Objects = dict[tuple[str, str], Any]
Named = Iterator[tuple[tuple[str, str], Any]]

_TYPES: dict[type[sa.types.TypeEngine[Any]], str] = {
    sa.String: "character varying",
    sa.Integer: "integer",
    sa.BigInteger: "bigint",
    sa.SmallInteger: "smallint",
    sa.Double: "double precision",
    sa.LargeBinary: "bytea",
}
_PLAIN = (True, False, False)  # kept on disk, no row security, not even forced
_COLUMN = (None, "", "", True)  # no default, not generated, no identity, own collation
_INDEX = (True, "btree", False, True)  # in use, kind, no expression, plain order
_FUNCTION = ("plpgsql", False, None)  # language, rights of its owner, own settings


def expected(connection: Connection, _version: str) -> Objects:
    """Return every object that a schema of this version has."""
    found: Objects = {}
    for table in METADATA.sorted_tables:
        found["table", table.name] = _PLAIN
        found |= {
            ("column", f"{table.name}.{c.name}"): (
                _type_of(c),
                not c.nullable,
                *_COLUMN,
            )
            for c in table.columns
        }
        found |= {("key", f"{table.name} {key}"): True for key in _keys_of(table)}
        found |= {("index", str(i.name)): _index_of(table, i) for i in table.indexes}
    triggers = guards(connection, GUARDED)
    found |= {("trigger", name): (text, True) for name, text in triggers.items()}
    bodies = FUNCTIONS.items()
    return found | {("function", n): (text, *_FUNCTION) for n, text in bodies}


def _type_of(column: sa.Column[Any]) -> str:
    length = getattr(column.type, "length", None)
    return _TYPES[type(column.type)] + (f"({length})" if length else "")


def _keys_of(table: sa.Table) -> Iterator[str]:
    yield f"PRIMARY KEY ({', '.join(c.name for c in table.primary_key)})"
    for key in table.constraints:
        if isinstance(key, sa.UniqueConstraint):
            yield f"UNIQUE ({', '.join(c.name for c in key.columns)})"


def _index_of(table: sa.Table, index: sa.Index) -> tuple[Any, ...]:
    where = index.dialect_options["postgresql"]["where"]
    rows = None if where is None else f"({str(where).partition('.')[2]})"
    names = [c.name for c in index.columns]
    return table.name, names, bool(index.unique), rows, *_INDEX


def present(connection: Connection) -> Objects:
    """Return every object that the schema has, and what works on the whole database."""
    found: Objects = {}
    queries = dict(_queries())
    rights = queries.pop("table right"), queries.pop("column right")
    del queries["columns there"]
    for what, query in queries.items():
        for name, *made_of in _rows(connection, query):
            made = tuple(made_of) if len(made_of) > 1 else made_of[0]
            # Two tables may each have a trigger of one name.
            found[what, name] = made if (what, name) not in found else "twice"
    return found | dict(_rights_beyond(connection, *rights))


def columns_there(connection: Connection) -> Mapping[str, set[str]]:
    """Return the columns of every true table by its name."""
    found: dict[str, set[str]] = {}
    for table, column in _rows(connection, _queries()["columns there"]):
        found.setdefault(table, set()).add(column)
    return found


def _rows(connection: Connection, query: str) -> Sequence[Any]:
    return connection.execute(sa.text(query)).all()


def _rights_beyond(connection: Connection, tables: str, columns: str) -> Named:
    """Yield rights on guarded tables that let somebody overwrite or delete."""
    may_fill = {t.name: MARK if MARK in t.c else next(iter(t.c)).name for t in GUARDED}
    for table, right, role in _rows(connection, tables):
        if table in may_fill:
            yield ("right", f"{right} on {table} for {role}"), True
    for table, column, role in _rows(connection, columns):
        if may_fill.get(table, column) != column:
            yield ("right", f"UPDATE on {table}.{column} for {role}"), True


def _queries() -> Mapping[str, str]:
    """Return the queries of the catalogues by the sort of object."""
    text = resources.files("jointmap.storage.objects").joinpath("postgres.sql")
    _, *parts = text.read_text(encoding="utf-8").split("-- name: ")
    pairs = (part.partition("\n") for part in parts)
    return {name.strip(): query.strip() for name, _, query in pairs}
