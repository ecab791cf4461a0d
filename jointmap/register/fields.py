"""What a record is made of: typed fields, what they refer to, how they are checked.

A record kind is a frozen dataclass. Everything else that needs to know its columns
(storage, exchange, pages) reads them from the form made here.
"""

import datetime as dt
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields
from enum import StrEnum
from functools import cache
from types import NoneType
from typing import Any, ClassVar, TypeAlias, get_args, get_type_hints

from jointmap.errors import Problem, Refused
from jointmap.register.bounds import Bound, DayBound, bound_of

# SQL and canonical form know just these; a word from a fixed list is text.
PLAIN_TYPES = (str, int, float, bool, dt.date, dt.datetime)
QUANTITY_OF_SUFFIX = {
    "_metre": "length",
    "_volt": "voltage",
    "_ampere": "current",
    "_ohm": "resistance",
    "_newton_metre": "torque",
    "_pascal": "pressure",
    "_degc": "temperature",
    "_siemens_per_metre": "conductivity",
    "_square_metre": "area",
    "_second": "time",
    "_ratio": "ratio",
    "_kilometre": "distance along a line",
    "_metre_per_second": "speed",
}


# Fields of every kind that tell of the row, not of the thing.
ABOUT_THE_ROW = ("origin", "as_written", "correction_reason")


_Words: TypeAlias = type[StrEnum] | None


@dataclass(frozen=True, slots=True)
class Column:
    """One field of a record kind, as every layer needs to know it."""

    name: str
    type: type
    nullable: bool
    refers: str = ""
    withheld: bool = False
    words: _Words = None
    bound: Bound | DayBound | None = None

    @property
    def quantity(self) -> str:
        """The kind of quantity the name's unit stands for, or an empty text."""
        return QUANTITY_OF_SUFFIX.get(self._suffix, "")

    @property
    def unit(self) -> str:
        """The unit of the name, as ``wording`` shows it; blank for none."""
        return self._suffix.removeprefix("_")

    @property
    def label(self) -> str:
        """The name without its unit or ``_id``: the column heading in files."""
        if self.refers:
            return self.name.removesuffix("_id")
        return self.name.removesuffix(self._suffix) if self.quantity else self.name

    @property
    def _suffix(self) -> str:
        return _suffix_of(self.name)


@cache
def _suffix_of(name: str) -> str:
    """Return the longest ending of a name that stands for a unit; blank for none."""
    found = [s for s in QUANTITY_OF_SUFFIX if name.endswith(s)]
    return max(found, key=len, default="")


@dataclass(frozen=True, slots=True)
class Form:
    """The numbered column list of a record kind; a new list is a new number."""

    kind: str
    number: int
    record: type["Record"]
    key: tuple[str, ...]
    columns: tuple[Column, ...]

    @property
    def withholds(self) -> bool:
        """Whether any value of this kind may have to be left out of a pack."""
        return any(c.withheld for c in self.columns)


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """Base of all record kinds: whole and sound, or refused."""

    KIND: ClassVar[str] = ""
    FORM: ClassVar[int] = 1
    KEY: ClassVar[tuple[str, ...]] = ()

    # Where the row came from, the sender's own text of every quantity in it, and, of a
    # revision, why the value before it was replaced.
    origin: str = ""
    as_written: str = ""
    correction_reason: str = ""

    def __post_init__(self) -> None:
        columns = form_of(type(self)).columns
        odd = [c for c in columns if not _is_plain(getattr(self, c.name), c)]
        found = [p for c in odd for p in _faults(self, c)]
        found.extend(self.faults())
        if found:
            raise Refused(found)

    def faults(self) -> Iterator[Problem]:
        """Yield what is wrong with this record beyond the type of its fields."""
        yield from ()

    def key(self) -> tuple[Any, ...]:
        """Return the natural key by which a second sending is recognised."""
        return tuple(getattr(self, name) for name in self.KEY)

    def values(self) -> tuple[Any, ...]:
        """Return the values in the order of the form's columns."""
        return tuple(getattr(self, c.name) for c in form_of(type(self)).columns)


def refers(kind: str, *, optional: bool = False) -> Any:  # noqa: ANN401
    """Declare a whole number that is the id of a record of ``kind``."""
    meta = {"refers": kind}
    return field(default=None, metadata=meta) if optional else field(metadata=meta)


def withheld(*, optional: bool = True) -> Any:  # noqa: ANN401
    """Declare a value that a pack may leave out; it enters the leaf salted."""
    meta = {"withheld": True}
    return field(default=None, metadata=meta) if optional else field(metadata=meta)


_FORMS: dict[type[Record], Form] = {}


def form_of(record: type[Record]) -> Form:
    """Return the form of a record kind, made once."""
    if record not in _FORMS:
        _FORMS[record] = _make_form(record)
    return _FORMS[record]


def _make_form(record: type[Record]) -> Form:
    hints = get_type_hints(record)
    own = sorted(fields(record), key=lambda f: f.name in ABOUT_THE_ROW)
    columns = tuple(
        _column(record.KIND, f.name, hints[f.name], f.metadata) for f in own
    )
    return Form(record.KIND, record.FORM, record, record.KEY, columns)


def _column(
    kind: str,
    name: str,
    hint: Any,  # noqa: ANN401
    meta: Mapping[str, Any],
) -> Column:
    parts = get_args(hint) or (hint,)
    plain = next(p for p in parts if p is not NoneType)
    words = plain if issubclass(plain, StrEnum) else None
    return Column(
        name,
        str if words else plain,
        NoneType in parts,
        meta.get("refers", ""),
        meta.get("withheld", False),
        words,
        bound_of(kind, name),
    )


def _is_plain(value: object, column: Column) -> bool:
    """Whether a value is sound at a glance; the others are looked at one by one."""
    if value is None:
        return column.nullable
    if type(value) is str:
        return column.words is None and column.type is str and "\x00" not in value
    exact = column.words or column.type
    return type(value) is exact and exact is not float and exact is not dt.datetime


def _faults(record: Record, column: Column) -> Iterator[Problem]:
    value = getattr(record, column.name)
    if value is None:
        yield Problem("record.missing", {"field": column.label}, column=column.label)
        return
    fault = _value_fault(value, column)
    if fault:
        shown = str(value)
        yield Problem(
            fault,
            {"field": column.label, "value": shown},
            column=column.label,
            value=shown,
        )
    if column.type is float and value == 0.0:
        # One zero only, so that equal values give equal bytes.
        object.__setattr__(record, column.name, 0.0)


def _value_fault(value: object, column: Column) -> str:
    if column.words is not None:
        return "" if isinstance(value, column.words) else "record.word"
    if type(value) is not column.type:
        return "record.type"
    cases = {
        "record.not_finite": isinstance(value, float) and not math.isfinite(value),
        "record.nul": isinstance(value, str) and "\x00" in value,
        "record.not_utc": isinstance(value, dt.datetime) and value.tzinfo is not dt.UTC,
    }
    return next((id_ for id_, holds in cases.items() if holds), "")


def off_the_globe(record: Record) -> Iterator[Problem]:
    """Yield each of a record's degrees that is beyond what a globe has."""
    for name, most in (("latitude_deg", 90.0), ("longitude_deg", 180.0)):
        value = getattr(record, name)
        if value is not None and abs(value) > most:
            facts = {"value": value, "most": most}
            yield Problem("position.range", facts, column=name)
