"""Kilometre posts to places on the ground and back."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from jointmap.errors import Problem, Refused
from jointmap.location.measuring import Measuring, measuring, nearest, place_along
from jointmap.register.columns import Flags, Floats, Table

# Rounding of a place that stands on the first or last tie point itself.
AT_TIE_METRE = 0.001
# Slope length and plan length differ by less; more means the metal was re-laid or the
# tie points are apart by a reroute (our choice).
STRETCH_RATIO = 0.02
# The longest lines have some thousand; more would not fit a map, nor a memory.
MOST_TICKS = 40_000


@dataclass(frozen=True, slots=True)
class Ticks(Table):
    """Whole posts of a line, and the direction of the line there."""

    post_kilometre: Floats
    latitude_deg: Floats
    longitude_deg: Floats
    azimuth_deg: Floats


def posts_to_points(
    coordinates: ArrayLike, tie_points: ArrayLike, post_kilometre: ArrayLike
) -> tuple[Floats, Floats]:
    """Return latitude and longitude of kilometre posts; NaN outside the tie points.

    Shapes and refusals as in ``measuring``; ``post_kilometre`` has shape (n,).
    """
    return posts_on(measuring(coordinates, tie_points), post_kilometre)


def points_to_posts(
    coordinates: ArrayLike,
    tie_points: ArrayLike,
    latitude: ArrayLike,
    longitude: ArrayLike,
) -> tuple[Floats, Floats]:
    """Return the post (km) of the nearest place on the line and the distance to it.

    The distance is in metres. The post is NaN outside the tie points.
    """
    line = measuring(coordinates, tie_points)
    along, distance = nearest(line, _column(latitude), _column(longitude))
    return post_at(line, along), distance


def kilometre_ticks(
    coordinates: ArrayLike, tie_points: ArrayLike, every_km: float
) -> Ticks:
    """Return the posts that are whole multiples of ``every_km``, rising."""
    line = measuring(coordinates, tie_points)
    post = line.tie_post_kilometre
    if not (post[-1] - post[0]) / every_km <= MOST_TICKS:
        raise Refused(Problem("chainage.ticks", {"most": MOST_TICKS}))
    steps = np.arange(np.ceil(post[0] / every_km), np.floor(post[-1] / every_km) + 1)
    shown = steps * every_km
    return Ticks(shown, *place_along(line, along_of(line, shown)))


def convert_posts(
    coordinates: ArrayLike,
    from_ties: ArrayLike,
    to_ties: ArrayLike,
    post_kilometre: ArrayLike,
) -> tuple[Floats, Flags]:
    """Return posts of one measuring as posts of another of the same line.

    Parameters
    ----------
    coordinates : array_like, shape (vertices, 2)
        Longitude and latitude of the line.
    from_ties, to_ties : array_like, shape (ties, 3)
        Tie points of the two measurings.
    post_kilometre : array_like, shape (n,)
        Posts in the first measuring.

    Returns
    -------
    post_kilometre : ndarray, shape (n,)
        Posts in the second measuring; NaN outside the tie points of either.
    is_stretched : ndarray of bool, shape (n,)
        Where either measuring differs by over 2 % from the length on the ground, as
        it does across a reroute: the place is then between known posts, not at one.
    """
    old, new = measuring(coordinates, from_ties), measuring(coordinates, to_ties)
    along = along_of(old, _column(post_kilometre))
    stretched = _is_stretched(old, along) | _is_stretched(new, along)
    return post_at(new, along), stretched & ~np.isnan(along)


def posts_on(line: Measuring, post_kilometre: ArrayLike) -> tuple[Floats, Floats]:
    """Return latitude and longitude of posts on a line measured once for all."""
    latitude, longitude, _ = place_along(line, along_of(line, _column(post_kilometre)))
    return latitude, longitude


def along_of(line: Measuring, post_kilometre: Floats) -> Floats:
    """Return distances along the metal (metres) of posts; NaN outside the ties."""
    ties = line.tie_post_kilometre, line.tie_along_metre
    return np.interp(post_kilometre, *ties, left=np.nan, right=np.nan)


def post_at(line: Measuring, along_metre: Floats) -> Floats:
    """Return posts (km) at distances along the metal; NaN outside the ties."""
    first, last = line.tie_along_metre[0], line.tie_along_metre[-1]
    near = np.clip(along_metre, first, last)
    close = np.where(np.abs(near - along_metre) <= AT_TIE_METRE, near, along_metre)
    ties = line.tie_along_metre, line.tie_post_kilometre
    return np.interp(close, *ties, left=np.nan, right=np.nan)


def _is_stretched(line: Measuring, along_metre: Floats) -> Flags:
    metres = np.diff(line.tie_along_metre)
    ratio = np.abs(1000.0 * np.diff(line.tie_post_kilometre) / metres - 1.0)
    between = np.searchsorted(line.tie_along_metre, along_metre, side="right") - 1
    return ratio[np.clip(between, 0, len(ratio) - 1)] > STRETCH_RATIO


def _column(values: ArrayLike) -> Floats:
    return np.atleast_1d(np.asarray(values, dtype=np.float64))
