"""Coordinates from one reference system to another."""

import re
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from jointmap.errors import Problem, Refused
from jointmap.location.one_or_many import as_many
from jointmap.register.columns import Floats

if TYPE_CHECKING:
    from pyproj import Transformer

GEOGRAPHIC = "EPSG:4326"
_EPSG = re.compile("EPSG:([0-9]{1,9})", re.IGNORECASE)
# A name or a number is meant. The library also reads whole definitions, and through
# them files; nobody types those.
_MOST_LETTERS = 80
_OF_DEFINITIONS = frozenset('=@[]{}"')


def to_lat_lon(x: ArrayLike, y: ArrayLike, crs: str) -> tuple[Floats, Floats]:
    """Return latitude and longitude (degrees, WGS 84) of captured coordinates.

    Parameters
    ----------
    x, y : array_like, shape (n,)
        Easting and northing in metres, or longitude and latitude in degrees.
    crs : str
        The reference system of ``x`` and ``y``, such as ``EPSG:32624``.

    Returns
    -------
    latitude, longitude : ndarray, shape (n,)
        NaN where the numbers have no place on the globe.

    Raises
    ------
    Refused
        ``place.crs_unknown`` when no such reference system is known.
    """
    check_name(crs)
    longitude, latitude = _carry(_transformer(crs, GEOGRAPHIC), x, y)
    return latitude, longitude


def to_working(
    latitude: ArrayLike, longitude: ArrayLike, working_crs: str
) -> tuple[Floats, Floats]:
    """Return easting and northing in metres in the site's working system.

    Raises ``Refused`` when the system is unknown (``place.crs_unknown``) or is not
    one of plane metres (``place.crs_not_metres``). NaN goes in and comes out as NaN.
    """
    return _carry(_plane_transformer(working_crs), longitude, latitude)


def epsg_number(crs: str) -> int:
    """Return 32624 for ``EPSG:32624``; 0 for any other way of naming a system."""
    found = _EPSG.fullmatch(crs.strip())
    return int(found[1]) if found else 0


def area_of_use(crs: str) -> tuple[float, float, float, float] | None:
    """Return where a system is meant to be used: south, north, west, east in degrees.

    From the EPSG data set. None where none is stated, or it spans the date line.
    """
    from pyproj import CRS
    from pyproj.exceptions import ProjError

    try:
        area = CRS.from_user_input(crs).area_of_use
    except ProjError as error:
        raise _unknown(crs) from error
    if area is None or area.west > area.east:
        return None
    return area.south, area.north, area.west, area.east


def check_name(crs: str) -> None:
    """Refuse what somebody wrote as a system and is neither a name nor a number."""
    if len(crs) > _MOST_LETTERS or not _OF_DEFINITIONS.isdisjoint(crs):
        raise _unknown(crs)


def _unknown(crs: str) -> Refused:
    return Refused(Problem("place.crs_unknown", {"crs": crs[:_MOST_LETTERS]}))


def _carry(
    transformer: "Transformer", x: ArrayLike, y: ArrayLike
) -> tuple[Floats, Floats]:
    first, second = np.broadcast_arrays(
        np.atleast_1d(np.asarray(x, dtype=np.float64)),
        np.atleast_1d(np.asarray(y, dtype=np.float64)),
    )
    out = np.array(transformer.transform(*as_many(first, second)), dtype=np.float64)
    out[:, ~np.isfinite(out).all(axis=0)] = np.nan
    return out[0], out[1]


@lru_cache(maxsize=64)
def _plane_transformer(working_crs: str) -> "Transformer":
    made = _transformer(GEOGRAPHIC, working_crs)
    system = made.target_crs
    units = {axis.unit_name for axis in system.axis_info} if system else set()
    if units != {"metre"}:
        raise Refused(Problem("place.crs_not_metres", {"crs": working_crs}))
    return made


@lru_cache(maxsize=64)
def _transformer(source: str, target: str) -> "Transformer":
    # Imported here because commands that touch no coordinates should start fast.
    from pyproj import CRS, Transformer
    from pyproj.exceptions import ProjError

    named = target if source == GEOGRAPHIC else source
    try:
        system = CRS.from_user_input(named)
        made = Transformer.from_crs(source, target, always_xy=True)
    except ProjError as error:
        raise _unknown(named) from error
    # Heights alone, or numbers from the centre of the earth, are no place on a map.
    if not (system.is_projected or system.is_geographic):
        raise _unknown(named)
    return made
