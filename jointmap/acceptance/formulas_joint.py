"""Resistance of an installed joint: what is read, and what it may mean."""

import math
from typing import NamedTuple

from jointmap.acceptance.sound import refuse_unless_positive, refused


class BothWays(NamedTuple):
    """What an ohmmeter shows with its leads one way and the other (ohm)."""

    one_way: float
    other_way: float


def four_lead_resistance(
    on_volt: float, off_volt: float, on_current: float, off_current: float
) -> float:
    """Return V/I across a joint from a step of current (ohm)."""
    if on_current == off_current:
        raise refused("no_step", on=on_current, off=off_current)
    found = (on_volt - off_volt) / (on_current - off_current)
    if found <= 0:
        raise refused("negative_resistance", value=found)
    return found


def beside_earth(joint: float, earth: float) -> float:
    """Return what is read across a joint with the ground path beside it (ohm)."""
    refuse_unless_positive(joint=joint, earth=earth)
    return 1.0 / (1.0 / joint + 1.0 / earth)


def joint_beside_earth(measured: float, earth: float) -> float:
    """Return the joint's own resistance from a reading and the ground path's (ohm).

    Infinite where the reading is the ground path's alone.
    """
    refuse_unless_positive(measured=measured, earth=earth)
    if measured > earth:
        raise refused("above_earth", measured=measured, earth=earth)
    return math.inf if measured == earth else 1.0 / (1.0 / measured - 1.0 / earth)


def ohmmeter_shows(
    resistance: float, standing: float, meter_current: float
) -> BothWays:
    """Return what an ohmmeter shows where a voltage already stands across a joint.

    The mean of the two ways is the resistance; each alone may be anything.
    """
    refuse_unless_positive(resistance=resistance, meter_current=meter_current)
    wrong = standing / meter_current
    return BothWays(resistance + wrong, resistance - wrong)
