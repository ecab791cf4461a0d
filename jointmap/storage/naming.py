"""What a person calls a stored row: its natural key, ids never shown."""

from collections.abc import Sequence

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.register import FORMS
from jointmap.register.codes import KIND_OF_SUBJECT
from jointmap.storage.chain.canonical import Plain
from jointmap.storage.schema import table_of


def key_text(
    connection: Connection,
    site_id: int,
    kind: str,
    key: Sequence[Plain],
    last: int | None = None,
) -> str:
    """Return a natural key as text, with what it refers to by name.

    The name is that of now, or the one known after the entry ``last``.
    """
    refers = {c.name: c.refers for c in FORMS[kind].columns}
    words: list[str] = []
    for name, value in zip(FORMS[kind].key, key, strict=True):
        target = refers[name]
        if name == "subject_id":
            target = KIND_OF_SUBJECT.get(str(key[0]), "")
        if value is None or value == "":
            continue
        named = target and _name_of(connection, site_id, target, value, last)
        words.append(named or str(value))
    return " ".join(words)


def _name_of(
    connection: Connection, site_id: int, kind: str, id_: Plain, last: int | None
) -> str:
    table = table_of(kind)
    key = [table.c[name] for name in FORMS[kind].key]
    this = (table.c.site_id == site_id) & (table.c.id == id_)
    if last is not None:
        this &= table.c.entry <= last
    newest = sa.select(*key).where(this).order_by(table.c.revision.desc()).limit(1)
    row = connection.execute(newest).first()
    return (
        f"unknown {kind}"
        if row is None
        else key_text(connection, site_id, kind, tuple(row), last)
    )


def plain_key(value: object) -> str | int | None:
    """Return a part of a natural key as the database holds it."""
    return value if value is None or isinstance(value, int) else str(value)
