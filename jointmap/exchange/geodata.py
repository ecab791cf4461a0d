"""Joints as points in open formats: GeoPackage, GeoJSON, GPX, CSV.

The only user of geopandas; imported where a file is written, not before.
"""

import io
from collections.abc import Mapping, Sequence
from pathlib import Path

import geopandas as gpd
import numpy as np
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
    placed = np.isfinite(longitude_deg)
    points = np.full(len(placed), None, dtype=object)
    pairs = np.column_stack([longitude_deg, latitude_deg])
    points[placed] = shapely.points(pairs[placed])
    frame = gpd.GeoDataFrame(dict(columns), geometry=points, crs=GEOGRAPHIC)
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


def _waypoints(frame: gpd.GeoDataFrame) -> gpd.GeoDataFrame:
    own = frame[[*_GPX_NAMES, "geometry"]].rename(columns=_GPX_NAMES)
    return own[own.geometry.notna()]
