"""Reading records as known now, or as known at the end of an earlier day."""

import datetime as dt
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar, cast
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.register import Altered, Column, Form, Record, Site, form_of
from jointmap.register.altered import ALTERED_KINDS
from jointmap.register.revision import Revision
from jointmap.storage.chain.entries import Entry, read_entries
from jointmap.storage.cut import Then, altered_after, there_on
from jointmap.storage.naming import key_text, plain_key
from jointmap.storage.schema import record_kind, table_of
from jointmap.storage.within import Only, is_one_of, within

R = TypeVar("R", bound=Record)


@dataclass(slots=True)
class Reading:
    """One state of one site's register; nothing here writes.

    With ``on`` it is the state as it was on that day, by what is known: what is dated
    later is not there, and an end that came later is none. With ``only`` of some kinds
    no other rows than those of these ids are there.
    """

    connection: Connection
    site_id: int
    entries: Sequence[Entry]
    all_entries: Sequence[Entry]
    on: dt.date | None = None
    only: Only = field(default_factory=dict)
    _kept: dict[type[Record], Mapping[int, Record]] = field(default_factory=dict)
    _then: Then | None = None

    @property
    def last(self) -> Entry:
        """The last entry that this state knows of."""
        return self.entries[-1]

    @property
    def is_current(self) -> bool:
        """Whether this is the newest state, or an earlier one."""
        return len(self.entries) == len(self.all_entries)

    def on_day(self, on: dt.date) -> "Reading":
        """Return what was there on a day, as known in this state."""
        return replace(self, on=on, _kept={}, _then=None)

    @property
    def whatever_day(self) -> "Reading":
        """The same state with all that is known in it, of whatever day."""
        return self if self.on is None else replace(self, on=None, _kept={}, _then=None)

    def part(self, only: Only) -> "Reading":
        """Return this state with no other rows of the kinds named than these ids."""
        return replace(self, only={**self.only, **only}, _kept={}, _then=None)

    @property
    def whole(self) -> "Reading":
        """The state that this is a part of."""
        return replace(self, only={}, _kept={}, _then=None) if self.only else self

    def ids_with(
        self,
        kind: type[Record],
        column: str,
        values: Collection[Any],
        *,
        every_revision: bool = False,
        **also: str,
    ) -> list[int]:
        """Return the ids of the records with one of these values in a column.

        ``also`` are values of other columns; ``every_revision`` adds the records that
        had one in a revision since replaced.
        """
        table = table_of(kind.KIND)
        every = self.where_written(table)
        rows = every if every_revision else self._known(kind) & self.there(kind)
        if not values:
            return []
        asked = is_one_of(self._dialect, table.c[column], values)
        if not every_revision and self._was_another(kind, column):
            # By index, with the few rows that held another value on the day.
            asked |= self.then.altered_later(table, kind.KIND, column)
            rows &= is_one_of(self._dialect, self.column(kind, column), values)
        more = [table.c[name] == value for name, value in also.items()]
        query = sa.select(table.c.id).where(rows, asked, *more).distinct()
        return sorted(self.connection.scalars(query))

    def values_of(self, kind: type[Record], column: str, ids: Collection[int]) -> Any:  # noqa: ANN401
        """Return the set of values that some records have in a column, but for none."""
        table = table_of(kind.KIND)
        which = self._known(kind) & is_one_of(self._dialect, table.c.id, ids)
        value = self.column(kind, column)
        query = sa.select(value).where(which, value.is_not(None)).distinct()
        return {*self.connection.scalars(query)}

    def texts(self, kind: type[Record], column: str) -> dict[int, str]:
        """Return one column of the records of a kind, by id; no record is built."""
        table = table_of(kind.KIND)
        which = self._known(kind) & self.there(kind)
        query = sa.select(table.c.id, self.column(kind, column)).where(which)
        return {row[0]: row[1] for row in self.connection.execute(query)}

    def records(self, kind: type[R]) -> Mapping[int, R]:
        """Return the records of a kind as known in this state, by id."""
        if kind not in self._kept:
            self._kept[kind] = self._records(kind, sa.true())
        return cast("Mapping[int, R]", self._kept[kind])

    def records_with(self, kind: type[R], wanted: Mapping[str, int]) -> Mapping[int, R]:
        """Return the records that have any of the wanted values, by id."""
        return self._records(kind, _any_of(kind, wanted))

    def filled(self, kind: type[R], column: str) -> Mapping[int, R]:
        """Return the records whose text in a column is not blank, by id."""
        return self._records(kind, self.column(kind, column) != "")

    def name_of(self, record: Record) -> str:
        """Return what a person called a record then: its natural key, in words."""
        key = [plain_key(value) for value in record.key()]
        last = self.last.entry
        return key_text(self.connection, self.site_id, record.KIND, key, last)

    def revisions(self, kind: type[Record]) -> list[Revision]:
        """Return every revision written up to this state, oldest first."""
        return self._revisions(kind, self.where_written(table_of(kind.KIND)))

    def corrected(self, kind: type[Record]) -> list[Revision]:
        """Return every revision of the records that have more than one."""
        table = table_of(kind.KIND)
        written = self.where_written(table)
        ids = sa.select(table.c.id).where(written, table.c.revision > 1)
        return self._revisions(kind, written & table.c.id.in_(ids))

    def first_entries(
        self, kind: type[Record], wanted: Mapping[str, int] | None = None
    ) -> Mapping[int, int]:
        """Return the entry in which each record first came in, by id.

        Of all records of the kind, or of those that have any of the wanted values now.
        """
        table = table_of(kind.KIND)
        first = self.where_written(table) & (table.c.revision == 1)
        query = sa.select(table.c.id, table.c.entry).where(first)
        if wanted is not None:
            now = sa.select(table.c.id).where(self._known(kind), _any_of(kind, wanted))
            query = query.where(table.c.id.in_(now))
        return {row.id: row.entry for row in self.connection.execute(query)}

    def written_last(
        self, kind: type[Record], names: Sequence[str]
    ) -> Sequence[tuple[Any, ...]]:
        """Return the named values, each set once, of the rows of the last entry."""
        table = table_of(kind.KIND)
        here = (table.c.site_id == self.site_id) & (table.c.entry == self.last.entry)
        query = sa.select(*(table.c[n] for n in names)).where(here).distinct()
        return [tuple(row) for row in self.connection.execute(query)]

    def at_entry(self, count: int) -> "Reading":
        """Return the state as it was after so many entries."""
        return replace(self, entries=self.entries[:count], _kept={}, _then=None)

    @property
    def site(self) -> Site:
        """The site's own record."""
        return next(iter(self.records(Site).values()))

    def last_id(self, kind: type[Record]) -> int:
        """Return the highest id that the site has of a kind; 0: none."""
        table = table_of(kind.KIND)
        own = table.c.site_id == self.site_id
        return (
            self.connection.scalar(sa.select(sa.func.max(table.c.id)).where(own)) or 0
        )

    @property
    def _dialect(self) -> str:
        return self.connection.dialect.name

    def _own(self, table: sa.Table) -> sa.ColumnElement[bool]:
        kind = record_kind(table)
        here: sa.ColumnElement[bool] = table.c.site_id == self.site_id
        return here & within(self._dialect, self.only, kind) if self.only else here

    def where_written(self, table: sa.Table) -> sa.ColumnElement[bool]:
        """Return the condition that a row had been written by then, replaced or not."""
        return self._own(table) & (table.c.entry <= self.last.entry)

    def where_known(self, table: sa.Table) -> sa.ColumnElement[bool]:
        """Return the condition that a row stood in this state of the register."""
        if self.is_current:
            return self._own(table) & table.c.superseded_by.is_(None)
        last = self.last.entry
        later = table.c.superseded_by.is_(None) | (table.c.superseded_by > last)
        return self.where_written(table) & later

    def there(self, kind: type[Record]) -> sa.ColumnElement[bool]:
        """Return the condition that what a row tells of was there on the day."""
        if self.on is None:
            return sa.true()
        return there_on(table_of(kind.KIND), kind.KIND, self.on)

    def column(self, kind: type[Record], name: str) -> sa.ColumnElement[Any]:
        """Return a column as it read on the day."""
        table = table_of(kind.KIND)
        if self.on is None:
            return table.c[name]
        return self.then.value(table, kind.KIND, name)

    def _was_another(self, kind: type[Record], name: str) -> bool:
        """Whether a column of any record was altered after the day."""
        return self.on is not None and (kind.KIND, name) in self.then.columns

    @property
    def then(self) -> Then:
        """How values of records read on the day; only of a state of a day."""
        if self._then is None:
            on, known = cast("dt.date", self.on), self._known(Altered)
            rows = self.connection.execute(altered_after(on, known)).all()
            kinds = {str(s): kind for kind, (s, _) in ALTERED_KINDS.items()}
            names = {(kinds[row.subject], row.column) for row in rows}
            self._then = Then(on, known, names)
        return self._then

    def _known(self, kind: type[Record]) -> sa.ColumnElement[bool]:
        return self.where_known(table_of(kind.KIND))

    def _records(self, kind: type[R], which: sa.ColumnElement[bool]) -> Mapping[int, R]:
        """Return the records, as known in this state, that a condition holds for."""
        found = self._revisions(kind, self._known(kind) & which)
        return cast("Mapping[int, R]", {r.id: r.record for r in found})

    def _revisions(
        self, kind: type[Record], which: sa.ColumnElement[bool]
    ) -> list[Revision]:
        table, form = table_of(kind.KIND), form_of(kind)
        lead = [table.c[n] for n in ("id", "revision", "entry", "superseded_by")]
        own = [self.column(kind, c.name) for c in form.columns]
        query = sa.select(*lead, *own).where(which, self.there(kind))
        rows = self.connection.execute(query).all()
        make = record_maker(form)
        return [
            Revision(row[0], row[1], row[2], row[3], make(row[4:]))
            for row in sorted(rows, key=lambda r: (r[0], r[1]))
        ]


