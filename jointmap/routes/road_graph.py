"""Fastest ways through a road network, in chunks that fit in memory."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from jointmap.register.columns import Floats, Ids

# Sources per run: all at once would hold sources x nodes numbers.
CHUNK = 50
# SciPy takes a weight of nought for "no edge".
LEAST = 1e-6


@dataclass(frozen=True, slots=True)
class RoadGraph:
    """Undirected edges between nodes 0 to ``nodes`` - 1."""

    nodes: int
    start: Ids
    end: Ids
    second: Floats
    metre: Floats


def fastest(graph: RoadGraph, places: Ids) -> tuple[Floats, Floats]:
    """Return seconds and metres of the fastest way between nodes.

    Parameters
    ----------
    graph : RoadGraph
        The network.
    places : ndarray of int, shape (n,)
        Nodes to start from and to end at.

    Returns
    -------
    second, metre : ndarray, shape (n, n)
        Infinity where there is no way.
    """
    second = np.full((len(places), len(places)), np.inf)
    metre = np.full_like(second, np.inf)
    both = _both_ways(graph)
    keys = both.start * graph.nodes + both.end
    index = (both.start, both.end)
    weights = csr_array((both.second, index), shape=(graph.nodes, graph.nodes))
    for rows in _chunks(len(places)):
        time, before = dijkstra(weights, indices=places[rows], return_predecessors=True)
        length = _lengths(before.astype(np.int64), keys, both.metre)
        second[rows] = time[:, places]
        metre[rows] = np.where(np.isinf(second[rows]), np.inf, length[:, places])
    return second, metre


def _both_ways(graph: RoadGraph) -> RoadGraph:
    """Return each edge in both directions, the fastest of parallel ones, sorted."""
    start = np.concatenate([graph.start, graph.end])
    end = np.concatenate([graph.end, graph.start])
    second = np.maximum(np.tile(graph.second, 2), LEAST)
    metre = np.tile(graph.metre, 2)
    rows = np.lexsort((metre, second, end, start))
    key = start[rows] * graph.nodes + end[rows]
    rows = rows[np.concatenate(([True], np.diff(key) > 0))[: len(rows)]]
    return RoadGraph(graph.nodes, start[rows], end[rows], second[rows], metre[rows])


def _chunks(count: int) -> Iterator[slice]:
    for first in range(0, count, CHUNK):
        yield slice(first, min(first + CHUNK, count))


def _lengths(before: Ids, keys: Ids, metre: Floats) -> Floats:
    """Return the length of the way to every node, by doubling steps up the tree."""
    nodes = before.shape[1]
    node = np.broadcast_to(np.arange(nodes), before.shape)
    rooted = before < 0
    up = np.where(rooted, node, before)
    edge = np.searchsorted(keys, up * nodes + node).clip(max=len(keys) - 1)
    length = np.where(rooted, 0.0, metre[edge])
    while True:
        further = np.take_along_axis(up, up, axis=1)
        if (further == up).all():
            return length
        length = length + np.take_along_axis(length, up, axis=1)
        up = further
