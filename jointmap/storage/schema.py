"""The tables, made from the forms of the records.

Every record table has the same leading columns: ``site_id, id, revision, entry,
position, leaf, superseded_by``. A withheld value has its salt beside it.
"""

import datetime as dt
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

import sqlalchemy as sa

from jointmap.register import FORMS, Column, Form, Record

SCHEMA_VERSION = "0007"  # the newest migration in migrations/versions
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

# Which rows an index holds: those that are current, or those where a column is filled.
_CURRENT = MARK
_ALL = ""
# Beside those of all kinds: what each index is called, its columns, the rows it holds.
_READ_BY: dict[str, dict[str, tuple[tuple[str, ...], str]]] = {
    "person": {"key": (("code",), _CURRENT)},
    "qualification": {"key": (("person_id", "task", "valid_from_on"), _CURRENT)},
    "instrument": {"key": (("name",), _CURRENT)},
    "certificate": {"key": (("instrument_id", "number"), _CURRENT)},
    "structure": {"key": (("name",), _CURRENT)},
    "source": {
        "key": (("name",), _CURRENT),
        "structure": (("structure_id",), _CURRENT),
    },
    "boundary": {
        "key": (("name",), _CURRENT),
        "side_a": (("structure_a_id",), _CURRENT),
        "side_b": (("structure_b_id",), _CURRENT),
        "joined": (("joined_from_on",), "joined_from_on"),
    },
    "joint": {"boundary": (("boundary_id",), _CURRENT)},
    "alias": {
        "key": (("joint_id", "name"), _CURRENT),
        "name": (("name",), _CURRENT),
    },
    "test_point": {
        "key": (("name",), _CURRENT),
        "joint": (("joint_id",), _CURRENT),
    },
    # A reading is judged by every finding about its leads, the replaced ones too.
    "lead": {"key": (("test_point_id", "colour"), _ALL)},
    "device": {"place": (("joint_id", "fitted_on"), _CURRENT)},
    "installation": {
        "key": (("device_id",), _CURRENT),
        "fitter": (("fitter_id", "installed_on"), "fitter_id"),
    },
    "path": {
        "key": (("name",), _CURRENT),
        "boundary": (("boundary_id",), _CURRENT),
        "joint": (("joint_id",), _CURRENT),
    },
    "occurrence": {
        "key": (("happened_on", "kind", "place"), _CURRENT),
        "joint": (("joint_id",), "joint_id"),
        "boundary": (("boundary_id",), "boundary_id"),
        "area": (("area",), _CURRENT),
    },
    "position": {
        "place": (("subject", "subject_id"), _CURRENT),
        "near": (("latitude_deg",), _CURRENT),
    },
    "altered": {
        "key": (("subject", "subject_id", "column", "until_on"), _CURRENT),
        "boundary": (("was_boundary_id",), "was_boundary_id"),
    },
    # One for each place of a test: which of them is asked is told by its scope.
    "test": {
        "place": (("joint_id", "tested_on", "id"), _CURRENT),
        "boundary": (("boundary_id", "tested_on", "id"), "boundary_id"),
        "path": (("path_id", "tested_on", "id"), "path_id"),
        "source": (("source_id", "tested_on", "id"), "source_id"),
        # Where a person was before: only tests with an instant tell.
        "person": (("person_id", "tested_at"), "tested_at"),
    },
    "decision": {
        "key": (("number",), _CURRENT),
        "subject": (("subject_key",), _CURRENT),
    },
    "attachment": {
        "key": (("sha256", "subject", "subject_key"), _CURRENT),
        "subject": (("subject_key",), _CURRENT),
    },
    "photo_place": {"key": (("sha256",), _CURRENT)},
    "held": {"key": (("subject_key", "sheet", "column", "sent_on"), _CURRENT)},
}


def quoted(names: Iterable[str]) -> str:
    """Return column names as SQL takes them, whatever words it keeps for itself."""
    return ", ".join(f'"{name}"' for name in names)


@cache
def table_of(kind: str) -> sa.Table:
    """Return the table that holds records of ``kind``."""
    return _METADATA.tables[f"record_{kind}"]


def record_kind(table: sa.Table) -> type[Record]:
    """Return the kind of record that a table holds."""
    return FORMS[table.name.removeprefix("record_")].record


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
    for name, (columns, rows) in _READ_BY.get(form.kind, {}).items():
        _index(table, ("site_id", *columns), _held_by(table, rows), name)
    if form.kind == "test":
        replaced = table.c.superseded_by.is_not(None)
        _index(table, ("site_id", "superseded_by"), replaced, "replaced")


def _held_by(table: sa.Table, rows: str) -> sa.ColumnElement[bool] | None:
    if rows == _CURRENT:
        return table.c[rows].is_(None)
    return table.c[rows].is_not(None) if rows else None


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
