"""Travel times between places: by road where there are roads, else estimated."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from jointmap.errors import Problem, Refused
from jointmap.register.columns import Flags, Floats, Ids
from jointmap.routes.plan import TravelTimes
from jointmap.routes.road_graph import RoadGraph, fastest

# Ends of drawn roads stop short of the road they meet; this near they are one.
JOIN_METRE = 3.0
# Nodes nearer than a centimetre are one node.
GRAIN = 100.0
# A place farther than this from any road is not reached by road.
OFF_ROAD_METRE = 500.0
# Two places this near are walked between directly.
WALK_METRE = 200.0
WALKING_METRE_PER_SECOND = 1.2


@dataclass(frozen=True, slots=True)
class RoadLayer:
    """Roads in the site's working system: (vertices, 2) metres each, and speeds."""

    xy_metre: Sequence[Floats]
    speed_metre_per_second: Floats


@dataclass(frozen=True, slots=True)
class SiteTravel:
    """How the site wants distances without roads reckoned."""

    road_factor_ratio: float
    speed_metre_per_second: float
    walk_second: float


@dataclass(frozen=True, slots=True)
class _Pieces:
    """Roads cut at every crossing."""

    line: np.ndarray
    speed: Floats


@dataclass(frozen=True, slots=True)
class _Snaps:
    """Where each place leaves the roads: piece, distance along it, offset."""

    piece: Ids
    along: Floats
    offset: Floats


def travel_times(
    x_metre: Floats, y_metre: Floats, roads: RoadLayer | None, site: SiteTravel
) -> TravelTimes:
    """Return times and lengths from every place to every place.

    Parameters
    ----------
    x_metre, y_metre : ndarray, shape (n,)
        Joints and depots in the site's working system.
    roads : RoadLayer or None
        Roads and tracks, driven in both directions.
    site : SiteTravel
        Factor and speed for a straight line, and the least walk between two joints.

    Returns
    -------
    TravelTimes
        Arrays of shape (n, n). No time is less than the least walk. Near places are
        walked between. Where no road leads from one place to the other, or there are
        no roads, it is the straight line times the factor, marked estimated.

    Raises
    ------
    Refused
        ``road.no_length`` or ``road.no_speed``, with the road's place in the layer.
    """
    straight = np.hypot(
        x_metre[:, None] - x_metre[None, :], y_metre[:, None] - y_metre[None, :]
    )
    guess = straight * site.road_factor_ratio
    second, metre = guess / site.speed_metre_per_second, guess
    estimated = np.ones(straight.shape, dtype=bool)
    if roads is not None and len(roads.xy_metre) and len(x_metre):
        _refuse_bad(roads)
        by_second, by_metre = _by_road(np.column_stack([x_metre, y_metre]), roads)
        estimated = np.isinf(by_second)
        second = np.where(estimated, second, by_second)
        metre = np.where(estimated, metre, by_metre)
    second, metre, estimated = _or_walk(straight, second, metre, estimated)
    return TravelTimes(np.maximum(second, site.walk_second), metre, estimated)


def _refuse_bad(roads: RoadLayer) -> None:
    found = []
    for road, (xy, speed) in enumerate(
        zip(roads.xy_metre, roads.speed_metre_per_second, strict=True)
    ):
        if not (np.ptp(xy, axis=0) > 0.0).any():
            found.append(Problem("road.no_length", {"road": road}))
        if not speed > 0.0:
            found.append(Problem("road.no_speed", {"road": road}))
    if found:
        raise Refused(found)


def _or_walk(
    straight: Floats, second: Floats, metre: Floats, estimated: Flags
) -> tuple[Floats, Floats, Flags]:
    walk = straight / WALKING_METRE_PER_SECOND
    near = (straight <= WALK_METRE) & ((walk < second) | estimated)
    return (
        np.where(near, walk, second),
        np.where(near, straight, metre),
        estimated & ~near,
    )


def _by_road(places: Floats, roads: RoadLayer) -> tuple[Floats, Floats]:
    pieces = noded(roads)
    snaps = _snapped(places, pieces)
    graph, nodes = _graph(pieces, snaps)
    second, metre = fastest(graph, nodes)
    off = np.where(snaps.offset <= OFF_ROAD_METRE, snaps.offset, np.inf)
    both = off[:, None] + off[None, :]
    return second + both / WALKING_METRE_PER_SECOND, metre + both


def noded(roads: RoadLayer) -> _Pieces:
    """Return the roads joined where ends nearly meet, and cut where they cross."""
    lines = _joined([shapely.linestrings(xy) for xy in roads.xy_metre])
    cut = shapely.get_parts(shapely.node(shapely.multilinestrings(lines)))
    middle = shapely.line_interpolate_point(cut, 0.5, normalized=True)
    piece, road = shapely.STRtree(lines).query_nearest(middle)
    speed = np.zeros(len(cut))
    # Where roads lie on one another, the fastest is driven.
    np.maximum.at(speed, piece, roads.speed_metre_per_second[road])
    return _Pieces(cut, speed)


def _joined(lines: list[shapely.LineString]) -> list[shapely.LineString]:
    ends = [shapely.get_point(lines, 0), shapely.get_point(lines, -1)]
    own, near = shapely.STRtree(np.concatenate(ends)).query(
        lines, predicate="dwithin", distance=JOIN_METRE
    )
    other = near % len(lines)
    # A road hardly longer than the gap would shrink to a point.
    joins = (own != other) & (shapely.length(lines)[own] > 2.0 * JOIN_METRE)
    made = list(lines)
    # One road after the other, against the ends as they have become by then; both at
    # once would let two ends change places.
    for road in np.unique(own[joins]):
        met = np.unique(other[joins & (own == road)])
        points = [shapely.get_point(made[m], end) for m in met for end in (0, -1)]
        made[road] = shapely.snap(lines[road], shapely.multipoints(points), JOIN_METRE)
    return made


def _snapped(places: Floats, pieces: _Pieces) -> _Snaps:
    points = shapely.points(places)
    piece = shapely.STRtree(pieces.line).query_nearest(points, all_matches=False)[1]
    line = pieces.line[piece]
    along = shapely.line_locate_point(line, points)
    return _Snaps(piece, along, shapely.distance(line, points))


def _graph(pieces: _Pieces, snaps: _Snaps) -> tuple[RoadGraph, Ids]:
    """Return the network with a node for each place, and the places' nodes."""
    count = len(pieces.line)
    length = shapely.length(pieces.line)
    ends = np.concatenate(
        [
            shapely.get_coordinates(shapely.get_point(pieces.line, 0)),
            shapely.get_coordinates(shapely.get_point(pieces.line, -1)),
        ]
    )
    keys = np.rint(ends * GRAIN).astype(np.int64)
    _, node = np.unique(keys, axis=0, return_inverse=True)
    node = node.ravel()
    roads = int(node.max()) + 1
    places = roads + np.arange(len(snaps.piece))
    # Every piece is a row of nodes: its start, the places on it, its end.
    piece = np.concatenate([np.arange(count), snaps.piece, np.arange(count)])
    along = np.concatenate([np.full(count, -1.0), snaps.along, np.full(count, np.inf)])
    names = np.concatenate([node[:count], places, node[count:]])
    rows = np.lexsort((names, along, piece))
    piece, names = piece[rows], names[rows]
    along = np.clip(along[rows], 0.0, length[piece])
    same = piece[1:] == piece[:-1]
    metre = np.diff(along)[same]
    speed = pieces.speed[piece[1:][same]]
    start, end = names[:-1][same], names[1:][same]
    graph = RoadGraph(roads + len(places), start, end, metre / speed, metre)
    return graph, places
