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


class Quantity(NamedTuple):
    """A number in the unit of its quantity; bound -1 below, 0 exact, 1 above it."""

    value: float
    bound: int


# quantity -> the unit its numbers are held in, as the units library spells it
HELD_IN = {
    "length": "meter",
    "voltage": "volt",
    "current": "ampere",
    "resistance": "ohm",
    "torque": "newton * meter",
    "pressure": "pascal",
    "temperature": "degC",
    "conductivity": "siemens / meter",
    "area": "meter ** 2",
    "time": "second",
    "ratio": "dimensionless",
    "distance along a line": "kilometer",
    "speed": "meter / second",
}

_LENGTHS = {
    "meter": "m metre meter metres meters",
    "millimeter": "mm millimetre millimeter",
    "centimeter": "cm",
    "kilometer": "km",
    "micrometer": "um micron",
    "inch": 'in inch inches " in.',
    "foot": "ft foot feet ' ft.",
    "thou": "thou",
    "mile": "mi mile miles",
}

# quantity -> unit of the units library -> the spellings accepted, the first is shown
_SPELLINGS: dict[str, dict[str, str]] = {
    "length": _LENGTHS,
    "voltage": {
        "millivolt": "mV mVdc mVDC mV_DC mV_dc mVac mV_AC mv millivolt millivolts",
        "volt": "V Vdc VDC V_DC V_dc Vac VAC V_AC V_ac Vrms V_rms v volt volts",
        "microvolt": "uV",
        "kilovolt": "kV",
    },
    "current": {
        "milliampere": "mA mAdc ma milliampere",
        "ampere": "A Adc ADC A_DC amp amps ampere amperes",
        "microampere": "uA",
        "kiloampere": "kA",
    },
    "resistance": {
        "ohm": "ohm ohms Ohm Ohms OHM Ω",
        "kiloohm": "kohm kOhm kohms Kohm kΩ KΩ kilohm kiloohm k_ohm k_Ω",
        "megaohm": "Mohm MOhm Mohms MΩ megohm Megohm megaohm megohms M_ohm M_Ω",
        "gigaohm": "Gohm GOhm GΩ gigaohm G_ohm G_Ω",
        "teraohm": "Tohm TOhm TΩ",
        "milliohm": "milliohm milliohms mΩ m_Ω",
        "microohm": "microohm microohms uohm uOhm uΩ",
    },
    "torque": {
        "newton * meter": "N·m Nm N_m N.m N*m N-m newton_metre newton_metres",
        "kilonewton * meter": "kN·m kNm kN_m",
        "foot * force_pound": (
            "ft·lbf lbf·ft ft-lb ft-lbs lb-ft lb·ft ft·lb ft_lb ft_lbs ft_lbf lbf_ft "
            "lb_ft ft.lb ft.lbs ftlb ftlbs ft-lbf lbf-ft ft*lbf lbf*ft lbf.ft ft.lbf"
        ),
        "inch * force_pound": "in·lbf lbf·in in-lb in-lbs lb-in in_lb in_lbs in_lbf",
        "kilogram_force * meter": "kgf·m kgf_m kgfm",
    },
    "pressure": {
        "bar": "bar barg bar(g) bar_g",
        "psi": "psi psig psi(g) psi_g lbf/in2 lbf/in²",
        "megapascal": "MPa MPag",
        "kilopascal": "kPa kPag",
        "pascal": "Pa",
        "millibar": "mbar mbarg",
        "kilogram_force / centimeter ** 2": "kgf/cm2 kgf/cm² kg/cm2 kg/cm²",
    },
    "temperature": {
        "degC": "°C degC deg_C C ℃ celsius",
        "degF": "°F degF deg_F F ℉ fahrenheit",
        "kelvin": "K kelvin",
    },
    "conductivity": {
        "microsiemens / centimeter": "uS/cm",
        "millisiemens / centimeter": "mS/cm",
        "siemens / meter": "S/m",
        "millisiemens / meter": "mS/m",
        "siemens / centimeter": "S/cm",
    },
    "area": {
        "meter ** 2": "m2 m² m^2 sq_m sqm",
        "centimeter ** 2": "cm2 cm² cm^2",
        "millimeter ** 2": "mm2 mm² mm^2",
        "hectare": "ha",
        "foot ** 2": "ft2 ft² ft^2 sq_ft sqft",
    },
    "time": {
        "second": "s sec second seconds",
        "minute": "min minute minutes",
        "hour": "h hr hrs hour hours",
        "day": "d day days",
        "millisecond": "ms",
    },
    "ratio": {"percent": "% percent pct per_cent", "dimensionless": ""},
    "distance along a line": _LENGTHS,
    "speed": {
        "meter / second": "m/s",
        "kilometer / hour": "km/h kph kmh km/hr",
        "mile / hour": "mph mi/h",
        "foot / second": "ft/s fps",
    },
}

