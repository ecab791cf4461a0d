"""Tables as they were at one release, kept as data beside the step that made them."""

import csv
from collections.abc import Iterator
from pathlib import Path

import sqlalchemy as sa
from alembic import op

_TYPES = {
    "text": sa.String,
    "integer": sa.Integer,
    "big": sa.BigInteger,
    "small": sa.SmallInteger,
    "double": sa.Double,
    "binary": sa.LargeBinary,
}
# Which rows an index holds, by the end of what SQLAlchemy makes of the condition; a
# column alone: the rows in which it is filled.
_ROWS = {"superseded_by IS NULL": "yes", "superseded_by IS NOT NULL": "no"}
_FILLED = " IS NOT NULL"
_HEADING = ("table", "name", "is", "columns", "nullable", "unique", "current_only")


def read_tables(path: Path) -> list[sa.Table]:
    """Return the tables that a file holds as the rows of ``table_rows``."""
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    metadata = sa.MetaData()
    for name in dict.fromkeys(row["table"] for row in rows):
        own = [row for row in rows if row["table"] == name]
        columns = [_column(row) for row in own if row["is"] in _TYPES]
        keys = next(row["columns"].split() for row in own if row["is"] == "key")
        key = sa.PrimaryKeyConstraint(*keys, name=f"pk_{name}")
        table = sa.Table(name, metadata, *columns, key)
        for row in own:
            if row["is"] == "index":
                _add_index(table, row)
            if row["is"] == "unique":
                table.append_constraint(_unique(row))
    return list(metadata.tables.values())


def _column(row: dict[str, str]) -> sa.Column[object]:
    return sa.Column(
        row["name"],
        _TYPES[row["is"]](),
        nullable=row["nullable"] == "yes",
        autoincrement=False,
    )


def _unique(row: dict[str, str]) -> sa.UniqueConstraint:
    return sa.UniqueConstraint(*row["columns"].split(), name=row["name"])


def _add_index(table: sa.Table, row: dict[str, str]) -> None:
    held = rows_held(row["current_only"])
    sa.Index(
        row["name"],
        *(table.c[name] for name in row["columns"].split()),
        unique=row["unique"] == "yes",
        sqlite_where=held,
        postgresql_where=held,
    )


def rows_held(word: str) -> sa.TextClause | None:
    """Return the condition on the rows of an index; None: it holds all."""
    wheres = {word: where for where, word in _ROWS.items()}
    return sa.text(wheres.get(word, word + _FILLED)) if word else None


def add_indexes(path: Path) -> None:
    """Add the indexes that a file beside a step names; no row is touched."""
    for row in csv.DictReader(path.read_text(encoding="utf-8").splitlines()):
        held = rows_held(row["current_only"])
        op.create_index(
            row["name"],
            row["table"],
            row["columns"].split(),
            sqlite_where=held,
            postgresql_where=held,
        )


def table_rows(tables: list[sa.Table]) -> Iterator[tuple[str, ...]]:
    """Yield a heading and a row for each column, key and index of ``tables``."""
    names = {kind: name for name, kind in _TYPES.items()}
    yield _HEADING
    for table in tables:
        for column in table.columns:
            nullable = "yes" if column.nullable else ""
            kind = names[type(column.type)]
            yield table.name, column.name, kind, "", nullable, "", ""
        keys = " ".join(c.name for c in table.primary_key)
        yield table.name, str(table.primary_key.name), "key", keys, "", "", ""
        for column in table.columns:
            if column.unique:
                name = f"uq_{table.name}_{column.name}"
                yield table.name, name, "unique", column.name, "", "", ""
        yield from _index_rows(table)


def _index_rows(table: sa.Table) -> Iterator[tuple[str, ...]]:
    for index in sorted(table.indexes, key=lambda i: str(i.name)):
        columns = " ".join(c.name for c in index.columns)
        unique = "yes" if index.unique else ""
        where = index.dialect_options["sqlite"]["where"]
        held = "" if where is None else str(where).rpartition(".")[2]
        current = _ROWS.get(held, held.removesuffix(_FILLED))
        yield table.name, str(index.name), "index", columns, "", unique, current
