"""Small maps: north up, to scale, the glyph in its place."""

import math
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from pyproj import Geod

from jointmap.site_map.data import MapLine, Tick
from jointmap.site_map.small_maps import (
    Depot,
    Spot,
    _metres_per_degree,
    _runs,
    location_svg,
    route_svg,
)

HERE = Spot("IJ-1 <&>", 31.40, -41.90, 2, 3, is_suspect=True)
BESIDE = Spot("IJ-2", 31.41, -41.89, 0, 0)
NOWHERE = Spot("IJ-3", math.nan, math.nan, 4, 4)
LINE = MapLine(
    "Line",
    np.array([(-42.0, 31.40), (-41.8, 31.40)]),
    tuple(Tick(float(k), -42.0 + k * 0.01, 31.40, 90.0) for k in range(21)),
)


def read(svg):
    return ET.fromstring(svg)  # noqa: S314


@pytest.mark.parametrize("latitude", [-70.0, 0.0, 31.4, 52.0])
def test_metres_per_degree_against_the_geodesic(latitude):
    """PROJ's geodesic is the outside reference; a hundredth of a degree either way."""
    geod = Geod(ellps="WGS84")
    east, north = _metres_per_degree(latitude)
    across = geod.inv(0, latitude, 0.01, latitude)[2] * 100
    along = geod.inv(0, latitude - 0.005, 0, latitude + 0.005)[2] * 100
    assert east == pytest.approx(across, rel=1e-6)
    assert north == pytest.approx(along, rel=1e-6)


def test_location_shows_tag_line_posts_scale_and_north():
    root = read(location_svg(HERE, (BESIDE, NOWHERE), LINE))
    texts = [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")]
    assert HERE.tag in texts
    assert "N" in texts
    assert any(t.startswith("KP ") for t in texts)
    assert any(t.endswith((" m", " km")) for t in texts)
    titles = [e.text for e in root.iter("{http://www.w3.org/2000/svg}title")]
    assert titles == ["IJ-2: isolating, in time", "IJ-1 <&>: shorted, past the limit"]


def test_scale_bar_is_as_long_as_it_says():
    svg = location_svg(HERE, (BESIDE,))
    places = [tuple(map(int, m)) for m in re.findall(r"translate\((\d+) (\d+)\)", svg)]
    (x2, y2), (x1, y1) = places  # upper left corners; the glyphs are 12 and 16 px
    apart_px = math.hypot(x2 + 6 - x1 - 8, y2 + 6 - y1 - 8)
    metre = Geod(ellps="WGS84").inv(-41.90, 31.40, -41.89, 31.41)[2]
    bar = re.search(r'points="10,225 10,230 ([\d.]+),230', svg)
    assert ">500 m<" in svg
    assert (float(bar[1]) - 10) / 500 == pytest.approx(apart_px / metre, rel=0.01)


def test_north_is_up_and_east_is_right():
    svg = location_svg(HERE, (BESIDE,))
    (x2, y2), (x1, y1) = re.findall(r"translate\((\d+) (\d+)\)", svg)
    assert int(x2) > int(x1)
    assert int(y2) < int(y1)


def test_nothing_to_draw():
    assert location_svg(NOWHERE, (BESIDE,)) == ""
    assert route_svg([NOWHERE], Depot("D", 31.4, -41.9)) == ""
    assert route_svg([]) == ""


def numbers_on(svg):
    return re.findall(r'font-weight="bold">([^<]+)<', svg)


def test_route_keeps_its_numbers_and_returns_to_the_depot():
    svg = route_svg([HERE, NOWHERE, BESIDE], Depot("Depot <1>", 31.39, -41.95), LINE)
    assert numbers_on(svg) == ["1", "3"]
    assert "Depot &lt;1&gt;" in svg
    legs = re.search(r'points="([^"]+)"[^>]*stroke-dasharray', svg)[1].split()
    assert len(legs) == 4
    assert legs[0] == legs[-1]


def test_route_of_stops_at_one_place_shares_a_label():
    svg = route_svg([HERE, HERE, BESIDE, HERE])
    assert numbers_on(svg) == ["1, 2, 4", "3"]


def test_depot_without_a_name_or_a_place():
    assert ">depot<" in route_svg([HERE], Depot("", 31.39, -41.95))
    svg = route_svg([HERE, BESIDE], Depot("far", math.nan, math.nan))
    assert "far" not in svg


@pytest.mark.parametrize(
    ("numbers", "text"),
    [([1], "1"), ([1, 2], "1, 2"), ([1, 2, 3], "1-3"), ([1, 3, 4, 5, 9], "1, 3-5, 9")],
)
def test_runs(numbers, text):
    assert _runs(numbers) == text


def test_posts_thin_out_with_the_scale():
    near = location_svg(HERE, (), LINE)
    far = route_svg(
        [Spot("a", 31.4, -42.0, 0, 0), Spot("b", 31.4, -41.8, 0, 0)], None, LINE
    )
    assert re.findall(r">(KP \d+)<", near) == ["KP 10"]
    assert re.findall(r">(KP \d+)<", far) == [f"KP {n}" for n in range(0, 21, 2)]


def test_far_apart_stops_still_draw():
    away = Spot("far", -41.9, 31.4, 0, 0)
    assert read(route_svg([HERE, away], None, LINE)).get("width") == "640"


@pytest.mark.parametrize("bearing", [90.0, 270.0])
def test_label_lies_below_the_line_whichever_way_it_runs(bearing):
    line = MapLine("L", LINE.lon_lat_deg, (Tick(10.0, -41.90, 31.40, bearing),))
    svg = location_svg(HERE, (), line)
    assert float(re.search(r'y="([\d.]+)"[^>]*>KP 10<', svg)[1]) > 120
