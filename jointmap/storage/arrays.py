"""Straight from the database into columns; no record is built.

Codes become the place of a word in its list, days whole numbers since 1970, all inside
the database; rows come unordered and are sorted in NumPy.
"""

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import sqlalchemy as sa

from jointmap.register import Column, Record, form_of
from jointmap.storage.reading import Reading
from jointmap.storage.schema import table_of

Array = npt.NDArray[Any]
_NOT_A_DAY = np.iinfo(np.int64).min
_DAY_ZERO = "2440587.5"  # the Julian day of 1970-01-01T00:00


def read_arrays(
    state: Reading,
    kind: type[Record],
    names: Sequence[str],
    lists: Mapping[str, Sequence[str]] | None = None,
    *,
    every_revision: bool = False,
) -> dict[str, Array]:
    """Return ``id`` and the named fields of a kind as equal-length arrays by id.

    None becomes 0 (whole numbers, truth), NaN (numbers), NaT (days), -1 (words). Text
    of a field named in ``lists`` comes as its place in that list, or as objects.
    ``every_revision`` returns what was replaced too, oldest first.
    """
    table = table_of(kind.KIND)
    columns = {c.name: c for c in form_of(kind).columns}
    wanted = [columns[n] for n in names]
    words = {c.name: _words(c, lists or {}) for c in wanted}
    exprs = [
        _expression(state.connection.dialect.name, table.c[c.name], c, words[c.name])
        for c in wanted
    ]
    dtype = [("id", "i8"), *((c.name, _storage_type(c, words[c.name])) for c in wanted)]
    query = _rows(state, table, exprs, every_revision=every_revision)
    cursor: Any = state.connection.execute(query).cursor
    rows = np.fromiter(cursor, dtype=np.dtype(dtype))
    order = np.argsort(rows["id"], kind="stable")
    found = {n: np.ascontiguousarray(rows[n][order]) for n in rows.dtype.names or ()}
    return {n: _finished(columns.get(n), v) for n, v in found.items()}


def _rows(
    state: Reading,
    table: sa.Table,
    exprs: Sequence[sa.ColumnElement[Any]],
    *,
    every_revision: bool,
) -> sa.Select[Any]:
    query = sa.select(table.c.id, *exprs)
    if every_revision:
        return query.where(state.where_written(table)).order_by(table.c.revision)
    return query.where(state.where_known(table))


def _words(column: Column, lists: Mapping[str, Sequence[str]]) -> Sequence[str]:
    words: Any = column.words
    return lists.get(column.name, ()) if words is None else [str(w) for w in words]


def _storage_type(column: Column, words: Sequence[str]) -> str:
    if words:
        return "i2"
    kinds: dict[type, str] = {float: "f8", int: "i8", bool: "?", dt.date: "i8"}
    return kinds.get(column.type, "O")


def _expression(
    dialect: str, column: sa.Column[Any], field: Column, words: Sequence[str]
) -> sa.ColumnElement[Any]:
    if words:
        return sa.case({w: n for n, w in enumerate(words)}, value=column, else_=-1)
    if field.type is float:
        missing = "9e999" if dialect == "sqlite" else "'Infinity'::float8"
        return sa.func.coalesce(column, sa.literal_column(missing))
    if field.type is dt.date:
        return sa.func.coalesce(
            _days(dialect, column), sa.literal_column(str(_NOT_A_DAY))
        )
    return sa.func.coalesce(
        column, sa.literal_column("''" if field.type is str else "0")
    )


def _days(dialect: str, column: sa.Column[Any]) -> sa.ColumnElement[Any]:
    if dialect == "sqlite":
        days = sa.func.julianday(column) - sa.literal_column(_DAY_ZERO)
        return sa.cast(days, sa.Integer)
    return sa.cast(column, sa.Date) - sa.literal_column("date '1970-01-01'")


def _finished(column: Column | None, values: Array) -> Array:
    if column is None:
        return values
    if values.dtype == np.float64:
        values[np.isinf(values)] = np.nan
    if column.type is dt.date:
        return values.astype("datetime64[D]")
    return values
