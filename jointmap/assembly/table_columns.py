"""Published tables of flanges, studs and washers as columns, in SI.

Each has two rows of NaN at its end, so that the places -1 (not in our tables) and -2
(not named) read so.
"""

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from jointmap.register.columns import Floats
from jointmap.tables.flanges import FLANGES
from jointmap.tables.studs import STUD_THREADS, WASHER_OF
from jointmap.units.inches import INCH_METRE


def column(values: Sequence[float | None], times: float) -> Floats:
    """Return a table's column with its two rows of NaN."""
    return np.array([*values, None, None], dtype=np.float64) * times


def inches_of(size: str) -> float:
    """Return a nominal size, such as ``1-1/2``, as a number."""
    return float(sum(Fraction(part) for part in size.split("-")))


FLANGE_COUNT = column([f.stud_count for f in FLANGES], 1.0)
FLANGE_SIZE = column([inches_of(f.size) for f in FLANGES], 1.0)
FLANGE_STUD = column([f.stud_diameter_inch for f in FLANGES], INCH_METRE)
FLANGE_HOLE = column([f.hole_diameter_inch for f in FLANGES], INCH_METRE)
FLANGE_STUD_LENGTH = column([f.stud_length_inch for f in FLANGES], INCH_METRE)
FLANGE_THICKNESS = column(
    [f.thickness_inch + f.face_height_inch for f in FLANGES], INCH_METRE
)
STUD_DIAMETER = column([t.diameter_inch for t in STUD_THREADS], INCH_METRE)
STUD_PITCH = column([1.0 / t.threads_per_inch for t in STUD_THREADS], INCH_METRE)
NUT_HEIGHT = column([t.nut_height_inch for t in STUD_THREADS], INCH_METRE)
_WASHERS = [WASHER_OF.get(t.size) for t in STUD_THREADS]
WASHER_OUTSIDE = column(
    [w.outside_diameter_inch if w else None for w in _WASHERS], INCH_METRE
)
STEEL_LEAST = column(
    [w.thickness_least_inch if w else None for w in _WASHERS], INCH_METRE
)
STEEL_MOST = column(
    [w.thickness_most_inch if w else None for w in _WASHERS], INCH_METRE
)
WASHER_INSIDE = column(
    [w.inside_diameter_inch if w else None for w in _WASHERS], INCH_METRE
)
