"""Coordinates from one reference system to another."""

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
    authority, _, number = crs.strip().upper().partition(":")
    return int(number) if authority == "EPSG" and number.isdecimal() else 0


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
    from pyproj import Transformer
    from pyproj.exceptions import CRSError

    try:
        return Transformer.from_crs(source, target, always_xy=True)
    except CRSError as error:
        named = target if source == GEOGRAPHIC else source
        raise Refused(Problem("place.crs_unknown", {"crs": named})) from error
