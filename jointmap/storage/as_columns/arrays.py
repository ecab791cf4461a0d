"""Straight from the database into columns; no record is built.

Codes become the place of a word in its list, days whole numbers since 1970, all inside
the database; rows come unordered and are sorted in NumPy. A large table is read in
parts by id. Of columns that few rows of a part fill only those rows are read.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import sqlalchemy as sa

from jointmap.register import Column, Record, form_of
from jointmap.storage.as_columns.array_columns import Wanted, parcels
from jointmap.storage.reading import Reading
from jointmap.storage.schema import table_of

Array = npt.NDArray[Any]
# Ids of one part: keeps memory small.
PART = 125_000
# Rows taken from the database at a time, few enough to stay in the processor's memory.
_AT_A_TIME = 512
# Texts of a part that are looked at for being alike.
_MOST_ALIKE = 4_096


def read_arrays(
    state: Reading,
    kind: type[Record],
    names: Sequence[str],
    lists: Mapping[str, Sequence[str]] | None = None,
    *,
    every_revision: bool = False,
) -> dict[str, Array]:
    """Return ``id`` and the named fields of a kind as equal-length arrays by id.

    None becomes 0 (whole numbers, truth), NaN (numbers), NaT (days), -1 (words). Text
    of a field named in ``lists`` comes as its place in that list, or as objects.
    ``every_revision`` returns what was replaced too, oldest first.
    """
    last = state.last_id(kind)
    found = Joined(last)
    for part in _parts(state, kind, names, lists or {}, last, every_revision):
        found.add(part)
    return found.whole()


def read_parts(
    state: Reading,
    kind: type[Record],
    names: Sequence[str],
    lists: Mapping[str, Sequence[str]] | None = None,
) -> Iterator[dict[str, Array]]:
    """Yield what ``read_arrays`` returns in parts, by rising id; at least one."""
    return _parts(state, kind, names, lists or {}, state.last_id(kind), False)


class Joined:
    """Arrays that grow part by part, in place.

    A part is let go as soon as it is added: many parts kept until the end would hold
    twice the memory.
    """

    def __init__(self, most: int) -> None:
        """Begin with no rows, and room for ``most`` when the second part comes.

        Room that is not used takes no memory.
        """
        self.most = most
        self.columns: dict[str, Array] = {}
        self.rows = 0

    def add(self, part: Mapping[str, Array]) -> None:
        """Put the rows of a part, of the same columns each time, at the end."""
        count = len(next(iter(part.values())))
        if not self.columns:
            self.columns, self.rows = dict(part), count
            return
        stop = self.rows + count
        for name, values in part.items():
            own = self.columns[name]
            wide = np.result_type(own, values)
            if stop > len(own) or wide != own.dtype:
                own = np.empty(max(self.most, 2 * stop), wide)
                own[: self.rows] = self.columns[name][: self.rows]
                self.columns[name] = own
            own[self.rows : stop] = values
        self.rows = stop

    def whole(self) -> dict[str, Array]:
        """Return the arrays."""
        return {name: own[: self.rows] for name, own in self.columns.items()}


def _parts(
    state: Reading,
    kind: type[Record],
    names: Sequence[str],
    lists: Mapping[str, Sequence[str]],
    last: int,
    every_revision: bool,
) -> Iterator[dict[str, Array]]:
    columns = {c.name: c for c in form_of(kind).columns}
    wanted = [
        Wanted(columns[n], state.column(kind, n), _words(columns[n], lists))
        for n in names
    ]
    few: list[list[Wanted]] = []
    starts = _starts(state, kind, last)
    for start in starts:
        part = _Part(state, kind, wanted, start, every_revision)
        if start == starts[0] and len(starts) > 1 and not every_revision:
            few = part.few()
        yield part.read(few)


def _starts(state: Reading, kind: type[Record], last: int) -> Sequence[int | None]:
    """Return the first ids of the parts to read; None: all that is wanted, at once."""
    if len(state.only.get(kind, range(PART + 1))) <= PART:
        return [None]
    return range(1, max(last, 1) + 1, PART)


def _words(column: Column, lists: Mapping[str, Sequence[str]]) -> Sequence[str]:
    words: Any = column.words
    return lists.get(column.name, ()) if words is None else [str(w) for w in words]


@dataclass(frozen=True, slots=True)
class _Part:
    """The rows of some ids."""

    state: Reading
    kind: type[Record]
    wanted: Sequence[Wanted]
    start: int | None
    every_revision: bool

    @property
    def table(self) -> sa.Table:
        """The table of the kind."""
        return table_of(self.kind.KIND)

    def few(self) -> list[list[Wanted]]:
        """Return the columns that no row fills, and those that under half do.

        Of another part this need not be so; reading it is only slower then.
        """
        asked = [w for w in self.wanted if w.may_be_empty]
        counts = [sa.func.count(w.filled()) for w in asked]
        query = sa.select(sa.func.count(), *counts).where(self._which())
        total, *filled = self.state.connection.execute(query).one()
        none = [w for w, count in zip(asked, filled, strict=True) if not count]
        some = [
            w for w, count in zip(asked, filled, strict=True) if 0 < 2 * count < total
        ]
        return [group for group in (none, some) if group]

    def read(self, few: Sequence[Sequence[Wanted]]) -> dict[str, Array]:
        """Return the part; of the columns in ``few`` only rows that fill any."""
        names = {one.field.name for group in few for one in group}
        found = self._read([w for w in self.wanted if w.field.name not in names])
        for group in few:
            own = self._read(group, sa.or_(*(w.filled().is_not(None) for w in group)))
            rows = np.searchsorted(found["id"], own["id"])
            for one in group:
                values = one.nothing(len(found["id"]))
                values[rows] = own[one.field.name]
                found[one.field.name] = values
        return {n: found[n] for n in ("id", *(w.field.name for w in self.wanted))}

    def _read(
        self, wanted: Sequence[Wanted], which: sa.ColumnElement[bool] | None = None
    ) -> dict[str, Array]:
        loads = parcels(wanted)
        dialect = self.state.connection.dialect.name
        exprs = [load.expression(dialect) for load in loads]
        query = sa.select(self.table.c.id, *exprs).where(self._which())
        if which is not None:
            query = query.where(which)
        if self.every_revision:
            query = query.order_by(self.table.c.revision)
        types = ["i8", *(load.travels_as for load in loads)]
        ids, *columns = self._fetched(query, types)
        order: Array | slice = slice(None)
        if np.any(ids[1:] < ids[:-1]):
            order = np.argsort(ids, kind="stable")
        found = {"id": ids[order]}
        for load, values in zip(loads, columns, strict=True):
            found |= load.opened(values[order])
        return found

    def _fetched(self, query: sa.Select[Any], types: Sequence[str]) -> list[Array]:
        cursor: Any = self.state.connection.execute(query).cursor
        found = [np.empty(PART, of) for of in types]
        alike: dict[str, str] = {}
        stop = 0
        while rows := cursor.fetchmany(_AT_A_TIME):
            start, stop = stop, stop + len(rows)
            if stop > len(found[0]):
                found = [np.concatenate([own, np.empty_like(own)]) for own in found]
            for own, values in zip(found, zip(*rows, strict=True), strict=True):
                given: Iterable[Any] = values
                if own.dtype == object and len(alike) < _MOST_ALIKE:
                    # The same text again is kept once.
                    given = map(alike.setdefault, values, values)
                own[start:stop] = np.fromiter(given, own.dtype, len(rows))
        return [own[:stop] for own in found]

    def _which(self) -> sa.ColumnElement[bool]:
        every = self.every_revision
        state, table = self.state, self.table
        known = state.where_written(table) if every else state.where_known(table)
        known &= state.there(self.kind)
        if self.start is None:
            return known
        return known & table.c.id.between(self.start, self.start + PART - 1)
