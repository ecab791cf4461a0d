"""The one door for quantities: text with a unit becomes an SI number and a bound.

``>`` and ``>=`` make a bound from below (1), ``<`` and ``<=`` one from above (-1). A
thousands group may be set with spaces of any width, or with commas if nothing else is
possible: "1,234,567" and "1,105.5" are read, "1.105,5" too, "0,5" is a half. "1,105"
may be 1105 or 1.105 and is refused; "1.105" is a little over one. Pressures are gauge.

Nothing is guessed: a unit that is not in the tables below is refused, and ``mohm``,
which people write for both milliohm and megohm, is asked back.
"""

import math
import re
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from typing import Any, NamedTuple

from jointmap.errors import Problem, Refused
from jointmap.units.spellings import (
    AMBIGUOUS,
    ANY_CASE,
    EXACT,
    HELD_IN,
    SAME_SIGN,
    SPELLINGS,
)

__all__ = [
    "HELD_IN",
    "MOST_LETTERS",
    "OVER_RANGE",
    "Quantity",
    "accepted",
    "library_factor",
    "number_text",
    "quantity_text",
    "read_quantity",
    "to_si",
]


class Quantity(NamedTuple):
    """A number in the unit of its quantity; bound -1 below, 0 exact, 1 above it."""

    value: float
    bound: int


# Of a number with its unit, and what people write around them (our choice).
MOST_LETTERS = 100

_PLAIN = re.compile(
    r"([<>]?)=? *([+-]?\d+(?:\.\d*)?(?:[eE][+-]?\d+)?) *"
    r"([^\d.,/\s\-\u2010-\u2013\u2212].*)?"
)
_LOOSE = re.compile(
    r"([<>]?)=? *([+-]? ?[\d.,][\d., ]*(?:-\d+(?=/))?(?:/ ?\d+)?) *(\D.*)?"
)
OVER_RANGE = "unit.over_range"
_OVER_RANGE = re.compile(
    r"[<>]?=?\s*(o\.?/?l\.?|over-?\s?(load|range|flow)?|inf(inity)?|∞)(\s.*)?",
    re.IGNORECASE,
)
_FRACTION = re.compile(r"([+-]?)(?:(\d+)(?: +|-))?(\d+)/ ?(\d+)")
_COMMA_GROUPS = re.compile(r"[+-]?[1-9]\d{0,2}(,\d{3})+(\.\d*)?")
_POINT_GROUPS = re.compile(r"[+-]?[1-9]\d{0,2}((\.\d{3})+,\d*|(\.\d{3}){2,})")
_SPACE_GROUPS = re.compile(r"[+-]?[1-9]\d{0,2}( \d{3})+([.,]\d*)?")
_TWO_READINGS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")
_BOUND = {"": 0, "<": -1, ">": 1}


def read_quantity(text: str, quantity: str) -> Quantity:
    """Return the number that ``text`` states, in the unit ``quantity`` is held in.

    Parameters
    ----------
    text
        A number and a unit, such as ``> 999 Mohm`` or ``640 ft·lbf``.
    quantity
        One of ``HELD_IN``; a ratio may stand without a unit.

    Raises
    ------
    Refused
        With one problem ``unit.*`` that names what would be accepted.

    Examples
    --------
    >>> read_quantity("> 999 Mohm", "resistance")
    Quantity(value=999000000.0, bound=1)
    """
    if len(text) > MOST_LETTERS:
        raise _refused("unit.too_long", quantity, found=len(text), most=MOST_LETTERS)
    found = _PLAIN.fullmatch(text)
    if found is None:
        return _read_loosely(text, quantity)
    bound, number, unit = found.groups()
    return _quantity(float(number), unit or "", quantity, bound)


def to_si(value: float, unit: str, quantity: str) -> float:
    """Return ``value`` of ``unit`` in the unit ``quantity`` is held in."""
    return _quantity(value, unit, quantity, "").value


def accepted(quantity: str) -> tuple[str, ...]:
    """Return the units a person may write for ``quantity``, one spelling each."""
    shown = (names.split()[:1] for names in SPELLINGS[quantity].values())
    return tuple(_as_written(n) for names in shown for n in names)


def number_text(value: float) -> str:
    """Return a number as a person may write it; no digit is lost.

    >>> number_text(-5.0)
    '-5'
    """
    return repr(value).removesuffix(".0")


def quantity_text(value: float, quantity: str) -> str:
    """Return a value as a person may write it in the unit that it is held in.

    >>> quantity_text(50.0, "length")
    '50 m'
    """
    spelt = SPELLINGS[quantity][HELD_IN[quantity]].split()[:1]
    return " ".join([number_text(value), *map(_as_written, spelt)])


def _quantity(number: float, unit: str, quantity: str, bound: str) -> Quantity:
    shift, times, over = _factor(unit, quantity)
    value = (number + shift) * times / over
    if not math.isfinite(value):
        raise _refused("unit.not_finite", quantity, unit=unit)
    return Quantity(value, _BOUND[bound])


