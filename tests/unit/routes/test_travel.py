import itertools

import networkx as nx
import numpy as np
import pytest

from jointmap.errors import Refused
from jointmap.routes import road_graph
from jointmap.routes.road_graph import RoadGraph, fastest
from jointmap.routes.travel import RoadLayer, SiteTravel, noded, travel_times

SITE = SiteTravel(road_factor_ratio=1.4, speed_metre_per_second=12.5, walk_second=60.0)


def layer(*roads):
    """Make a layer of (speed, vertices...)."""
    return RoadLayer(
        [np.array(xy, dtype=float) for _, *xy in roads],
        np.array([speed for speed, *_ in roads], dtype=float),
    )


def between(roads, *places):
    x, y = np.array(places, dtype=float).T
    return travel_times(x, y, roads, SITE)


def test_straight_line_where_there_are_no_roads():
    for roads in (None, layer()):
        found = between(roads, (0, 0), (3000, 4000))
        assert found.metre.tolist() == [[0.0, 7000.0], [7000.0, 0.0]]
        assert found.second.tolist() == [[60.0, 560.0], [560.0, 60.0]]
        assert found.is_estimated.tolist() == [[False, True], [True, False]]


def test_no_places():
    assert travel_times(np.empty(0), np.empty(0), layer((1, (0, 0), (9, 9))), SITE)


def test_by_road_from_the_nearest_edge():
    roads = layer((20.0, (0, 0), (10_000, 0)))
    found = between(roads, (2000, 12), (8000, -24))
    assert found.metre[0, 1] == pytest.approx(6000 + 36)
    assert found.second[0, 1] == pytest.approx(300 + 36 / 1.2)
    assert not found.is_estimated.any()


def test_crossing_roads_are_joined_where_they_cross():
    roads = layer((10.0, (0, 0), (2000, 0)), (5.0, (1000, -1000), (1000, 1000)))
    found = between(roads, (0, 0), (1000, 1000))
    assert found.metre[0, 1] == pytest.approx(2000)
    assert found.second[0, 1] == pytest.approx(100 + 200)


@pytest.mark.parametrize("gap", [0.0, 2.0, -2.0])
def test_ends_that_stop_short_are_joined(gap):
    roads = layer(
        (10.0, (0, 0), (2000, 0)),
        (10.0, (1000, gap), (1000, 1000)),
        (10.0, (1000, 1000 + gap), (3000, 1000 + gap)),
        (10.0, (3000, 1000), (3001, 1000)),
    )
    found = between(roads, (0, 0), (3000, 1000))
    assert not found.is_estimated.any()
    assert found.metre[0, 1] == pytest.approx(4000, abs=5)


def test_a_gap_too_wide_is_not_driven():
    roads = layer((10.0, (0, 0), (2000, 0)), (10.0, (1000, 4), (1000, 1000)))
    found = between(roads, (0, 0), (1000, 1000))
    assert found.is_estimated.tolist() == [[False, True], [True, False]]
    assert found.metre[0, 1] == pytest.approx(1.4 * np.hypot(1000, 1000))


def test_a_ring_that_ends_where_it_began():
    ring = [(0, 0), (1000, 0), (1000, 1000), (0, 1000), (0, 0)]
    found = between(layer((10.0, *ring)), (0, 500), (500, 0))
    assert found.metre[0, 1] == pytest.approx(1000)


def test_places_far_from_any_road_are_estimated():
    roads = layer((20.0, (0, 0), (10_000, 0)))
    found = between(roads, (2000, 0), (8000, 0), (5000, 501))
    assert found.is_estimated[:, 2].tolist() == [True, True, False]
    assert not found.is_estimated[0, 1]


def test_near_places_are_walked_between():
    roads = layer((20.0, (0, 0), (10_000, 0)))
    found = between(roads, (2000, 100), (2060, 100), (2001, 100))
    assert found.metre[0, 1] == pytest.approx(60.0)
    assert found.second[0, 1] == 60.0  # the least walk
    assert found.second[0, 2] == 60.0
    far = between(roads, (2000, 100), (2150, 100))
    assert far.second[0, 1] == pytest.approx(125.0)


def test_roads_on_one_another_are_driven_at_the_faster_speed():
    same = (0, 0), (1000, 0)
    found = noded(layer((5.0, *same), (25.0, *same)))
    assert found.speed.tolist() == [25.0]


def test_roads_that_cannot_be_are_refused_all_at_once():
    roads = layer(
        (5.0, (0, 0), (0, 0)), (0.0, (0, 0), (9, 9)), (np.nan, (0, 0), (9, 9))
    )
    with pytest.raises(Refused) as caught:
        between(roads, (0, 0), (1, 1))
    assert [(p.id, p.values["road"]) for p in caught.value.problems] == [
        ("road.no_length", 0),
        ("road.no_speed", 1),
        ("road.no_speed", 2),
    ]


@pytest.fixture
def grid():
    """A 9 by 9 grid with uneven speeds, a parallel edge, and a node on no road."""
    nodes = np.arange(81).reshape(9, 9)
    start = np.concatenate([nodes[:, :-1].ravel(), nodes[:-1].ravel(), [0]])
    end = np.concatenate([nodes[:, 1:].ravel(), nodes[1:].ravel(), [1]])
    metre = 100.0 + (np.arange(len(start)) * 37) % 91
    second = metre / (5.0 + (np.arange(len(start)) * 53) % 17)
    return RoadGraph(82, start, end, second, metre)


def test_fastest_ways_agree_with_another_library(grid, monkeypatch):
    monkeypatch.setattr(road_graph, "CHUNK", 7)
    places = np.array([0, 5, 13, 40, 44, 60, 72, 80, 81, 0])
    second, metre = fastest(grid, places)
    other = nx.MultiGraph()
    other.add_nodes_from(range(82))
    for edge in zip(grid.start, grid.end, grid.second, grid.metre, strict=True):
        other.add_edge(int(edge[0]), int(edge[1]), weight=edge[2], metre=edge[3])
    for i, one in enumerate(places):
        times = nx.single_source_dijkstra_path_length(other, int(one))
        ways = nx.single_source_dijkstra_path(other, int(one))
        for j, two in enumerate(places):
            assert second[i, j] == pytest.approx(times.get(int(two), np.inf))
            way = ways.get(int(two))
            length = (
                sum(
                    min(other[a][b].values(), key=lambda e: e["weight"])["metre"]
                    for a, b in itertools.pairwise(way)
                )
                if way
                else np.inf
            )
            assert metre[i, j] == pytest.approx(length)


def test_edges_of_no_length_are_still_edges():
    graph = RoadGraph(2, np.array([0]), np.array([1]), np.zeros(1), np.zeros(1))
    second, metre = fastest(graph, np.array([0, 1]))
    assert second[0, 1] == pytest.approx(0.0, abs=1e-5)
    assert metre[0, 1] == 0.0
