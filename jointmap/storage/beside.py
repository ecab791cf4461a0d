"""Rows that lie beside others: in time, in place, in name; and those referred to."""

from collections.abc import Collection

import sqlalchemy as sa

from jointmap.register import IsolationTest, Record, form_of
from jointmap.storage.reading import Reading
from jointmap.storage.schema import table_of
from jointmap.storage.within import Ids, is_one_of, listed_values

Condition = sa.ColumnElement[bool]


def _here(state: Reading, kind: type[Record]) -> Condition:
    return state.where_known(table_of(kind.KIND)) & state.there(kind)


def referred(state: Reading, kind: type[Record], ids: Ids) -> dict[str, set[int]]:
    """Return the ids that some records refer to, by the word of their kind."""
    columns = [c for c in form_of(kind).columns if c.refers]
    if not columns or not ids:
        return {}
    own = is_one_of(state.connection.dialect.name, table_of(kind.KIND).c.id, ids)
    names = [state.column(kind, c.name) for c in columns]
    query = sa.select(*names).where(_here(state, kind), own).distinct()
    rows = state.connection.execute(query).all()
    found: dict[str, set[int]] = {}
    for place, column in enumerate(columns):
        named = {row[place] for row in rows} - {None}
        found.setdefault(column.refers, set()).update(named)
    return found


def ids_between(
    state: Reading,
    kind: type[Record],
    column: str,
    least: float,
    most: float,
    **also: str,
) -> list[int]:
    """Return the ids of the records with a number from ``least`` to ``most``.

    ``also`` are values of other columns.
    """
    table = table_of(kind.KIND)
    more = [table.c[name] == value for name, value in also.items()]
    between = table.c[column].between(least, most)
    query = sa.select(table.c.id).where(_here(state, kind), between, *more)
    return sorted(state.connection.scalars(query))


def names_alike(
    state: Reading, kind: type[Record], column: str, names: Collection[str]
) -> list[str]:
    """Return the names on record that are one of ``names`` but for the letters' case.

    By rising id, ``names`` themselves among them. This goes through the names of all
    records, of a part too.
    """
    table, dialect = table_of(kind.KIND), state.connection.dialect.name
    values = listed_values(dialect, names)
    asked = sa.select(sa.func.lower(values.c.value))
    alike = sa.func.lower(table.c[column]).in_(asked)
    query = sa.select(table.c.id, table.c[column])
    rows = state.connection.execute(query.where(_here(state.whole, kind), alike))
    return [row[1] for row in sorted(rows)]


def visits_before(state: Reading, tests: Ids) -> set[int]:
    """Return the tests that the same persons made at joints last before some tests.

    Before is what has an earlier instant; all of one instant come, those of the tests
    asked about too.
    """
    table = table_of(IsolationTest.KIND)
    dialect = state.connection.dialect.name
    own = is_one_of(dialect, table.c.id, tests)
    asked = sa.select(table.c.person_id, table.c.tested_at).where(
        _here(state, IsolationTest), own, table.c.tested_at.is_not(None)
    )
    found: set[int] = set()
    for person, at in state.connection.execute(asked.distinct()).all():
        if person is not None:
            found |= _until(state, person, at)
    return found


def _until(state: Reading, person: int, at: str) -> set[int]:
    """Return a person's tests at joints of an instant, and of the one before."""
    table = table_of(IsolationTest.KIND)
    own = _here(state, IsolationTest) & (table.c.person_id == person)
    own &= table.c.joint_id.is_not(None)
    last = sa.select(sa.func.max(table.c.tested_at)).where(own, table.c.tested_at < at)
    instants = [at, state.connection.scalar(last)]
    at_them = table.c.tested_at.in_([each for each in instants if each is not None])
    return {*state.connection.scalars(sa.select(table.c.id).where(own, at_them))}
