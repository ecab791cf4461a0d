"""What entries on record tell of people: who stood behind them, whom they appointed."""

from dataclasses import dataclass
from typing import cast

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.register import FORMS, Person
from jointmap.register.rights.roles import MAY_APPROVE
from jointmap.storage.chain.entries import read_entries
from jointmap.storage.known import Known
from jointmap.storage.reading import record_maker
from jointmap.storage.schema import table_of

Codes = dict[str, frozenset[str]]  # the codes of people, by an entry's number


@dataclass(frozen=True, slots=True)
class PastPeople:
    """People in every revision on record; read only when somebody asks."""

    connection: Connection
    site_id: int
    entry: int  # of the transaction that asks
    people: Known

    def before(self, code: str | None = None) -> dict[int, Person]:
        """Return people by id as they were before this transaction, or one by code."""
        table, form = table_of("person"), FORMS["person"]
        was = table.c.superseded_by.is_(None) | (table.c.superseded_by == self.entry)
        which = (table.c.site_id == self.site_id) & (table.c.entry < self.entry) & was
        if code is not None:
            which &= table.c.code == code
        query = sa.select(table.c.id, *(table.c[c.name] for c in form.columns))
        make, rows = record_maker(form), self.connection.execute(query.where(which))
        return {row[0]: cast("Person", make(row[1:])) for row in rows}

    def authors(self) -> Codes:
        """Return who recorded each entry, and who decided what came in with it."""
        entries = read_entries(self.connection, self.site_id)
        found = {str(e.entry): {e.recorded_by} for e in entries}
        table = table_of("decision")
        query = sa.select(table.c.entry, table.c.person_id).where(
            table.c.site_id == self.site_id, table.c.person_id.is_not(None)
        )
        for entry, person in self.connection.execute(query):
            if str(entry) in found:
                found[str(entry)] |= self._code(person)
        return {entry: frozenset(codes) for entry, codes in found.items()}

    def appointed(self) -> Codes:
        """Return whom each entry gave a role that may approve, after the first."""
        found: dict[str, set[str]] = {}
        before: dict[int, str] = {}
        rows = self._revisions()
        first = min((entry for entry, *_ in rows), default=0)
        for entry, id_, _, role in rows:
            given = role in MAY_APPROVE and before.get(id_) != role
            before[id_] = role
            if given and entry > first:
                found.setdefault(str(entry), set()).update(self._code(id_))
        return {entry: frozenset(codes) for entry, codes in found.items()}

    def codes(self) -> dict[str, int]:
        """Return who had each code first, by the code."""
        found: dict[str, int] = {}
        for _, id_, code, _ in self._revisions():
            found.setdefault(code, id_)
        return found

    def _revisions(self) -> list[tuple[int, int, str, str]]:
        table = table_of("person")
        query = (
            sa.select(table.c.entry, table.c.id, table.c.code, table.c.role)
            .where(table.c.site_id == self.site_id)
            .order_by(table.c.entry, table.c.position)
        )
        return [tuple(row) for row in self.connection.execute(query)]

    def _code(self, id_: int) -> set[str]:
        known = self.people.current(id_)
        return set() if known is None else {str(known[1].key()[0])}
