"""How numbers with units look on a page."""

import math

# unit: (name, steps); each step is (least size shown so, divisor, symbol, decimals)
UNITS: dict[str, tuple[tuple[float, float, str, int], ...]] = {
    "ohm": (
        (1e9, 1e9, "Gohm", 3),
        (1e6, 1e6, "Mohm", 3),
        (1e4, 1e3, "kohm", 3),
        (0.1, 1.0, "ohm", 3),
        (1e-4, 1e-3, "milliohm", 3),
        (0.0, 1e-6, "microohm", 3),
    ),
    "volt": ((10.0, 1.0, "V", 2), (0.0, 1e-3, "mV", 1)),
    "ampere": ((0.1, 1.0, "A", 3), (0.0, 1e-3, "mA", 3)),
    "newton_metre": ((0.0, 1.0, "N·m", 0),),
    "metre": ((1000.0, 1000.0, "km", 2), (1.0, 1.0, "m", 2), (0.0, 1e-3, "mm", 2)),
    "percent": ((0.0, 0.01, "%", 1),),
    "degc": ((0.0, 1.0, "°C", 1),),
    "megapascal": ((0.0, 1e6, "MPa", 2),),
    "hours": ((0.0, 3600.0, "h", 1),),
    "pascal": ((1e5, 1e6, "MPa", 2), (0.0, 1e3, "kPa", 1)),
    "siemens_per_metre": ((0.1, 1.0, "S/m", 2), (0.0, 1e-3, "mS/m", 2)),
    "square_metre": ((0.0, 1.0, "m²", 0),),
    "kilogram_per_metre": ((0.0, 1.0, "kg/m", 2),),
    "ohm_per_metre": ((1e-2, 1.0, "ohm/m", 3), (0.0, 1e-6, "uohm/m", 3)),
    "ampere_per_volt": ((1.0, 1e3, "A/mV", 4), (0.0, 1.0, "A/V", 4)),
    "kilogram": ((0.0, 1.0, "kg", 3),),
    "years": ((0.0, 31557600.0, "year|years", 2),),
    "square_metre_fine": ((0.0, 1.0, "m²", 4),),
    "percent_fine": ((0.0, 0.01, "%", 3),),
    "volt_fine": ((0.0, 1.0, "V", 4),),
    "micrometre": ((1e-3, 1e-3, "mm", 3), (0.0, 1e-6, "µm", 1)),
    "second": ((3600.0, 3600.0, "h", 1), (60.0, 60.0, "min", 1), (0.0, 1.0, "s", 0)),
    "ratio": ((0.0, 1.0, "", 3),),
    "kilometre": ((0.0, 1.0, "km", 3),),
    "count": ((0.0, 1.0, "", 0),),
    "threads": ((-1e9, 1.0, "thread|threads", 1),),
    "inch": ((0.0, 0.0254, "in", 3),),
    "ksi": ((0.0, 6894757.293168361, "ksi", 2),),
    "foot_pound": ((0.0, 1.3558179483314004, "ft·lbf", 0),),
    "metre_per_second": ((0.0, 1.0 / 3.6, "km/h", 0),),
}


def show(value: float, unit: str) -> str:
    """Return ``value`` (SI) in the engineer's unit, trailing zeros dropped."""
    if math.isnan(value):
        return "not on record"
    steps = UNITS[unit]
    _, divisor, symbol, decimals = next(s for s in steps if abs(value) >= s[0])
    text = f"{value / divisor:,.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text == "-0":
        text = "0"
    return counted(text, symbol) if "|" in symbol else f"{text} {symbol}".rstrip()


def counted(number: str, words: str) -> str:
    """Return a number and what is counted, by ``one|more``; ``~one|more``: no number.

    >>> counted("1", "joint is|joints are"), counted("1,200", "joint|joints")
    ('1 joint is', '1,200 joints')
    >>> counted("0", "~it|them")
    'them'
    """
    one, _, more = words.removeprefix("~").partition("|")
    word = one if number == "1" else more
    return word if words.startswith("~") else f"{number} {word}"
