import csv
from pathlib import Path

import numpy as np
import pytest

from jointmap.location import posts_on, to_lat_lon, to_working
from jointmap.location.geodesic import direct, inverse
from jointmap.location.measuring import measuring

TABLE = Path(__file__).with_name("location.csv")
with TABLE.open(encoding="utf-8") as file:
    ROWS = [
        pytest.param(r, id=f"line {i}") for i, r in enumerate(csv.DictReader(file), 2)
    ]


def one(text):
    return np.array([float(text)])


def found(row):
    start = one(row["latitude_1"]), one(row["longitude_1"])
    if row["what"] == "inverse_metre":
        return inverse(*start, one(row["latitude_2"]), one(row["longitude_2"]))[1][0]
    if row["what"].startswith("direct"):
        azimuth, metre = (one(v) for v in row["given"].split(";"))
        place = direct(*start, azimuth, metre)
        return place[("direct_latitude", "direct_longitude").index(row["what"])][0]
    plane = to_working(*start, row["given"])
    return plane[("easting", "northing").index(row["what"])][0]


@pytest.mark.parametrize("row", ROWS)
def test_published_value(row):
    assert found(row) == pytest.approx(
        float(row["expected"]), rel=0, abs=float(row["tolerance"])
    )
    assert row["source"]
    assert row["mark"] in {"seen", "from memory"}


def test_post_on_a_geodesic_stands_on_the_geodesic_itself():
    # A 60 km geodesic from 52 N, 8 E, azimuth 70, drawn with 61 vertices: grid length
    # puts the post of 37.5 km about 14 m off; ellipsoidal length puts it right.
    metre = np.linspace(0.0, 60_000.0, 61)
    start = np.full(61, 52.0), np.full(61, 8.0), np.full(61, 70.0)
    latitude, longitude, _ = direct(*start, metre)
    line = measuring(
        np.column_stack([longitude, latitude]),
        [[0, longitude[0], latitude[0]], [60, longitude[-1], latitude[-1]]],
    )
    assert line.along_metre[-1] == pytest.approx(60_000.0, abs=1e-6)
    expected = direct(*(v[:1] for v in start), np.array([37_500.0]))
    x, y = to_working(latitude, longitude, "EPSG:32632")
    grid = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))))
    on_grid = to_lat_lon(
        np.interp([37_500.0], grid, x), np.interp([37_500.0], grid, y), "EPSG:32632"
    )
    assert inverse(*on_grid, *expected[:2])[1][0] == pytest.approx(13.8, abs=0.1)
    assert inverse(*posts_on(line, [37.5]), *expected[:2])[1][0] < 1e-6
