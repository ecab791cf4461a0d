"""Joints as points in open formats: GeoPackage, GeoJSON, GPX; frames of points, lines.

Imported where a file is written or a frame asked for, not before.
"""

import io
from collections.abc import Mapping, Sequence
from pathlib import Path

import geopandas as gpd
import numpy as np
import numpy.typing as npt
import shapely

from jointmap.files.marks import DESCRIPTION, NAME

GEOGRAPHIC = "EPSG:4326"
# Each file says by whom it was made, in the way of its format.
_MARKS = {
    ".gpkg": {"layer_options": {"DESCRIPTION": DESCRIPTION}},
    ".geojson": {"layer_options": {"DESCRIPTION": DESCRIPTION}},
    ".gpx": {"dataset_options": {"CREATOR": NAME}},
}
DRIVERS = {".gpkg": "GPKG", ".geojson": "GeoJSON", ".gpx": "GPX"}
# A GPX waypoint knows these names only.
_GPX_NAMES = {"tag": "name", "summary": "desc"}


def write_points(
    path: Path,
    columns: Mapping[str, Sequence[object]],
    longitude_deg: Sequence[float],
    latitude_deg: Sequence[float],
) -> None:
    """Write one point per row; rows without a place are left out of GPX only.

    Longitude comes before latitude in every format here, as RFC 7946 asks for.
    """
    frame = points_frame(dict(columns), longitude_deg, latitude_deg)
    placed = frame.geometry.notna()
    suffix = path.suffix.lower()
    if suffix == ".gpx":
        frame = _waypoints(frame)
    # Without a point the layer does not know of what kind it is.
    kind = {} if placed.any() else {"geometry_type": "Point"}
    more = {**_MARKS[suffix], **kind}
    # In memory first: GDAL takes a text that was cut short by a full disk for written.
    if suffix != ".gpx":
        more["layer"] = path.stem
    made = io.BytesIO()
    frame.to_file(made, driver=DRIVERS[suffix], engine="pyogrio", **more)
    path.write_bytes(made.getvalue())


def points_frame(
    columns: object, longitude_deg: Sequence[float], latitude_deg: Sequence[float]
) -> gpd.GeoDataFrame:
    """Return columns with a point for each row; none where there is no place."""
    placed = np.isfinite(longitude_deg)
    points = np.full(len(placed), None, dtype=object)
    pairs = np.column_stack([longitude_deg, latitude_deg])
    points[placed] = shapely.points(pairs[placed])
    return gpd.GeoDataFrame(columns, geometry=points, crs=GEOGRAPHIC)


def lines_frame(
    columns: object, coordinates: Sequence[npt.ArrayLike]
) -> gpd.GeoDataFrame:
    """Return columns with a line of (longitude, latitude) for each row."""
    lines = np.full(len(coordinates), None, dtype=object)
    lines[:] = [shapely.linestrings(points) for points in coordinates]
    return gpd.GeoDataFrame(columns, geometry=lines, crs=GEOGRAPHIC)


def _waypoints(frame: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    own = frame[[*_GPX_NAMES, "geometry"]].rename(columns=_GPX_NAMES)
    return own[own.geometry.notna()]
