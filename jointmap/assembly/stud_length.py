"""Stud length: what the nuts hold together, the ordinary stud, threads past the nut.

A kit's own stack counts: each isolated end adds an isolating and a steel washer. Flange
thickness is taken without the raised face in the formula for tables, and from the back
of the flange to its sealing face where it was measured.
"""

import numpy as np

from jointmap.register.columns import Floats
from jointmap.units.inches import INCH_METRE

QUARTER_METRE = 0.25 * INCH_METRE
# B16.5 appendix C: over-thickness of a flange, ordinary gasket, point allowance; the
# inch figures are from memory, the metric ones (3 and 5; 3; 1.5, 3 and 7 mm) were seen.
OVER_THICKNESS_INCH = (0.12, 0.19)
LARGE_FROM_SIZE = 20.0
ORDINARY_GASKET_INCH = 0.12
POINTS_INCH = ((12.0, 0.06), (18.0, 0.12), (np.inf, 0.25))
# A length that is a quarter already is not made longer by the last bit of a float.
_LAST_BIT = 1e-9


def over_thickness(nominal_size: Floats) -> Floats:
    """Return by how much a flange of a size may be thicker than listed, in metres."""
    least, most = OVER_THICKNESS_INCH
    inches = np.where(nominal_size >= LARGE_FROM_SIZE, most, least)
    return np.asarray(inches * INCH_METRE)


def point_allowance(length_metre: Floats) -> Floats:
    """Return what is added to effective thread for the points, in metres."""
    (first, short), (second, middle), (_, longest) = POINTS_INCH
    inches = np.asarray(length_metre) / INCH_METRE
    found = np.select([inches <= first, inches <= second], [short, middle], longest)
    return np.asarray(found * INCH_METRE)


def effective_length(
    thickness_metre: Floats,
    over_thickness_metre: Floats,
    diameter_metre: Floats,
    between_metre: Floats,
) -> Floats:
    """Return A of B16.5 appendix C: 2 (thickness + over-thickness + stud) + between.

    ``between_metre``: gasket, both raised faces, and in a kit all washers.
    """
    one_side = thickness_metre + over_thickness_metre + diameter_metre
    return 2.0 * one_side + between_metre


def specified_length(effective_metre: Floats) -> Floats:
    """Return effective thread plus points, in metres, not yet rounded."""
    return effective_metre + point_allowance(effective_metre)


def next_quarter(length_metre: Floats) -> Floats:
    """Return the next length up in quarters of an inch, in metres."""
    quarters = np.ceil(np.asarray(length_metre) / QUARTER_METRE - _LAST_BIT)
    return np.asarray(quarters * QUARTER_METRE)


def nearest_quarter(length_metre: Floats) -> Floats:
    """Return the nearest length in quarters of an inch, in metres; a half goes up."""
    quarters = np.floor(np.asarray(length_metre) / QUARTER_METRE + 0.5 + _LAST_BIT)
    return np.asarray(quarters * QUARTER_METRE)


def washer_stack(sides: Floats, isolating_metre: Floats, steel_metre: Floats) -> Floats:
    """Return what all washers of one stud add; ``sides`` is 1 or 2 isolated ends."""
    return sides * (isolating_metre + steel_metre)


def threads_past_nut(
    length_metre: Floats,
    grip_metre: Floats,
    nut_height_metre: Floats,
    pitch_metre: Floats,
) -> Floats:
    """Return the threads past each nut, half of what is over at each end.

    Below zero the nuts are not full. ``grip_metre`` is all between the two nuts.
    """
    over = length_metre - grip_metre - 2.0 * nut_height_metre
    return over / 2.0 / pitch_metre


def length_for_threads(
    threads: Floats, grip_metre: Floats, nut_height_metre: Floats, pitch_metre: Floats
) -> Floats:
    """Return the least stud length that leaves ``threads`` past each nut."""
    return grip_metre + 2.0 * (nut_height_metre + threads * pitch_metre)
