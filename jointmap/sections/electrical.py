"""Which structures are one: connected parts of the graph of structures."""

from collections import defaultdict

import numpy as np

from jointmap.register.columns import Flags, Ids
from jointmap.register.joining import row_of

_MOSTLY = 0.9


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
    # Slow to load, and of no use to commands that ask for no group.
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

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
    label = np.arange(len(structure_a_id), dtype=np.int64)
    nodes = np.unique(np.concatenate([structure_a_id, structure_b_id]))
    a, b = (np.searchsorted(nodes, s) for s in (structure_a_id, structure_b_id))
    inner = _inner(a, b)
    start, end = a[inner].tolist(), b[inner].tolist()
    above, up, depth = _forest(len(nodes), start, end)
    first: dict[int, int] = {}
    for link in set(range(len(inner))).difference(up):
        for part in _trip(start[link], end[link], above, up, depth):
            _join(first, link, part)
    joined = np.array([(n, _root(first, n)) for n in first], np.int64).reshape(-1, 2)
    label[inner[joined[:, 0]]] = inner[joined[:, 1]]
    return label


def _inner(a: Ids, b: Ids) -> Ids:
    """Return the links left when most dead ends, which no round trip uses, are gone."""
    links = np.arange(len(a))
    while len(links):
        met = np.bincount(np.concatenate([a[links], b[links]]))
        goes_on = (met[a[links]] > 1) & (met[b[links]] > 1)
        links = links[goes_on]
        # A long chain would lose two links a round.
        if goes_on.mean() > _MOSTLY:
            break
    return links


def _forest(
    count: int, a: list[int], b: list[int]
) -> tuple[list[int], list[int], list[int]]:
    """Return each node's parent, the link to it, and how deep it is; roots have -1."""
    touching: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for link, (start, end) in enumerate(zip(a, b, strict=True)):
        touching[start].append((link, end))
        touching[end].append((link, start))
    above, up, depth = [-1] * count, [-1] * count, [-1] * count
    for root in touching:
        walk = [root] if depth[root] < 0 else []
        depth[root] = max(depth[root], 0)
        for node in walk:  # it grows on the way: breadth first, so that trips are short
            for link, other in touching[node]:
                if depth[other] < 0:
                    above[other], up[other] = node, link
                    depth[other] = depth[node] + 1
                    walk.append(other)
    return above, up, depth


def _trip(
    start: int, end: int, above: list[int], up: list[int], depth: list[int]
) -> list[int]:
    """Return the links of the way through the forest from ``start`` to ``end``."""
    links = []
    while start != end:
        if depth[start] < depth[end]:
            start, end = end, start
        links.append(up[start])
        start = above[start]
    return links


def _root(first: dict[int, int], link: int) -> int:
    """Return the lowest link known to be of a link's part."""
    while first.setdefault(link, link) != link:
        first[link] = first[first[link]]
        link = first[link]
    return link


def _join(first: dict[int, int], one: int, other: int) -> None:
    low, high = sorted((_root(first, one), _root(first, other)))
    first[high] = low
