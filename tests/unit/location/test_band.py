"""No place within reach lies outside the band of latitude that is looked at."""

import numpy as np
import pytest

from jointmap.location import band_deg, to_lat_lon, to_working


@pytest.mark.parametrize(
    ("crs", "latitude", "longitude"),
    [
        ("EPSG:32624", 31.4, -41.9),
        ("EPSG:32633", 78.2, 15.6),
        ("EPSG:32733", -0.0001, 12.0),
        ("EPSG:3857", 69.0, 20.0),  # metres that are a third of a metre
        ("EPSG:3995", 89.9, 170.0),  # about the pole
    ],
)
@pytest.mark.parametrize("metre", [50.0, 300.0])
def test_a_circle_in_the_plane_lies_within(crs, latitude, longitude, metre):
    x, y = to_working(latitude, longitude, crs)
    angle = np.linspace(0.0, 2 * np.pi, 73)
    around, _ = to_lat_lon(x + metre * np.cos(angle), y + metre * np.sin(angle), crs)
    most = np.abs(around - latitude).max()
    assert most <= band_deg(latitude, longitude, metre, crs) <= 3 * most


def test_where_the_system_does_not_hold_all_is_looked_at():
    assert band_deg(np.nan, 0.0, 300.0, "EPSG:32624") == 180.0
