"""One field of a record kind on its way from the database into an array.

Small whole numbers (places in a list of words, truth) travel together in one number:
each value that crosses the border costs more than taking it apart.
"""

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import sqlalchemy as sa

from jointmap.register import Column

Array = npt.NDArray[Any]
_NOT_A_DAY = np.iinfo(np.int64).min
_DAY_ZERO = "2440587.5"  # the Julian day of 1970-01-01T00:00
_MOST_BITS = 62  # of one number; a database's whole numbers have a sign
# What the database writes where an array holds the same as for nothing.
_NOTHING_AS: dict[type, str] = {int: "0", str: "''"}
_TYPES: dict[type, str] = {float: "f8", int: "i8", dt.date: "i8"}


@dataclass(frozen=True, slots=True)
class Wanted:
    """A column that is asked for, and the words it is a place in, if any."""

    field: Column
    column: sa.ColumnElement[Any]
    words: Sequence[str] = ()

    @property
    def is_code(self) -> bool:
        """Whether it fits a few bits."""
        return bool(self.words) or self.field.type is bool

    @property
    def may_be_empty(self) -> bool:
        """Whether rows may hold nothing of it; a number of nought is nothing too."""
        return not self.is_code and (
            self.field.nullable or self.field.type in _NOTHING_AS
        )

    @property
    def bits(self) -> int:
        """How many bits a code needs; 0 stands for no word of the list."""
        return max(1, len(self.words).bit_length())

    def filled(self) -> sa.ColumnElement[Any]:
        """Return what is not null where the column holds something."""
        nothing = _NOTHING_AS.get(self.field.type)
        if nothing is None:
            return self.column
        return sa.func.nullif(self.column, sa.literal_column(nothing))

    def shifted(self, places: int) -> sa.ColumnElement[Any]:
        """Return the code as a whole number, ``places`` bits up."""
        one: sa.ColumnElement[Any] = sa.literal_column(str(1 << places))
        if not self.words:
            return sa.func.coalesce(self.column, sa.literal_column("0")) * one
        texts: dict[str, sa.ColumnElement[Any]] = {
            w: sa.literal_column(str((n + 1) << places))
            for n, w in enumerate(self.words)
        }
        return sa.case(texts, value=self.column, else_=sa.literal_column("0"))

    def unpacked(self, packed: Array, places: int) -> Array:
        """Return the codes that ``shifted`` put into whole numbers; -1: no word."""
        own = (packed >> places) & ((1 << self.bits) - 1)
        return (own - 1).astype(np.int16) if self.words else own.astype(np.bool_)

    def expression(self, dialect: str) -> sa.ColumnElement[Any]:
        """Return what the database gives for a column that travels alone."""
        missing = {**_NOTHING_AS, dt.date: str(_NOT_A_DAY)}
        is_day = self.field.type is dt.date
        own = _days(dialect, self.column) if is_day else self.column
        if not self.field.nullable or self.field.type not in missing:
            return own
        return sa.func.coalesce(own, sa.literal_column(missing[self.field.type]))

    @property
    def travels_as(self) -> str:
        """The array type of a column that travels alone."""
        return _TYPES.get(self.field.type, "O")

    def finished(self, values: Array) -> Array:
        """Return values that travelled alone as they are handed out."""
        return values.view("M8[D]") if self.field.type is dt.date else values

    def nothing(self, rows: int) -> Array:
        """Return rows of which none holds anything."""
        none: dict[type, object] = {float: np.nan, int: 0, dt.date: _NOT_A_DAY, str: ""}
        values = np.full(rows, none.get(self.field.type), dtype=self.travels_as)
        return self.finished(values)


def _days(dialect: str, column: sa.ColumnElement[Any]) -> sa.ColumnElement[Any]:
    if dialect == "sqlite":
        days = sa.func.julianday(column) - sa.literal_column(_DAY_ZERO)
        return sa.cast(days, sa.Integer)
    return sa.cast(column, sa.Date) - sa.literal_column("date '1970-01-01'")


@dataclass(frozen=True, slots=True)
class Parcel:
    """What travels in one value: one column, or several codes at their bits."""

    wanted: tuple[Wanted, ...]

    @property
    def _places(self) -> Iterator[tuple[Wanted, int]]:
        place = 0
        for one in self.wanted:
            yield one, place
            place += one.bits

    @property
    def travels_as(self) -> str:
        """The array type of the value."""
        return "i8" if self.wanted[0].is_code else self.wanted[0].travels_as

    def expression(self, dialect: str) -> sa.ColumnElement[Any]:
        """Return what the database gives for it."""
        if not self.wanted[0].is_code:
            return self.wanted[0].expression(dialect)
        # Begun with a wide nought, so that no sum is reckoned in a narrower number.
        total: sa.ColumnElement[Any] = sa.cast(sa.literal_column("0"), sa.BigInteger)
        for one, place in self._places:
            total += one.shifted(place)
        return total

    def opened(self, values: Array) -> Mapping[str, Array]:
        """Return the columns by name."""
        first = self.wanted[0]
        if not first.is_code:
            return {first.field.name: first.finished(values)}
        return {w.field.name: w.unpacked(values, n) for w, n in self._places}


def parcels(wanted: Sequence[Wanted]) -> list[Parcel]:
    """Return all columns: each number by itself, codes as many as fit together."""
    found = [Parcel((one,)) for one in wanted if not one.is_code]
    held: list[Wanted] = []
    for one in wanted:
        if one.is_code and sum(w.bits for w in [*held, one]) > _MOST_BITS:
            found.append(Parcel(tuple(held)))
            held = []
        if one.is_code:
            held.append(one)
    return [*found, Parcel(tuple(held))] if held else found
