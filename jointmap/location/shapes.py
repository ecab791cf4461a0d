"""Lines and measurings that no map can draw: tried before they are kept."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import ArrayLike

from jointmap.errors import Problem, Refused
from jointmap.location.geodesic import inverse
from jointmap.location.measuring import measuring
from jointmap.register.bounds import GLOBE

MOST_LATITUDE, MOST_LONGITUDE, HALF_ROUND = 90.0, 180.0, 180.0
# No pipe or road runs so far without a bend; our choice.
MOST_PIECE_METRE = 1_000_000.0
# A sheet of paper is no line; a map of more vertices would not open. Our choice.
MOST_VERTICES = 100_000
# Posts may be off by a re-laid piece, but not all of them by so much; our choice.
MOST_STRETCH = 3.0


def shape_faults(coordinates: Sequence[Sequence[float]]) -> Iterator[Problem]:
    """Yield why a list of longitude and latitude cannot be drawn as a line."""
    if len(coordinates) > MOST_VERTICES:
        facts = {"count": len(coordinates), "most": MOST_VERTICES}
        yield Problem("shape.vertices", facts, column="coordinates")
        return
    off = [p for p in coordinates if not _is_on_globe(p)]
    for pair in off[:1]:
        shown = f"{pair[0]:g}, {pair[1]:g}"
        facts_of = {"source": GLOBE}
        yield Problem("shape.globe", facts_of, column="coordinates", value=shown)
    if not off:
        yield from _piece_faults(np.asarray(coordinates, np.float64).reshape(-1, 2))


def _is_on_globe(pair: Sequence[float]) -> bool:
    return abs(pair[0]) <= MOST_LONGITUDE and abs(pair[1]) <= MOST_LATITUDE


def _piece_faults(pairs: np.ndarray) -> Iterator[Problem]:
    longitude, latitude = pairs.T
    across = np.abs(np.diff(longitude)) > HALF_ROUND
    _, length = inverse(latitude[:-1], longitude[:-1], latitude[1:], longitude[1:])
    if across.any():
        yield Problem("shape.date_line", column="coordinates")
    elif not (length > 0.0).any():
        count = {"count": len(pairs)}
        yield Problem("shape.no_length", count, column="coordinates")
    elif length.max() > MOST_PIECE_METRE:
        longest = int(np.argmax(length))
        facts = {"length": float(length[longest]), "most": MOST_PIECE_METRE}
        shown = ", ".join(f"{v:g}" for v in pairs[longest])
        yield Problem("shape.piece", facts, column="coordinates", value=shown)


def tie_faults(coordinates: ArrayLike, tie_points: ArrayLike) -> Iterator[Problem]:
    """Yield why a line cannot carry the posts of a measuring."""
    try:
        line = measuring(coordinates, tie_points)
    except Refused as refused:
        yield from refused.problems
        return
    post, along = line.tie_post_kilometre, line.tie_along_metre
    posts, metres = 1000.0 * float(post[-1] - post[0]), float(along[-1] - along[0])
    if not metres / MOST_STRETCH <= posts <= metres * MOST_STRETCH:
        facts = {"posts": posts, "metres": metres, "most": MOST_STRETCH}
        yield Problem("chainage.stretch", facts, value=f"{post[-1]:g} km")
