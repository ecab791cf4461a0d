"""Rows and values as they were on a day, by what dates each kind of record."""

import datetime as dt
from typing import Any

import sqlalchemy as sa

from jointmap.register.dated import DATED

Condition = sa.ColumnElement[bool]


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


def as_on(table: sa.Table, kind: str, name: str, on: dt.date) -> sa.ColumnElement[Any]:
    """Return a column as it read on a day."""
    then = DATED[kind].then.get(name)
    column: sa.ColumnElement[Any] = table.c[name]
    if then is None:
        return column
    later = table.c[then.after] > on.isoformat()
    value = sa.null() if then.value is None else sa.literal(then.value)
    return sa.case((later, value), else_=column)
