"""Conductive fluid inside the pipe: the column that bridges a joint."""

import math

from jointmap.acceptance.sound import refuse_unless_positive

# Faraday, Fe to Fe2+: 55.845 g/mol over two electrons, year of 365.25 days.
_IRON_PER_AMPERE_YEAR = 55.845e-3 / (2 * 96485.33212) * 365.25 * 86400


def bore_area(bore: float) -> float:
    """Return the area (m2) of a round bore (m)."""
    refuse_unless_positive(bore=bore)
    return math.pi * bore**2 / 4


def column_resistance(resistivity: float, length: float, bore: float) -> float:
    """Return rho L / A (ohm): least, since the ends spread into bare pipe besides."""
    refuse_unless_positive(resistivity=resistivity, length=length)
    return resistivity * length / bore_area(bore)


def end_resistance(resistivity: float, bore: float) -> float:
    """Return a rough term (ohm) for both ends of the column: two flat openings."""
    refuse_unless_positive(resistivity=resistivity, bore=bore)
    return resistivity / bore


def column_current(
    voltage: float, resistivity: float, length: float, bore: float
) -> float:
    """Return the most current (A) that the column can carry."""
    refuse_unless_positive(voltage=voltage)
    return voltage / column_resistance(resistivity, length, bore)


def lined_length(
    voltage: float, resistivity: float, bore: float, most_current: float
) -> float:
    """Return the isolated length (m) that keeps the current to ``most_current``."""
    refuse_unless_positive(
        voltage=voltage, resistivity=resistivity, most_current=most_current
    )
    return voltage * bore_area(bore) / (resistivity * most_current)


def iron_lost(current: float) -> float:
    """Return the iron (kg) that a current takes in one year.

    It goes from bare pipe just past the lining, on the more positive side.
    """
    refuse_unless_positive(current=current)
    return _IRON_PER_AMPERE_YEAR * current
