"""Every object of the database, held against what this program makes.

An object is named by what it is and what it is called; what it is made of is text or a
tuple that is the same whether the tables were made at once or step by step.
"""

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from sqlalchemy.engine import Connection

from jointmap.errors import Problem
from jointmap.storage.objects import postgres, sqlite
from jointmap.storage.schema import METADATA, SCHEMA_VERSION


class ObjectFault(NamedTuple):
    """What is wrong with an object: a stable name, what it is, what it is called."""

    name: str
    what: str
    called: str

    @property
    def problem(self) -> Problem:
        """The fault as it is told."""
        facts = {"what": self.what, "called": self.called, "key": self.called}
        return Problem(f"verify.{self.name}", facts)


Objects = Mapping[tuple[str, str], Any]


def object_faults(
    connection: Connection, version: str = SCHEMA_VERSION
) -> Iterator[ObjectFault]:
    """Yield what is missing, altered or foreign, by name.

    Of an older ``version`` only a file can be held against what was made then.
    """
    here = sqlite if connection.dialect.name == "sqlite" else postgres
    if here is postgres and version != SCHEMA_VERSION:
        return
    wanted, found = here.expected(connection, version), here.present(connection)
    for key in sorted(wanted.keys() | found.keys()):
        if key not in found:
            yield ObjectFault(_guard(key, "object_missing"), *key)
        elif key not in wanted:
            yield ObjectFault("object_foreign", *key)
        elif wanted[key] != found[key]:
            yield ObjectFault(_guard(key, "object_altered"), *key)


def _guard(key: tuple[str, str], name: str) -> str:
    return "guard" if key[0] in {"trigger", "function"} else name


def unreadable(connection: Connection) -> Iterator[ObjectFault]:
    """Yield tables and columns that are not there, so that no row can be read."""
    here = sqlite if connection.dialect.name == "sqlite" else postgres
    there = here.columns_there(connection)
    for table in METADATA.sorted_tables:
        names = there.get(table.name)
        if names is None:
            yield ObjectFault("object_missing", "table", table.name)
            continue
        for column in table.columns:
            if column.name not in names:
                called = f"{table.name}.{column.name}"
                yield ObjectFault("object_missing", "column", called)
