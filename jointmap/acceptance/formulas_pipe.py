"""Pipe as its own measuring resistor: linear resistance, spans, share that crosses."""

from jointmap.acceptance.sound import refuse_unless_positive, refused

# Handbook: R' (uohm/ft) = 16.061 rho (uohm.cm) / w (lb/ft), rho 18 for line pipe steel
# (tester course manual, table 5.3, note B). The constant answers to this density; the
# 489 lb/ft3 (7832 kg/m3) printed beside it answers to 16.0433, which is 0.11 % off.
HANDBOOK_DENSITY = 16.061e2 / 0.3048 * 0.45359237 / 0.3048
PRINTED_DENSITY = 7832.0
STEEL_RESISTIVITY = 18e-8
# ASME B36.10M, from memory: m (kg/m) = 0.0246615 (D - t) t in mm.
_MASS_FACTOR = 0.0246615e6
BETWEEN, BEYOND = "between", "beyond"


def pipe_mass(outside_diameter: float, wall: float) -> float:
    """Return the mass per length (kg/m) of steel pipe from its size (m)."""
    refuse_unless_positive(outside_diameter=outside_diameter, wall=wall)
    if wall * 2 > outside_diameter:
        raise refused("wall", wall=wall, outside_diameter=outside_diameter)
    return _MASS_FACTOR * (outside_diameter - wall) * wall


def pipe_resistance(
    mass: float,
    resistivity: float = STEEL_RESISTIVITY,
    density: float = HANDBOOK_DENSITY,
) -> float:
    """Return the linear resistance (ohm/m) of pipe of ``mass`` (kg/m)."""
    refuse_unless_positive(mass=mass, resistivity=resistivity, density=density)
    return resistivity * density / mass


def span_current(drop: float, resistance: float, length: float) -> float:
    """Return the current (A) in a two-wire span; it flows from the + lead if positive.

    Without fittings, valves or joints inside the span; ``resistance`` is per metre.
    """
    refuse_unless_positive(resistance=resistance, length=length)
    return drop / (resistance * length)


def span_factor(calibration_current: float, on: float, off: float) -> float:
    """Return the factor (A/V) of a four-wire span, not rounded."""
    refuse_unless_positive(calibration_current=calibration_current)
    if on == off:
        raise refused("no_step", on=on, off=off)
    return calibration_current / (on - off)


def calibrated_current(factor: float, reading: float) -> float:
    """Return the current (A) in a span by its factor (A/V) and what it reads (V)."""
    refuse_unless_positive(factor=factor)
    return factor * reading


def leak_share(
    factor: float, on: float, off: float, test_current: float, geometry: str
) -> float:
    """Return the share of a test current that crosses a joint.

    With the span ``between`` the connection and the joint, what the span carries has
    crossed; with the span ``beyond`` the joint, what it misses has. Mixing the two
    turns the answer round, so there is no default.
    """
    refuse_unless_positive(factor=factor, test_current=test_current)
    carried = factor * (on - off) / test_current
    if geometry == BETWEEN:
        return carried
    if geometry == BEYOND:
        return 1.0 - carried
    raise refused("geometry", value=geometry)


def least_leak_share(factor: float, resolution: float, test_current: float) -> float:
    """Return the smallest share that a meter of this ``resolution`` (V) can show."""
    refuse_unless_positive(
        factor=factor, resolution=resolution, test_current=test_current
    )
    return factor * resolution / test_current
