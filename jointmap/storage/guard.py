"""Triggers that refuse to overwrite or delete, from outside the program too.

DELETE is refused, and every UPDATE except filling ``superseded_by`` once. On SQLite an
insert under an existing key is refused, because ``INSERT OR REPLACE`` would delete
without asking the other triggers. PostgreSQL refuses TRUNCATE, and leaves no right to
update any column but ``superseded_by`` (other tables keep a right that their triggers
refuse, because locking a row needs one).
"""

from collections.abc import Iterator, Sequence

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.storage.schema import MARK

_TOLD = "jointmap: nothing in the register is overwritten or deleted"

FUNCTIONS = {
    "jointmap_refuse": f"""
BEGIN
  RAISE EXCEPTION '{_TOLD}';
END""",
    "jointmap_supersede": f"""
DECLARE
  closed record;
BEGIN
  closed := NEW;
  closed.{MARK} := NULL;
  IF OLD.{MARK} IS NULL AND NEW.{MARK} IS NOT NULL AND closed *= OLD THEN
    RETURN NEW;
  END IF;
  RAISE EXCEPTION '{_TOLD}';
END""",
}


def put_guard(connection: Connection, tables: Sequence[sa.Table]) -> None:
    """Create the triggers of ``tables``; run again after a column was added."""
    for statement in _statements(connection.dialect.name, tables):
        connection.exec_driver_sql(statement)


def take_guard(connection: Connection, tables: Sequence[sa.Table]) -> None:
    """Drop the triggers of ``tables``, for a migration that adds a column."""
    on_table = connection.dialect.name != "sqlite"
    for table in tables:
        for name in expected(connection, [table]):
            tail = f" ON {table.name}" if on_table else ""
            connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name}{tail}")


def expected(connection: Connection, tables: Sequence[sa.Table]) -> dict[str, str]:
    """Return the text of every trigger that ``tables`` must have, by name."""
    make = _on_sqlite if connection.dialect.name == "sqlite" else _on_postgres
    return {name: text for table in tables for name, text in make(table)}


def present(connection: Connection) -> dict[str, str]:
    """Return the text of every guard trigger that is there and switched on, by name."""
    query = _PRESENT["sqlite" if connection.dialect.name == "sqlite" else "postgresql"]
    return {row[0]: row[1] for row in connection.exec_driver_sql(query)}


def missing(connection: Connection, tables: Sequence[sa.Table]) -> list[str]:
    """Return the names of triggers that are absent, switched off or changed."""
    there = present(connection)
    wanted = expected(connection, tables)
    gone = [name for name, text in wanted.items() if there.get(name) != text]
    return gone + _changed_functions(connection)


def _changed_functions(connection: Connection) -> list[str]:
    if connection.dialect.name == "sqlite":
        return []
    sources = {row[0]: row[1] for row in connection.exec_driver_sql(_SOURCES)}
    return [n for n, text in FUNCTIONS.items() if sources.get(n) != text]


def _statements(dialect: str, tables: Sequence[sa.Table]) -> Iterator[str]:
    if dialect == "sqlite":
        yield from (text for table in tables for _, text in _on_sqlite(table))
        return
    for name, body in FUNCTIONS.items():
        head = f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql"
        yield f"{head} AS $${body}$$"
    for table in tables:
        for name, text in _on_postgres(table):
            yield text
            yield f"ALTER TABLE {table.name} ENABLE ALWAYS TRIGGER {name}"
        yield from _rights(table)


def _rights(table: sa.Table) -> Iterator[str]:
    first = next(iter(table.c)).name
    column = MARK if MARK in table.c else first
    may = f"SELECT, INSERT, UPDATE ({column})"
    yield f"REVOKE ALL ON {table.name} FROM PUBLIC, CURRENT_USER"
    yield f"GRANT {may} ON {table.name} TO CURRENT_USER"


def _on_postgres(table: sa.Table) -> Iterator[tuple[str, str]]:
    # Written as PostgreSQL writes it back, so that the two can be compared.
    update = "jointmap_supersede" if MARK in table.c else "jointmap_refuse"
    for act, each, function in (
        ("DELETE", "ROW", "jointmap_refuse"),
        ("UPDATE", "ROW", update),
        ("TRUNCATE", "STATEMENT", "jointmap_refuse"),
    ):
        name = f"guard_{table.name}_{act.lower()}"
        where = f"BEFORE {act} ON {table.name} FOR EACH {each}"
        yield name, f"CREATE TRIGGER {name} {where} EXECUTE FUNCTION {function}()"


def _on_sqlite(table: sa.Table) -> Iterator[tuple[str, str]]:
    for act, when in (
        ("DELETE", ""),
        ("UPDATE", _not_just_the_mark(table)),
        ("INSERT", f" WHEN {_is_there(table)}"),
    ):
        name = f"guard_{table.name}_{act.lower()}"
        refuse = f"BEGIN SELECT RAISE(ABORT, '{_TOLD}'); END"
        yield name, f"CREATE TRIGGER {name} BEFORE {act} ON {table.name}{when} {refuse}"


def _not_just_the_mark(table: sa.Table) -> str:
    if MARK not in table.c:
        return ""
    same = [f'NEW."{c.name}" IS OLD."{c.name}"' for c in table.c if c.name != MARK]
    filled = [f"OLD.{MARK} IS NULL", f"NEW.{MARK} IS NOT NULL"]
    return f" WHEN NOT ({' AND '.join([*filled, *same])})"


def _is_there(table: sa.Table) -> str:
    """Say that a row of this key, or of another unique index, is there already."""
    if MARK not in table.c:
        unique = [c for c in table.constraints if isinstance(c, sa.UniqueConstraint)]
        keys = [[c.name for c in key.columns] for key in (table.primary_key, *unique)]
        same_key = (" AND ".join(f"{n} = NEW.{n}" for n in names) for names in keys)
        return " OR ".join(_exists(table, condition) for condition in same_key)
    # One look-up serves the key and the index of current rows.
    same = "site_id = NEW.site_id AND id = NEW.id"
    taken = f"(revision = NEW.revision OR ({MARK} IS NULL AND NEW.{MARK} IS NULL))"
    # Nothing joins an entry that is sealed already, so no place in one is taken over.
    sealed = "SELECT 1 FROM entry WHERE site_id = NEW.site_id AND entry >= NEW.entry"
    found = [_exists(table, f"{same} AND {taken}"), f"EXISTS ({sealed})"]
    if "tag" in table.c:
        current = f"tag = NEW.tag AND {MARK} IS NULL AND NEW.{MARK} IS NULL"
        found.append(_exists(table, f"site_id = NEW.site_id AND {current}"))
    return " OR ".join(found)


def _exists(table: sa.Table, condition: str) -> str:
    return f"EXISTS (SELECT 1 FROM {table.name} WHERE {condition})"  # noqa: S608


_PRESENT = {
    "sqlite": "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": """
SELECT t.tgname, pg_get_triggerdef(t.oid, true)
FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
WHERE NOT t.tgisinternal AND t.tgenabled = 'A'
  AND c.relnamespace = current_schema()::regnamespace""",
}
_SOURCES = """
SELECT proname, prosrc FROM pg_proc
WHERE pronamespace = current_schema()::regnamespace"""