def _any_of(kind: type[Record], wanted: Mapping[str, int]) -> sa.ColumnElement[bool]:
    table = table_of(kind.KIND)
    return sa.or_(*(table.c[name] == value for name, value in wanted.items()))


def record_maker(form: Form) -> Callable[[Sequence[object]], Record]:
    """Return what turns a row's own values into the form's record."""
    names = [c.name for c in form.columns]
    back = [value_reader(c) for c in form.columns]

    def make(values: Sequence[object]) -> Record:
        pairs = zip(names, back, values, strict=True)
        ready: dict[str, Any] = {n: f(v) for n, f, v in pairs}
        return form.record(**ready)

    return make


def value_reader(column: Column) -> Callable[[Any], object]:
    """Return what turns a stored value of ``column`` back into the record's."""
    words: Any = column.words
    make: Any = column.type if words is None else words
    make = getattr(make, "fromisoformat", make)
    return lambda value: None if value is None else make(value)


def begin_reading(
    connection: Connection, site_id: int, known: dt.date | None
) -> Reading:
    """Return the state of the register at the end of ``known`` at the site."""
    entries = read_entries(connection, site_id)
    now = Reading(connection, site_id, entries, entries)
    if known is None or not entries:
        return now
    zone = ZoneInfo(now.site.time_zone)
    kept = [e for e in entries if e.recorded_at.astimezone(zone).date() <= known]
    return Reading(connection, site_id, kept, entries)
