import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.location import (
    DOUBT_KINDS,
    Extent,
    PlaceColumns,
    convert_posts,
    doubts,
    points_to_posts,
    posts_to_points,
    to_lat_lon,
    to_working,
)

degrees = st.floats(-0.4, 0.4)
unit = st.floats(0.0, 1.0)


@st.composite
def lines(draw):
    """Draw a line that keeps its direction, and two measurings of it."""
    count = draw(st.integers(2, 12))
    east = draw(st.floats(-1.0, 1.0))
    steps = st.tuples(st.floats(0.003, 0.05), st.floats(-0.02, 0.02))
    moves = np.cumsum(draw(st.lists(steps, min_size=count, max_size=count)), axis=0)
    turn = np.array([[np.cos(east), np.sin(east)], [-np.sin(east), np.cos(east)]])
    coordinates = np.array([-41.9, 31.4]) + moves @ turn
    rise = draw(st.lists(st.floats(0.5, 2.0), min_size=2, max_size=2))
    vertices = np.linspace(0, 100.0, count)
    return coordinates, [
        np.column_stack([3.0 + r * vertices, coordinates]) for r in rise
    ]


@given(st.lists(st.tuples(degrees, degrees), min_size=1, max_size=5))
def test_to_the_working_system_and_back(offsets):
    latitude, longitude = np.array([31.4, -41.9])[:, None] + np.array(offsets).T
    back = to_lat_lon(*to_working(latitude, longitude, "EPSG:32624"), "EPSG:32624")
    assert np.allclose(back, [latitude, longitude], rtol=0, atol=1e-9)


@given(lines(), st.lists(unit, min_size=1, max_size=6))
def test_post_to_place_to_post(line, parts):
    coordinates, (ties, _) = line
    posts = ties[0, 0] + np.array(parts) * (ties[-1, 0] - ties[0, 0])
    back, distance = points_to_posts(
        coordinates, ties, *posts_to_points(coordinates, ties, posts)
    )
    assert back == pytest.approx(posts, abs=1e-5)
    assert distance == pytest.approx(np.zeros(len(posts)), abs=1e-4)


@given(lines(), st.lists(unit, min_size=2, max_size=6))
def test_two_measurings_keep_order_and_turn_back(line, parts):
    coordinates, (one, two) = line
    posts = np.sort(one[0, 0] + np.array(parts) * (one[-1, 0] - one[0, 0]))
    there, _ = convert_posts(coordinates, one, two, posts)
    assert np.all(np.diff(there) >= -1e-9)
    back, _ = convert_posts(coordinates, two, one, there)
    assert back == pytest.approx(posts, abs=1e-6)


@given(st.floats(31.3, 31.5), st.floats(-42.2, -41.5), st.booleans())
def test_a_swap_is_always_seen_and_a_right_place_never_doubted(y, x, swap):
    site = Extent(31.3, 31.5, -42.2, -41.5)
    one = PlaceColumns(
        np.array([1]),
        np.array([x if swap else y]),
        np.array([y if swap else x]),
        np.array([y if swap else x]),
        np.array([x if swap else y]),
        np.array([4326]),
        np.array([-1]),
        np.array([np.nan]),
        np.array([-1]),
    )
    found = doubts(one, site)
    assert len(found) == int(swap)
    if swap:
        assert DOUBT_KINDS[found.kind[0]] == "place.axes_swapped"
        assert found.proposed_latitude_deg[0] == y
        assert found.proposed_longitude_deg[0] == x
