"""A picture draws only what is in its frame, and no point that cannot be seen."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from jointmap.site_map.data import MapLine
from jointmap.site_map.in_frame import OUTSIDE_PX, UNSEEN_PX, runs_in_frame
from jointmap.site_map.small_maps import Spot, location_svg

WIDE, HIGH = 360, 240
SHEET = shapely.box(0, 0, WIDE, HIGH)


@pytest.mark.parametrize(
    ("line", "runs"),
    [
        ([(10, 10), (300, 200)], 1),
        ([(-500, 100), (900, 100)], 1),
        ([(10, 10), (900, 10), (900, 200), (10, 200)], 2),
        ([(-90, -90), (-90, 900), (900, 900)], 0),
        ([(-8, -8), (-8, -9), (-50, -8)], 0),
        ([(50, 50), (50, 50)], 0),
        ([(50, 50)], 0),
        # Next to nothing: no division by it.
        ([(0, 0), (0, 0), (0, 7.7e-238)], 0),
        ([(0, 1), (0, 0), (0, 1), (7.7e-238, 0)], 1),
        ([(0, 0), (1, 249), (0, 7.7e-238)], 2),
    ],
)
def test_runs_of_a_line(line, runs):
    assert len(runs_in_frame(np.array(line, dtype=float), WIDE, HIGH)) == runs


PLACES = st.tuples(st.floats(-2000, 2000), st.floats(-2000, 2000))


@given(st.lists(PLACES, min_size=2, max_size=40))
def test_what_is_seen_of_the_line_is_what_is_drawn(places):
    # What is held against it is exact to a thousandth as well.
    line = shapely.linestrings(np.round(places, 3))
    drawn = runs_in_frame(np.array(places), WIDE, HIGH)
    runs = shapely.union_all([shapely.linestrings(r) for r in drawn])
    seen = shapely.intersection(line, SHEET)
    if not seen.is_empty and seen.length > UNSEEN_PX:
        assert shapely.difference(seen, runs.buffer(2 * UNSEEN_PX)).length < 1e-6
    outside = shapely.difference(runs, line.buffer(2 * UNSEEN_PX))
    assert outside.length < 1e-6
    if drawn:
        left, top, right, bottom = runs.bounds
        assert left >= -OUTSIDE_PX
        assert top >= -OUTSIDE_PX
        assert right <= WIDE + OUTSIDE_PX
        assert bottom <= HIGH + OUTSIDE_PX


def test_a_line_of_very_many_points_is_a_short_text():
    turn = np.linspace(0, 40 * math.pi, 100_000)
    line = np.column_stack([-41.9 + 0.0005 * turn, 31.4 + 0.002 * np.sin(turn)])
    svg = location_svg(Spot("IJ-1", 31.4, -41.9, 0, 0), (), MapLine("L", line))
    assert len(svg) < 10_000
