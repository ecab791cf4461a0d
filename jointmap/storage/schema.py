"""The tables, made from the forms of the records.

Every record table has the same leading columns: ``site_id, id, revision, entry,
position, leaf, superseded_by``. A withheld value has its salt beside it.
"""

import datetime as dt
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

import sqlalchemy as sa

from jointmap.register import FORMS, Column, Form

SCHEMA_VERSION = "0003"  # the newest migration in migrations/versions
PROGRAM = "jointmap"
MARK = "superseded_by"  # the one column that may ever change, once

_METADATA = sa.MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "pk": "pk_%(table_name)s",
    }
)

ABOUT = sa.Table(
    "about",
    _METADATA,
    sa.Column("program", sa.String, primary_key=True),
)

# Alembic's own table: the number of the last migration that ran.
VERSION = sa.Table(
    "alembic_version",
    _METADATA,
    sa.Column("version_num", sa.String(32), primary_key=True),
)

SITES = sa.Table(
    "register_site",
    _METADATA,
    sa.Column("site_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("code", sa.String, nullable=False, unique=True),
    sa.Column("key", sa.LargeBinary, nullable=False),
)

ENTRIES = sa.Table(
    "entry",
    _METADATA,
    sa.Column("site_id", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("entry", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("recorded_at", sa.String, nullable=False),
    sa.Column("recorded_by", sa.String, nullable=False),
    sa.Column("reason", sa.String, nullable=False),
    sa.Column("row_count", sa.Integer, nullable=False),
    sa.Column("root", sa.LargeBinary, nullable=False),
    sa.Column("previous", sa.LargeBinary, nullable=False),
    sa.Column("hash", sa.LargeBinary, nullable=False),
    # Since entry form 2; an entry of form 1 holds nothing here.
    sa.Column("machine_at", sa.String, nullable=True),
    sa.Column("training_on", sa.String, nullable=True),
    sa.Column("forms", sa.String, nullable=True),
)

_SQL_TYPES: dict[type, type[sa.types.TypeEngine[Any]]] = {
    str: sa.String,
    int: sa.BigInteger,
    float: sa.Double,
    bool: sa.SmallInteger,
    dt.date: sa.String,
    dt.datetime: sa.String,
}

# What a page or a rule asks for by place; one partial index each.
_READ_BY = {
    "test": ("joint_id", "tested_on", "id"),
    "position": ("subject", "subject_id"),
    "device": ("joint_id", "fitted_on"),
}


def quoted(names: Iterable[str]) -> str:
    """Return column names as SQL takes them, whatever words it keeps for itself."""
    return ", ".join(f'"{name}"' for name in names)


@cache
def table_of(kind: str) -> sa.Table:
    """Return the table that holds records of ``kind``."""
    return _METADATA.tables[f"record_{kind}"]


def _lead() -> Iterator[sa.Column[object]]:
    for name in ("site_id", "id", "revision"):
        yield sa.Column(name, sa.BigInteger, primary_key=True, autoincrement=False)
    yield sa.Column("entry", sa.Integer, nullable=False)
    yield sa.Column("position", sa.Integer, nullable=False)
    yield sa.Column("leaf", sa.LargeBinary, nullable=False)
    yield sa.Column("superseded_by", sa.Integer, nullable=True)


def _own(column: Column) -> Iterator[sa.Column[object]]:
    yield sa.Column(column.name, _SQL_TYPES[column.type], nullable=column.nullable)
    if column.withheld:
        yield sa.Column(f"{column.name}_salt", sa.String, nullable=False)


def _add_table(form: Form) -> None:
    own = [c for column in form.columns for c in _own(column)]
    sa.Table(f"record_{form.kind}", _METADATA, *_lead(), *own)


def _add_indexes(form: Form) -> None:
    table = table_of(form.kind)
    current = table.c.superseded_by.is_(None)
    _index(table, ("site_id", "id"), current, "current", unique=True)
    _index(table, ("site_id", "entry", "position"), None, "entry", unique=True)
    if form.kind == "joint":
        _index(table, ("site_id", "tag"), current, "tag", unique=True)
    if form.kind in _READ_BY:
        _index(table, ("site_id", *_READ_BY[form.kind]), current, "place")
    if form.kind == "test":
        replaced = table.c.superseded_by.is_not(None)
        _index(table, ("site_id", "superseded_by"), replaced, "replaced")


def _index(
    table: sa.Table,
    columns: tuple[str, ...],
    where: sa.ColumnElement[bool] | None,
    name: str,
    *,
    unique: bool = False,
) -> None:
    sa.Index(
        f"ix_{table.name}_{name}",
        *(table.c[c] for c in columns),
        unique=unique,
        sqlite_where=where,
        postgresql_where=where,
    )


for _form in FORMS.values():
    _add_table(_form)

# All tables with their indexes, and every table but Alembic's own.
METADATA: sa.MetaData
GUARDED: tuple[sa.Table, ...]


def __getattr__(name: str) -> object:
    # What reads rows asks for no index: to make them all SQLAlchemy loads the dialect
    # and the drivers of PostgreSQL too, a tenth of a short command's time.
    if name == "METADATA":
        return _whole()
    if name == "GUARDED":
        return tuple(t for t in _whole().sorted_tables if t is not VERSION)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


@cache
def _whole() -> sa.MetaData:
    for form in FORMS.values():
        _add_indexes(form)
    return _METADATA