def _read_loosely(text: str, quantity: str) -> Quantity:
    tidy = text.translate(SAME_SIGN).strip()
    if not tidy:
        raise _refused("unit.missing", quantity)
    if _OVER_RANGE.fullmatch(tidy):
        raise _refused(OVER_RANGE, quantity)
    found = _LOOSE.fullmatch(tidy)
    if found is None:
        raise _refused("unit.no_number", quantity, text=tidy)
    bound, number, unit = found.groups()
    return _quantity(_number(number.strip(), quantity), unit or "", quantity, bound)


def _number(text: str, quantity: str) -> float:
    signed = text.replace("- ", "-").replace("+ ", "+")
    if _TWO_READINGS.fullmatch(signed):
        both = {"one": signed.replace(",", ""), "other": signed.replace(",", ".")}
        raise _refused("unit.comma", quantity, text=text, **both)
    if fraction := _FRACTION.fullmatch(signed):
        return _fraction(fraction, quantity)
    try:
        return float(_one_point(signed))
    except ValueError:
        raise _refused("unit.no_number", quantity, text=text) from None


def _one_point(text: str) -> str:
    """Return ``text`` without thousands groups and with a point for the decimals."""
    if _COMMA_GROUPS.fullmatch(text):
        return text.replace(",", "")
    if _POINT_GROUPS.fullmatch(text):
        return text.replace(".", "").replace(",", ".")
    if _SPACE_GROUPS.fullmatch(text):
        text = text.replace(" ", "")
    return text.replace(",", ".")


def _fraction(found: re.Match[str], quantity: str) -> float:
    sign, whole, upper, lower = found.groups()
    if int(lower) == 0 or (whole and int(upper) >= int(lower)):
        raise _refused("unit.no_number", quantity, text=found.group())
    value = int(whole or 0) + int(upper) / int(lower)
    return -value if sign == "-" else value


@lru_cache(maxsize=4096)
def _factor(unit: str, quantity: str) -> tuple[float, float, float]:
    """Return (shift, times, over): held value = (number + shift) * times / over.

    Most factors are fractions of whole numbers. Kept so, the result is rounded once:
    -1105 mV is exactly -1.105 V, and 212 degF exactly 100 degC.
    """
    name = _library_name(unit, quantity)
    return EXACT.get((name, quantity)) or library_factor(name, quantity)


def library_factor(name: str, quantity: str) -> tuple[float, float, float]:
    """Return what ``_factor`` does, by the units library; ``name`` as it spells it."""
    registry = _registry()
    to = registry.Unit(HELD_IN[quantity])
    zero, million = (
        registry.Quantity(number, registry.Unit(name)).to(to).magnitude
        for number in (0.0, 1e6)
    )
    factor = (million - zero) / 1e6
    shift = round(zero / factor, 9)
    near = Fraction(factor).limit_denominator(10**6)
    if math.isclose(near, factor, rel_tol=1e-14):
        return shift, float(near.numerator), float(near.denominator)
    return shift, factor, 1.0


@lru_cache(maxsize=1)
def _registry() -> Any:  # noqa: ANN401
    # Slow to import and to build, and not needed by most commands.
    import pint

    return pint.UnitRegistry()


def _library_name(unit: str, quantity: str) -> str:
    spelt = "_".join(unit.translate(SAME_SIGN).split())
    if not spelt and quantity != "ratio":
        raise _refused("unit.none", quantity)
    if spelt in _spellings(quantity):
        return _spellings(quantity)[spelt]
    if spelt.lower() in _any_case(quantity) and spelt not in AMBIGUOUS:
        return _any_case(quantity)[spelt.lower()]
    if spelt in AMBIGUOUS:
        raise _refused("unit.ambiguous", quantity, unit=unit, both=AMBIGUOUS[spelt])
    for other in SPELLINGS:
        if spelt in _spellings(other):
            raise _refused("unit.wrong_kind", quantity, unit=unit, kind=other)
    raise _refused("unit.unknown", quantity, unit=unit)


@lru_cache(maxsize=len(SPELLINGS))
def _spellings(quantity: str) -> dict[str, str]:
    pairs: Iterable[tuple[str, str]] = SPELLINGS[quantity].items()
    return {s: name for name, spelt in pairs for s in (spelt.split() or [""])}


@lru_cache(maxsize=len(SPELLINGS))
def _any_case(quantity: str) -> dict[str, str]:
    pairs = _spellings(quantity).items()
    return {s.lower(): name for s, name in pairs if name in ANY_CASE}


def _as_written(spelling: str) -> str:
    return spelling.replace("_", " ")


def _refused(fault: str, quantity: str, **values: object) -> Refused:
    facts = {"quantity": quantity, "accepted": ", ".join(accepted(quantity)), **values}
    return Refused(Problem(fault, facts))
