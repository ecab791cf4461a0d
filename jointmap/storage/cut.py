"""Rows and values as they were on a day, by what dates each kind of record."""

import datetime as dt
from collections.abc import Container
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from jointmap.register import FORMS, Altered, Column
from jointmap.register.altered import ALTERED_KINDS, WAS_ID, WAS_YES
from jointmap.register.dated import DATED
from jointmap.storage.schema import MARK, table_of

Condition = sa.ColumnElement[bool]
Value = sa.ColumnElement[Any]


def there_on(table: sa.Table, kind: str, on: dt.date) -> Condition:
    """Return the condition that what a row tells of was there on a day."""
    dated = DATED[kind]
    if dated.there_from is None:
        return sa.true()
    column = table.c[dated.there_from]
    there: Condition = column <= on.isoformat()
    if dated.always is not None:
        name, word = dated.always
        there |= table.c[name] == word
    return there | column.is_(None) if column.nullable else there


@dataclass(frozen=True, slots=True)
class Then:
    """How values read on a day: those that an alteration of later ended, as they were.

    ``known`` tells which alterations stand in the state that is read.
    """

    on: dt.date
    known: Condition
    columns: Container[tuple[str, str]]  # (kind, column) that were altered later

    def value(self, table: sa.Table, kind: str, name: str) -> Value:
        """Return a column as it read on the day."""
        then = DATED[kind].then.get(name)
        value = self._held(table, kind, name)
        if then is None:
            return value
        later = self._held(table, kind, then.after) > self.on.isoformat()
        other = sa.null() if then.value is None else sa.literal(then.value)
        return sa.case((later, other), else_=value)

    def altered_later(self, table: sa.Table, kind: str, name: str) -> Condition:
        """Return the condition that a column of a row was altered after the day."""
        altered = table_of(Altered.KIND)
        ids = sa.select(altered.c.subject_id).where(self._of(kind, name))
        return table.c.id.in_(ids)

    def _held(self, table: sa.Table, kind: str, name: str) -> Value:
        """Return what a column held: of its later alterations the earliest tells."""
        now: Value = table.c[name]
        if (kind, name) not in self.columns:
            return now
        altered = table_of(Altered.KIND)
        replaced = table.c[MARK]
        # A revision reads as it did while it stood: by what was on record until then.
        stood = replaced.is_(None) | (altered.c.entry < replaced)
        own = self._of(kind, name) & (altered.c.subject_id == table.c.id) & stood
        column = next(c for c in FORMS[kind].columns if c.name == name)
        first = sa.select(_was(column)).where(own).order_by(altered.c.until_on)
        was = first.limit(1).correlate(table).scalar_subquery()
        ended = sa.exists().where(own).correlate(table)
        return sa.case((ended, was), else_=now)

    def _of(self, kind: str, name: str) -> Condition:
        altered = table_of(Altered.KIND)
        of_kind: Condition = altered.c.subject == str(ALTERED_KINDS[kind][0])
        of_kind &= altered.c.column == name
        return of_kind & self.known & (altered.c.until_on > self.on.isoformat())


def altered_after(on: dt.date, known: Condition) -> sa.Select[Any]:
    """Return what asks for the subjects and columns that were altered after a day."""
    altered = table_of(Altered.KIND)
    later = altered.c.until_on > on.isoformat()
    return sa.select(altered.c.subject, altered.c.column).where(known, later).distinct()


def _was(column: Column) -> Value:
    """Return what an alteration says that a column held, of the column's own type."""
    altered = table_of(Altered.KIND)
    if column.refers:
        return altered.c[WAS_ID[column.refers]]
    if column.type is bool:
        return sa.case((altered.c.was == WAS_YES, 1), else_=0)
    if column.type in (int, float):
        return sa.cast(
            altered.c.was, sa.Double if column.type is float else sa.BigInteger
        )
    return altered.c.was
