"""One cell: the sender's text to a value, or the problem with it."""

import datetime as dt
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from jointmap.errors import Problem, Refused
from jointmap.register import Column
from jointmap.register.bounds import BEYOND, Bound, bound_fault
from jointmap.units import OVER_RANGE, read_quantity

_DAY = dt.timedelta(days=1)
_TRUTH = {"yes": True, "no": False}
_DIGITS = re.compile(r"[+-]?[0-9]{1,18}")  # what 64 bits hold
_DECIMAL = re.compile(
    r"[+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?|[+-]?[0-9]+\."
)


@dataclass(frozen=True, slots=True)
class Ref:
    """A reference as the sender wrote it: the natural key of another record."""

    kind: str
    key: str


def read_cell(
    column: Column, text: str, *, accepted: bool = False, bounded: bool = True
) -> tuple[object, int]:
    """Return the value of a filled cell and its bound (-1 below, 0 exact, 1 above).

    With ``accepted`` a person has said that an unlikely number is right; without
    ``bounded`` the column takes no < and no >. Raises ``Refused`` with one problem that
    says what would be accepted.
    """
    if column.refers:
        return Ref(column.refers, text), 0
    if column.words is not None:
        return _word(column, text), 0
    value, bound = _plain(column, text) if bounded else _one_number(column, text)
    if isinstance(column.bound, Bound):
        check_bound(value, column.bound, column.unit, accepted=accepted)
    return value, bound


def _plain(column: Column, text: str) -> tuple[object, int]:
    if column.quantity:
        quantity = read_quantity(text, column.quantity)
        return quantity.value, quantity.bound
    return _PLAIN[column.type](text), 0


def _one_number(column: Column, text: str) -> tuple[object, int]:
    """Return a value without a bound; a meter over its range is one too."""
    try:
        value, bound = _plain(column, text)
    except Refused as refused:
        if refused.problems[0].id == OVER_RANGE:
            raise _refused("cell.bound") from None
        raise
    if bound:
        raise _refused("cell.bound")
    return value, 0


def check_bound(
    value: Any,  # noqa: ANN401 - a whole number or a float
    bound: Bound,
    unit: str = "",
    *,
    accepted: bool = False,
) -> None:
    """Refuse a number outside its bound, with the bound and where it is from."""
    fault = bound_fault(value, bound, unit)
    if fault is not None and not (accepted and fault.id == BEYOND):
        raise Refused(fault)


def _word(column: Column, text: str) -> object:
    words = {str(w).lower(): w for w in column.words or ()}
    if text.lower() not in words:
        raise _refused("cell.word", accepted=", ".join(str(w) for w in words.values()))
    return words[text.lower()]


def _refused(id_: str, **values: object) -> Refused:
    return Refused(Problem(id_, values))


def _day(text: str) -> dt.date:
    try:
        return dt.datetime.strptime(text, "%Y-%m-%d").date()  # noqa: DTZ007
    except ValueError:
        raise _refused("cell.day") from None


def _instant(text: str) -> dt.datetime:
    try:
        found = dt.datetime.fromisoformat(text)
    except ValueError:
        raise _refused("cell.instant") from None
    if found.tzinfo is None:
        raise _refused("cell.instant")
    try:
        utc = found.astimezone(dt.UTC)
        # Any time zone's day of it is a day too.
        _ = utc - _DAY, utc + _DAY
    except OverflowError:
        raise _refused("cell.instant") from None
    return utc


def _truth(text: str) -> bool:
    if text.lower() not in _TRUTH:
        raise _refused("cell.truth")
    return _TRUTH[text.lower()]


def _whole(text: str) -> int:
    if not _DIGITS.fullmatch(text):
        raise _refused("cell.whole")
    return int(text)


def read_number(text: str) -> float:
    """Return a plain number; raises ``Refused`` for anything else."""
    found = float(text) if _DECIMAL.fullmatch(text) else math.nan
    if not math.isfinite(found):
        raise _refused("cell.number")
    return found


_PLAIN: dict[type, Callable[[str], object]] = {
    str: str,
    int: _whole,
    float: read_number,
    bool: _truth,
    dt.date: _day,
    dt.datetime: _instant,
}
