"""Points in open formats carry their names."""

from xml.etree import ElementTree

from jointmap.exchange.geodata import write_points

COLUMNS = {"tag": ["J-1", "J-2", "J-3"], "summary": ["sound", "past", "no place"]}
PLACES = [-41.9, -41.8, float("nan")], [31.4, 31.5, float("nan")]


def test_a_waypoint_has_the_tag_for_a_name(tmp_path):
    """An older writer put the tag into the height, and lost it."""
    write_points(tmp_path / "x.gpx", COLUMNS, *PLACES)
    root = ElementTree.parse(tmp_path / "x.gpx").getroot()  # noqa: S314 - our own
    told = [
        (point.get("lat"), point.get("lon"), [child.text for child in point])
        for point in root
        if point.tag.endswith("wpt")
    ]
    assert told == [
        ("31.4", "-41.9", ["J-1", "sound"]),
        ("31.5", "-41.8", ["J-2", "past"]),
    ]
