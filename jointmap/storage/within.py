"""Rows of given ids or values, however many, as one condition that an index serves."""

import json
from collections.abc import Collection

import sqlalchemy as sa

from jointmap.register import Record
from jointmap.storage.schema import table_of

Condition = sa.ColumnElement[bool]
Ids = Collection[int]
# The ids of some kinds; of a kind that is not named every row is wanted.
Only = dict[type[Record], Ids]


def is_one_of(
    dialect: str, column: sa.ColumnElement[object], values: Collection[int | str]
) -> Condition:
    """Return the condition that a column holds one of many values.

    The values travel as one parameter: a statement takes only so many.
    """
    if dialect == "sqlite":
        each = sa.func.json_each(json.dumps(list(values))).table_valued("value")
        return column.in_(sa.select(each.c.value))
    array = sa.ARRAY(column.type)
    return column == sa.func.any(sa.literal(list(values), array))


def within(dialect: str, only: Only, kind: type[Record]) -> Condition:
    """Return the condition that a row is one of those wanted of its kind."""
    if kind not in only:
        return sa.true()
    return is_one_of(dialect, table_of(kind.KIND).c.id, only[kind])
