"""A line and one measuring of it: where along the metal its posts stand."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from jointmap.errors import Problem, Refused
from jointmap.location.geodesic import direct, inverse
from jointmap.location.reference_systems import to_working
from jointmap.register.columns import Floats

# A tie point farther than this from its line belongs to another line (our choice).
TIE_REACH_METRE = 1_000.0
# Newton steps along the nearest piece; two reach the rounding of doubles near a line.
STEPS = 2


@dataclass(frozen=True, slots=True)
class Measuring:
    """A centreline with its vertices' distances along it, and one set of posts.

    Distances are ellipsoidal, piece by piece; a piece between two vertices is a
    geodesic. ``azimuth_deg`` has one value fewer than there are vertices.
    """

    latitude_deg: Floats
    longitude_deg: Floats
    azimuth_deg: Floats
    along_metre: Floats
    tie_post_kilometre: Floats
    tie_along_metre: Floats
    line_id: int = 0


def measuring(
    coordinates: ArrayLike, tie_points: ArrayLike, line_id: int = 0
) -> Measuring:
    """Return the line measured by its tie points.

    Parameters
    ----------
    coordinates : array_like, shape (vertices, 2)
        Longitude and latitude in degrees, in the direction in which posts rise.
    tie_points : array_like, shape (ties, 3)
        Post in kilometres, longitude, latitude; at least two.
    line_id : int
        Tells which measurings are of the same line.

    Raises
    ------
    Refused
        ``line.no_length``, ``chainage.too_few``, ``chainage.off_line``,
        ``chainage.not_rising`` (the posts) or ``chainage.against_line`` (the places).
    """
    bare = _bare_line(np.asarray(coordinates, dtype=np.float64), line_id)
    ties = np.asarray(tie_points, dtype=np.float64).reshape(-1, 3)
    along, offset = nearest(bare, ties[:, 2], ties[:, 1])
    problems = list(_tie_faults(ties[:, 0], along, offset))
    if problems:
        raise Refused(problems)
    return _with_ties(bare, ties[:, 0], along)


def nearest(
    line: Measuring, latitude: Floats, longitude: Floats
) -> tuple[Floats, Floats]:
    """Return distance along the line to the nearest place on it, and the offset.

    Both in metres, shape (n,), NaN where the place is NaN. Beyond an end of the
    line the end itself is nearest. Exact near the line; for places thousands of
    kilometres away the offset only tells that they are far.
    """
    piece, along = _nearest_piece(line, latitude, longitude)
    start = line.along_metre[piece]
    length = line.along_metre[piece + 1] - start
    within = along * length
    for _ in range(STEPS):
        here = _on_piece(line, piece, within)
        azimuth, distance = inverse(here[0], here[1], latitude, longitude)
        within = within + distance * np.cos(np.radians(azimuth - here[2]))
        within = np.clip(within, 0.0, length)
    here = _on_piece(line, piece, within)
    _, distance = inverse(here[0], here[1], latitude, longitude)
    return np.where(np.isnan(distance), np.nan, start + within), distance


def place_along(line: Measuring, along_metre: Floats) -> tuple[Floats, Floats, Floats]:
    """Return latitude, longitude and direction of the line at distances along it.

    NaN stays NaN; distances must lie on the line.
    """
    last = len(line.azimuth_deg) - 1
    found = np.searchsorted(line.along_metre, along_metre, side="right") - 1
    piece = np.clip(found, 0, last)
    return _on_piece(line, piece, along_metre - line.along_metre[piece])


def _on_piece(
    line: Measuring, piece: np.ndarray, within_metre: Floats
) -> tuple[Floats, Floats, Floats]:
    return direct(
        line.latitude_deg[piece],
        line.longitude_deg[piece],
        line.azimuth_deg[piece],
        within_metre,
    )


def _bare_line(coordinates: Floats, line_id: int) -> Measuring:
    longitude, latitude = coordinates.reshape(-1, 2).T
    ends = latitude[:-1], longitude[:-1], latitude[1:], longitude[1:]
    azimuth, length = inverse(*ends)
    moves = length > 0.0
    if not moves.any() or np.isnan(length).any():
        raise Refused(Problem("line.no_length", {"vertices": len(latitude)}))
    kept = np.concatenate(([True], moves))
    along = np.concatenate(([0.0], np.cumsum(length[moves])))
    none = np.empty(0)
    return Measuring(
        latitude[kept], longitude[kept], azimuth[moves], along, none, none, line_id
    )


def _with_ties(bare: Measuring, post: Floats, along: Floats) -> Measuring:
    return Measuring(
        bare.latitude_deg,
        bare.longitude_deg,
        bare.azimuth_deg,
        bare.along_metre,
        post,
        along,
        bare.line_id,
    )


def _tie_faults(post: Floats, along: Floats, offset: Floats) -> Iterator[Problem]:
    if len(post) < 2:  # noqa: PLR2004 - a scale needs two ends
        yield Problem("chainage.too_few", {"ties": len(post)})
    for i in np.flatnonzero(~(offset <= TIE_REACH_METRE)):
        yield Problem("chainage.off_line", {"post": post[i], "distance": offset[i]})
    for i in np.flatnonzero(~(np.diff(post) > 0.0)):
        values = {"post": post[i + 1], "before": post[i]}
        yield Problem("chainage.not_rising", values)
    for i in np.flatnonzero(~(np.diff(along) > 0.0)):
        values = {"post": post[i + 1], "before": post[i]}
        yield Problem("chainage.against_line", values)


def _nearest_piece(
    line: Measuring, latitude: Floats, longitude: Floats
) -> tuple[np.ndarray, Floats]:
    # Few commands look for the nearest place on a line, and it is slow to load.
    import shapely

    # Conformal and centred on the line, so that the nearest piece on the plane is the
    # nearest on the ground; distances are not taken from it.
    middle = len(line.latitude_deg) // 2
    centre = line.latitude_deg[middle], line.longitude_deg[middle]
    plane = "+proj=tmerc +lat_0={:.6f} +lon_0={:.6f} +ellps=WGS84".format(*centre)
    vertices = np.column_stack(to_working(line.latitude_deg, line.longitude_deg, plane))
    places = np.column_stack(to_working(latitude, longitude, plane))
    # Off the plane altogether: any piece will do, the offset is then just "far".
    places = np.nan_to_num(places, nan=0.0)
    pieces = shapely.linestrings(np.stack([vertices[:-1], vertices[1:]], axis=1))
    tree = shapely.STRtree(pieces)
    piece = tree.query_nearest(shapely.points(places), all_matches=False)[1]
    step = vertices[piece + 1] - vertices[piece]
    ahead = ((places - vertices[piece]) * step).sum(axis=1)
    return piece, np.clip(ahead / (step * step).sum(axis=1), 0.0, 1.0)
