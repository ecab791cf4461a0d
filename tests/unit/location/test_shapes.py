"""Lines and measurings that no map can draw."""

import pytest

from jointmap.errors import Refused
from jointmap.location import kilometre_ticks, shape_faults, tie_faults

LINE = [[-41.8, 31.4], [-42.0, 31.4]]


@pytest.mark.parametrize(
    ("points", "fault"),
    [
        (LINE, None),
        ([LINE[0], LINE[0], LINE[1]], None),
        ([LINE[0], LINE[0]], "shape.no_length"),
        ([LINE[0]], "shape.no_length"),
        ([], "shape.no_length"),
        ([LINE[0], [-41.8, 90.1]], "shape.globe"),
        ([LINE[0], [-180.1, 31.4]], "shape.globe"),
        ([[179.9, 10.0], [-179.9, 10.0]], "shape.date_line"),
        ([LINE[0], [-20.0, 31.4]], "shape.piece"),
        (LINE * 60_000, "shape.vertices"),
    ],
)
def test_shape(points, fault):
    assert [p.id for p in shape_faults(points)] == ([fault] if fault else [])


@pytest.mark.parametrize(
    ("posts", "fault"),
    [
        ((0.0, 19.0), None),
        ((0.0, 9.0), None),
        ((0.0, 6.0), "chainage.stretch"),
        ((0.0, 60.0), "chainage.stretch"),
        ((5.0, 5.0), "chainage.not_rising"),
    ],
)
def test_ties(posts, fault):
    ties = [[posts[0], *LINE[0]], [posts[1], *LINE[1]]]
    assert [p.id for p in tie_faults(LINE, ties)] == ([fault] if fault else [])


def test_a_line_of_more_posts_than_can_be_drawn_is_refused_at_once():
    ties = [[0.0, *LINE[0]], [1e7, *LINE[1]]]
    with pytest.raises(Refused) as refused:
        kilometre_ticks(LINE, ties, 1.0)
    assert refused.value.problems[0].id == "chainage.ticks"
