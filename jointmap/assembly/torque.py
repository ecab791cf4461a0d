"""Torque, stud load and stress, each from the other; columns in, columns out.

Two ways are used. The nut factor lumps all friction into one number: torque = K x
nominal diameter x load. The friction form reckons thread and nut face apart. Both need
the area on which the stress is meant, root or tensile: they differ by 6.8 % at 1-3/8.
A wrench sets torque, not load: see ``load_range``.
"""

import numpy as np

from jointmap.register.columns import Floats
from jointmap.tables.fitting_limits import FITTING_LIMITS
from jointmap.units.inches import INCH_METRE

# Depth of the 60 degree thread, in pitches: nominal less pitch diameter, less root
# diameter, less the diameter of the tensile stress area (ASME B1.1).
PITCH_DEPTH = 0.6495
ROOT_DEPTH = 1.3
TENSILE_DEPTH = 0.9743
HALF_THREAD_ANGLE = np.radians(30.0)
# The nut bears on a ring from the hole, 1/8 in over the stud, to the flats.
HOLE_OVER_STUD_METRE = 0.125 * INCH_METRE


def root_area(diameter_metre: Floats, pitch_metre: Floats) -> Floats:
    """Return the area at the root of the thread, in square metres."""
    return np.asarray(np.pi / 4.0 * (diameter_metre - ROOT_DEPTH * pitch_metre) ** 2)


def tensile_area(diameter_metre: Floats, pitch_metre: Floats) -> Floats:
    """Return the tensile stress area of the thread, in square metres."""
    return np.asarray(np.pi / 4.0 * (diameter_metre - TENSILE_DEPTH * pitch_metre) ** 2)


def torque_by_nut_factor(
    nut_factor: Floats, diameter_metre: Floats, load_newton: Floats
) -> Floats:
    """Return the torque in newton metres (PCC-1 table 1, note a)."""
    return nut_factor * diameter_metre * load_newton


def load_by_nut_factor(
    nut_factor: Floats, diameter_metre: Floats, torque_newton_metre: Floats
) -> Floats:
    """Return the stud load in newtons that a torque gives."""
    return torque_newton_metre / (nut_factor * diameter_metre)


def friction_arm(
    friction: Floats,
    diameter_metre: Floats,
    pitch_metre: Floats,
    across_flats_metre: Floats,
) -> Floats:
    """Return torque over load, in metres: pitch, thread and nut face, half of each."""
    pitch_diameter = diameter_metre - PITCH_DEPTH * pitch_metre
    face = (across_flats_metre + diameter_metre + HOLE_OVER_STUD_METRE) / 2.0
    thread = friction * pitch_diameter / np.cos(HALF_THREAD_ANGLE)
    return np.asarray((pitch_metre / np.pi + thread + friction * face) / 2.0)


def torque_by_friction(arm_metre: Floats, load_newton: Floats) -> Floats:
    """Return the torque in newton metres from ``friction_arm`` and the load."""
    return arm_metre * load_newton


def nut_factor_of(arm_metre: Floats, diameter_metre: Floats) -> Floats:
    """Return the nut factor that a friction form amounts to at a size."""
    return arm_metre / diameter_metre


def load_range(load_newton: Floats) -> tuple[Floats, Floats]:
    """Return least and largest load a set torque may have given (scatter, stated)."""
    scatter = FITTING_LIMITS["torque scatter"].value_si
    return load_newton * (1.0 - scatter), load_newton * (1.0 + scatter)


def torque_for_other_lubricant(
    torque_newton_metre: Floats, planned_factor: Floats, used_factor: Floats
) -> Floats:
    """Return the torque that gives the planned load with another lubricant."""
    return torque_newton_metre * used_factor / planned_factor


def load_share_with_other_lubricant(
    planned_factor: Floats, used_factor: Floats
) -> Floats:
    """Return load over planned load where the planned torque met another lubricant."""
    return planned_factor / used_factor
