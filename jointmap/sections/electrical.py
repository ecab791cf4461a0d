"""Which structures are one: connected parts of the graph of structures."""

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import breadth_first_order, connected_components

from jointmap.register.columns import Flags, Ids
from jointmap.register.joining import row_of


def electrical_groups(
    structure_ids: Ids, structure_a_id: Ids, structure_b_id: Ids, joined: Flags
) -> Ids:
    """Return for each structure its electrical group: the lowest id in it.

    Parameters
    ----------
    structure_ids
        Every structure, each once.
    structure_a_id, structure_b_id, joined
        One entry per boundary, or per joint: the structures on its two sides, and
        whether they are joined there. A link to no known structure joins nothing.
    """
    a = row_of(structure_ids, structure_a_id[joined])
    b = row_of(structure_ids, structure_b_id[joined])
    known = (a >= 0) & (b >= 0)
    label = _parts(len(structure_ids), a[known], b[known])
    order = np.lexsort((structure_ids, label))
    _, first = np.unique(label[order], return_index=True)
    groups: Ids = structure_ids[order[first]][label]
    return groups


def _parts(count: int, a: Ids, b: Ids) -> Ids:
    graph = coo_array((np.ones(len(a), np.int8), (a, b)), shape=(count, count))
    label: Ids = connected_components(graph, directed=False)[1].astype(np.int64)
    return label


def loops(structure_a_id: Ids, structure_b_id: Ids) -> Ids:
    """Return a label per link: two links share one if some round trip uses both.

    The links on any route between the ends of a link, by whatever third structures, are
    those that share its label; a link that no round trip uses is alone. (Round trips
    are made from a spanning forest and one further link each; links of trips that share
    a link belong together.)
    """
    nodes = np.unique(np.concatenate([structure_a_id, structure_b_id]))
    a, b = (
        np.searchsorted(nodes, structure_a_id),
        np.searchsorted(nodes, structure_b_id),
    )
    above, order = _forest(len(nodes), a, b)
    up = _links_up(above, a, b)
    depth = np.zeros(len(above), np.int64)
    for node in order[1:]:
        depth[node] = depth[above[node]] + 1
    further = np.flatnonzero(~np.isin(np.arange(len(a)), up))
    trips = [
        (link, part)
        for link in further
        for part in _trip(int(a[link]), int(b[link]), above, up, depth)
    ]
    pairs = np.array(trips, np.int64).reshape(-1, 2)
    return _parts(len(a), pairs[:, 0], pairs[:, 1])


def _forest(count: int, a: Ids, b: Ids) -> tuple[Ids, Ids]:
    """Return each node's parent and a walk from the root; one root holds all parts."""
    _, first = np.unique(_parts(count, a, b), return_index=True)
    start = np.concatenate([a, np.full(len(first), count)])
    end = np.concatenate([b, first])
    graph = coo_array((np.ones(len(start)), (start, end)), shape=(count + 1, count + 1))
    order, above = breadth_first_order(graph.tocsr(), count, directed=False)
    return above.astype(np.int64), order.astype(np.int64)


def _links_up(above: Ids, a: Ids, b: Ids) -> Ids:
    """Return for each node one link to its parent; -1 for a root."""
    up = np.full(len(above), -1, np.int64)
    links = np.arange(len(a))
    for low, high in ((a, b), (b, a)):
        rises = above[low] == high
        up[low[rises][::-1]] = links[rises][::-1]
    return up


def _trip(start: int, end: int, above: Ids, up: Ids, depth: Ids) -> list[int]:
    """Return the links of the way through the forest from ``start`` to ``end``."""
    links = []
    while start != end:
        if depth[start] < depth[end]:
            start, end = end, start
        links.append(int(up[start]))
        start = int(above[start])
    return links
