"""Which names on record may look like another, asked in SQL."""

import sqlalchemy as sa

from jointmap.register.same_letters import skeleton

# Names that are not plain letters and signs with single blanks between them.
_ODD = ("*[^ -~]*", "*  *", " *", "* ")  # as SQLite matches
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
