"""Distances and directions on the WGS 84 ellipsoid.

Grid lengths are off by up to 400 parts in a million and Web Mercator by far more, so
every length along or beside a line is reckoned here.
"""

from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from jointmap.location.one_or_many import as_many
from jointmap.register.columns import Floats

if TYPE_CHECKING:
    from pyproj import Geod


def inverse(
    latitude_1: Floats, longitude_1: Floats, latitude_2: Floats, longitude_2: Floats
) -> tuple[Floats, Floats]:
    """Return azimuth (degrees) at the first place and distance (metres) to the second.

    All arrays have shape (n,); NaN where a coordinate is NaN.
    """
    azimuth, _, distance = _ellipsoid().inv(
        *as_many(longitude_1, latitude_1, longitude_2, latitude_2)
    )
    unknown = np.isnan(latitude_1 + longitude_1 + latitude_2 + longitude_2)
    return np.where(unknown, np.nan, azimuth), np.where(unknown, np.nan, distance)


Place: TypeAlias = tuple[float | None, float | None]


def metres_apart(here: Place, there: Place) -> float:
    """Return the metres between two places (latitude, longitude); NaN if unknown."""
    four = [np.array([value], dtype=float) for value in (*here, *there)]
    return float(inverse(*four)[1][0])


def direct(
    latitude: Floats, longitude: Floats, azimuth_deg: Floats, distance_metre: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return latitude, longitude and onward azimuth at the end of a geodesic."""
    x, y, azimuth, distance = as_many(longitude, latitude, azimuth_deg, distance_metre)
    far_longitude, far_latitude, onward = _ellipsoid().fwd(
        x, y, azimuth, distance, return_back_azimuth=False
    )
    return np.asarray(far_latitude), np.asarray(far_longitude), np.asarray(onward)


def vector(
    latitude_1: Floats, longitude_1: Floats, latitude_2: Floats, longitude_2: Floats
) -> tuple[Floats, Floats]:
    """Return how far (metres) the second place is east and north of the first."""
    azimuth, distance = inverse(latitude_1, longitude_1, latitude_2, longitude_2)
    turn = np.radians(azimuth)
    return distance * np.sin(turn), distance * np.cos(turn)


def moved(
    latitude: Floats, longitude: Floats, east_metre: Floats, north_metre: Floats
) -> tuple[Floats, Floats]:
    """Return the places reached by going ``east_metre`` and ``north_metre``."""
    azimuth = np.degrees(np.arctan2(east_metre, north_metre))
    distance = np.hypot(east_metre, north_metre)
    far_latitude, far_longitude, _ = direct(latitude, longitude, azimuth, distance)
    return far_latitude, far_longitude


@lru_cache(maxsize=1)
def _ellipsoid() -> "Geod":
    from pyproj import Geod

    return Geod(ellps="WGS84")