# spelling -> what it may stand for; a factor of a thousand million lies between
_AMBIGUOUS = {
    **dict.fromkeys(("mohm", "MOHM", "mOhm", "mohms", "mOHM"), "milliohm or Mohm"),
    **dict.fromkeys(("MV", "Mv"), "mV or kV"),
    **dict.fromkeys(("MA", "Ma"), "mA or A"),
    "mil": "thou (0.0254 mm) or mm",
    "M": "m or Mohm",
}
# Signs that look alike or mean the same, by code point: micro and mu, ohm and omega, dots,
# primes and quotes, minus and dashes, bounds, spaces of every width.
_SAME_SIGN = str.maketrans(
    {
        "\u00b5": "u",
        "\u03bc": "u",
        "\u2126": "\u03a9",
        **dict.fromkeys("\u22c5\u2219\u2022", "\u00b7"),
        **dict.fromkeys("\u201c\u201d\u2033", '"'),
        **dict.fromkeys("\u2018\u2019\u2032", "'"),
        **dict.fromkeys("\u2212\u2013\u2010\u2011", "-"),
        "\u2265": ">",
        "\u2264": "<",
        **dict.fromkeys("\t\u00a0\u2002\u2003\u2007\u2009\u200a\u202f", " "),
    }
)
_PLAIN = re.compile(
    r"([<>]?)=? *([+-]?\d+(?:\.\d*)?(?:[eE][+-]?\d+)?) *([^\d.,/\s].*)?"
)
_LOOSE = re.compile(r"([<>]?)=? *([+-]? ?[\d.,][\d., ]*(?:/ ?\d+)?) *(\D.*)?")
_OVER_RANGE = re.compile(
    r"[<>]?=?\s*(o\.?/?l\.?|over-?\s?(load|range|flow)?|inf(inity)?|∞)(\s.*)?",
    re.IGNORECASE,
)
_FRACTION = re.compile(r"([+-]?)(?:(\d+) +)?(\d+)/ ?(\d+)")
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
    shown = (names.split()[:1] for names in _SPELLINGS[quantity].values())
    return tuple(_as_written(n) for names in shown for n in names)


def _quantity(number: float, unit: str, quantity: str, bound: str) -> Quantity:
    shift, times, over = _factor(unit, quantity)
    value = (number + shift) * times / over
    if not math.isfinite(value):
        raise _refused("unit.not_finite", quantity, unit=unit)
    return Quantity(value, _BOUND[bound])


def _read_loosely(text: str, quantity: str) -> Quantity:
    tidy = text.translate(_SAME_SIGN).strip()
    if not tidy:
        raise _refused("unit.missing", quantity)
    if _OVER_RANGE.fullmatch(tidy):
        raise _refused("unit.over_range", quantity)
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
    if int(lower) == 0:
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
    spelt = "_".join(unit.translate(_SAME_SIGN).split())
    if not spelt and quantity != "ratio":
        raise _refused("unit.none", quantity)
    if spelt in _spellings(quantity):
        return _spellings(quantity)[spelt]
    if spelt in _AMBIGUOUS:
        raise _refused("unit.ambiguous", quantity, unit=unit, both=_AMBIGUOUS[spelt])
    for other in _SPELLINGS:
        if spelt in _spellings(other):
            raise _refused("unit.wrong_kind", quantity, unit=unit, kind=other)
    raise _refused("unit.unknown", quantity, unit=unit)


@lru_cache(maxsize=len(_SPELLINGS))
def _spellings(quantity: str) -> dict[str, str]:
    pairs: Iterable[tuple[str, str]] = _SPELLINGS[quantity].items()
    return {s: name for name, spelt in pairs for s in (spelt.split() or [""])}


def _as_written(spelling: str) -> str:
    return spelling.replace("_", " ")


def _refused(fault: str, quantity: str, **values: str) -> Refused:
    facts = {"quantity": quantity, "accepted": ", ".join(accepted(quantity)), **values}
    return Refused(Problem(fault, facts))
