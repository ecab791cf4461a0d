"""Single edits of a stored register, as one with the database in hand would make."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass

import sqlalchemy as sa

from jointmap.register import FORMS
from jointmap.storage.schema import ENTRIES, MARK, table_of


@dataclass(frozen=True, slots=True)
class Edit:
    """One value of one row, to be replaced."""

    table: sa.Table
    column: str
    key: dict[str, int]

    @property
    def kind(self) -> str:
        return self.table.name.removeprefix("record_")


def possible_edits(connection: sa.Connection) -> list[Edit]:
    """Return every column of every row of records and chain."""
    tables = [*(table_of(kind) for kind in FORMS), ENTRIES]
    found = []
    for table in tables:
        names = [c.name for c in table.primary_key]
        keys = [
            dict(r)
            for r in connection.execute(sa.select(*table.primary_key)).mappings()
        ]
        columns = [c.name for c in table.columns if c.name != "site_id"]
        found += [Edit(table, c, key) for c in columns for key in keys]
        assert names[0] == "site_id"
    return found


def chosen(edits: list[Edit], count: int, seed: str) -> Iterator[tuple[int, Edit]]:
    """Yield ``count`` edits picked by hash, numbered."""
    for number in range(count):
        digest = hashlib.sha256(f"{seed}:{number}".encode()).digest()
        yield number, edits[int.from_bytes(digest[:6], "big") % len(edits)]


def other_value(old: object, column: sa.Column, number: int) -> object:
    """Return a value of the column's type that is not ``old``."""
    if isinstance(column.type, sa.LargeBinary):
        flipped = bytearray(old or bytes(32))
        flipped[number % len(flipped)] ^= 1 << number % 8
        return bytes(flipped)
    if isinstance(column.type, sa.String):
        return (old or "") + "x" if number % 2 else "y" + (old or "")
    if isinstance(column.type, sa.Double):
        return 1.0 if old is None else old * 2 + 0.5
    return 1 if old is None else old + 1 + number % 3


def apply(connection: sa.Connection, edit: Edit, number: int) -> str:
    """Make the edit; return the row's name beforehand, as a person knows it."""
    table = edit.table
    for index in table.indexes:
        if index.unique:
            connection.execute(sa.schema.DropIndex(index))
    this = sa.and_(*(table.c[n] == v for n, v in edit.key.items()))
    old = connection.execute(sa.select(table.c[edit.column]).where(this)).scalar()
    new = other_value(old, table.c[edit.column], number)
    if edit.column in edit.key:
        new = old + 1000 + number  # one that is free, or it would not go in
    if edit.column == MARK and number % 2 and old is not None:
        new = None
    connection.execute(sa.update(table).where(this).values({edit.column: new}))
    return f"{edit.column}: {old!r} -> {new!r}"
