"""Potential shifts under interrupted current; electrodes and their temperature."""

from typing import NamedTuple

from jointmap.acceptance.sound import refused
from jointmap.tables.electrodes import ELECTRODES, Electrode

# A copper sulfate electrode grows more positive when warm (seen on two pages); base 25.
_VOLT_PER_DEGREE = 0.0009
_BASE_DEGC = 25.0
LEAST_NEAR_SHIFT = 0.050
_PLACES = 9


class ShiftRatio(NamedTuple):
    """Shifts (V), far over near, effectiveness; a far side that went the other way."""

    near: float
    far: float
    ratio: float
    effectiveness: float
    interference: bool


def shift_ratio(
    near_on: float,
    near_off: float,
    far_on: float,
    far_off: float,
    guard: float = LEAST_NEAR_SHIFT,
) -> ShiftRatio:
    """Return the ratio of potential shifts, never clipped.

    Raises
    ------
    Refused
        ``formula.shift_small``: the near shift is under the guard;
        ``formula.shift_sign``: the side under current grew more positive.
    """
    near = round(near_on - near_off, _PLACES)
    far = round(far_on - far_off, _PLACES)
    if abs(near) < guard:
        raise refused("shift_small", value=abs(near), guard=guard)
    if near > 0:
        raise refused("shift_sign", value=near)
    ratio = far / near
    return ShiftRatio(near, far, ratio, 1.0 - ratio, ratio < 0)


def electrode_named(name: str) -> Electrode:
    """Return the electrode; without its solution a silver chloride one is refused."""
    if name not in ELECTRODES:
        raise refused("electrode", value=name, accepted=", ".join(ELECTRODES))
    return ELECTRODES[name]


def to_copper_sulfate(reading: float, electrode: str) -> float:
    """Return a potential (V) as a saturated copper sulfate electrode would show it."""
    return reading + electrode_named(electrode).offset_volt


def at_25_degrees(reading: float, temperature: float) -> float:
    """Return a copper sulfate potential (V) as read with the electrode at 25 degC."""
    return reading + _VOLT_PER_DEGREE * (temperature - _BASE_DEGC)
