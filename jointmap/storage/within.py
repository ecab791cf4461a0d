"""Rows of given ids or values, however many, as one condition that an index serves."""

import json
from collections.abc import Collection, Mapping

import sqlalchemy as sa

from jointmap.register import Record
from jointmap.storage.schema import table_of

Condition = sa.ColumnElement[bool]
Ids = Collection[int]
# The ids of some kinds; of a kind that is not named every row is wanted.
Only = Mapping[type[Record], Ids]


def is_one_of(
    dialect: str, column: sa.ColumnElement[object], values: Collection[int | str]
) -> Condition:
    """Return the condition that a column holds one of many values.

    The values travel as one parameter: a statement takes only so many.
    """
    if dialect == "sqlite":
        return column.in_(sa.select(_each_of(values).c.value))
    array = sa.ARRAY(column.type)
    return column == sa.func.any(sa.literal(list(values), array))


def listed_values(dialect: str, texts: Collection[str]) -> sa.TableValuedAlias:
    """Return many texts as a table whose column is called ``value``."""
    if dialect == "sqlite":
        return _each_of(texts)
    array = sa.literal(list(texts), sa.ARRAY(sa.String))
    return sa.func.unnest(array).table_valued("value").render_derived()


def _each_of(values: Collection[int | str]) -> sa.TableValuedAlias:
    return sa.func.json_each(json.dumps(list(values))).table_valued("value")


def within(dialect: str, only: Only, kind: type[Record]) -> Condition:
    """Return the condition that a row is one of those wanted of its kind."""
    if kind not in only:
        return sa.true()
    return is_one_of(dialect, table_of(kind.KIND).c.id, only[kind])
