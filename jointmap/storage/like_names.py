"""Which names on record may look like another, asked in SQL."""

import re

import sqlalchemy as sa

from jointmap.register.same_letters import skeleton

# Names that are not plain letters and signs with single blanks between them.
_ODD = ("*[^ -~]*", "*  *", " *", "* ")  # as SQLite matches
# The parts of a look, and what else a person reads as one of its figures.
_RUNS = re.compile("[0-9]+|[^.0-9]+")
_LIKE = {"0": "[0oO]", "1": "[1iIlL]"}
_ODD_PATTERN = "[^ -~]|  |^ | $"  # as PostgreSQL does


def may_look_like(
    column: sa.ColumnElement[str], name: str, dialect: str
) -> sa.ColumnElement[bool]:
    """Return the condition that a stored name may have the skeleton of ``name``.

    All that have it fulfil the condition; of plain names no others do.
    """
    same = sa.func.lower(column) == skeleton(name)
    if dialect == "sqlite":
        return sa.or_(same, *(column.op("GLOB")(sa.literal(sign)) for sign in _ODD))
    return sa.or_(same, column.regexp_match(_ODD_PATTERN))


def may_read_alike(
    column: sa.ColumnElement[str], look: str, dialect: str
) -> sa.ColumnElement[bool]:
    """Return the condition that a stored tag may have the look ``look``.

    All that have it fulfil the condition; others may. See ``register.like_tags``.
    """
    anything = "*" if dialect == "sqlite" else ".*"
    runs = (anything + "".join(map(_class, r)) for r in _RUNS.findall(look))
    pattern = "".join([*runs, anything])
    if dialect == "sqlite":
        like = column.op("GLOB")(sa.literal(pattern))
        return sa.or_(like, column.op("GLOB")(sa.literal(_ODD[0])))
    return sa.or_(column.regexp_match(f"^{pattern}$"), column.regexp_match("[^ -~]"))


def _class(mark: str) -> str:
    """Return what matches each letter or figure that looks like one."""
    return _LIKE.get(mark, mark if mark.isdigit() else f"[{mark}{mark.upper()}]")
