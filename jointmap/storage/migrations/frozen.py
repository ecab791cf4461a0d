"""Tables as they were at one release, kept as data beside the step that made them."""

import csv
from collections.abc import Iterator
from pathlib import Path

import sqlalchemy as sa

_TYPES = {
    "text": sa.String,
    "integer": sa.Integer,
    "big": sa.BigInteger,
    "small": sa.SmallInteger,
    "double": sa.Double,
    "binary": sa.LargeBinary,
}
_CURRENT = "superseded_by IS NULL"  # the end of what SQLAlchemy makes of it
_YES_NO = {True: "yes", False: "no"}
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
    current = {
        "": None,
        "yes": table.c.superseded_by.is_(None),
        "no": table.c.superseded_by.is_not(None),
    }[row["current_only"]]
    sa.Index(
        row["name"],
        *(table.c[name] for name in row["columns"].split()),
        unique=row["unique"] == "yes",
        sqlite_where=current,
        postgresql_where=current,
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
        current = "" if where is None else _YES_NO[str(where).endswith(_CURRENT)]
        yield table.name, str(index.name), "index", columns, "", unique, current
