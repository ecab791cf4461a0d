"""A record that says something impossible is never made."""

import datetime as dt

import pytest

from jointmap.errors import Refused
from jointmap.register.codes import Subject
from jointmap.register.place import Position


def _position(latitude_deg: float, longitude_deg: float) -> Position:
    return Position(
        subject=Subject.JOINT,
        subject_id=1,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        captured_crs="EPSG:4326",
        captured_on=dt.date(2026, 5, 15),
    )


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "column"),
    [(91.0, 0.0, "latitude_deg"), (0.0, -180.5, "longitude_deg")],
)
def test_a_place_on_no_globe_is_refused(
    latitude_deg: float, longitude_deg: float, column: str
) -> None:
    with pytest.raises(Refused) as caught:
        _position(latitude_deg, longitude_deg)
    (problem,) = caught.value.problems
    assert problem.id == "position.range"
    assert problem.column == column


def test_the_poles_and_the_date_line_are_places() -> None:
    assert _position(90.0, 180.0).latitude_deg == 90.0
    assert _position(-90.0, -180.0).longitude_deg == -180.0
