"""How places stand against the site, their line and their stated post."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jointmap.location.chainage import posts_on
from jointmap.location.geodesic import vector
from jointmap.location.measuring import Measuring, nearest
from jointmap.location.places import DoubtLimits, Extent, PlaceColumns, Places
from jointmap.register.columns import Flags, Floats, Table

POLE_DEG = 90.0
HALF_TURN_DEG = 180.0


@dataclass(frozen=True, slots=True)
class Standing(Table):
    """One row per place; distances are NaN where there is nothing to compare with."""

    is_placed: Flags
    is_off_globe: Flags
    is_outside: Flags
    line_metre: Floats
    expected_latitude_deg: Floats  # of the stated post
    expected_longitude_deg: Floats
    east_metre: Floats  # the place as sent, seen from the expected one
    north_metre: Floats

    @property
    def post_metre(self) -> Floats:
        """Distance from the stated post."""
        return np.hypot(self.east_metre, self.north_metre)


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What places are held against."""

    extent: Extent | None
    measurings: Sequence[Measuring]
    limits: DoubtLimits
    others: Places


def standing(
    places: PlaceColumns, latitude: Floats, longitude: Floats, around: Surroundings
) -> Standing:
    """Return how the rows of ``places`` would stand at these coordinates."""
    line_metre = np.full(len(places), np.nan)
    post_latitude, post_longitude = np.full((2, len(places)), np.nan)
    off_globe = (np.abs(latitude) > POLE_DEG) | (np.abs(longitude) > HALF_TURN_DEG)
    for code, line in enumerate(around.measurings):
        rows = np.flatnonzero((places.measuring == code) & ~off_globe)
        if rows.size:
            line_metre[rows] = nearest(line, latitude[rows], longitude[rows])[1]
            stated = posts_on(line, places.post_kilometre[rows])
            post_latitude[rows], post_longitude[rows] = stated
    on_globe = np.where(off_globe, np.nan, latitude)
    east, north = vector(post_latitude, post_longitude, on_globe, longitude)
    return Standing(
        ~np.isnan(latitude + longitude),
        off_globe,
        off_globe | _is_outside(latitude, longitude, around.extent),
        line_metre,
        post_latitude,
        post_longitude,
        east,
        north,
    )


def _is_outside(latitude: Floats, longitude: Floats, extent: Extent | None) -> Flags:
    if extent is None:
        return np.zeros(len(latitude), dtype=bool)
    return (
        (latitude < extent.min_latitude_deg)
        | (latitude > extent.max_latitude_deg)
        | (longitude < extent.min_longitude_deg)
        | (longitude > extent.max_longitude_deg)
    )
