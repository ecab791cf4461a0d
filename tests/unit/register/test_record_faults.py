"""A record that says something impossible is never made."""

import datetime as dt

import pytest

from jointmap.errors import Refused
from jointmap.register.codes import DeviceKind, Subject
from jointmap.register.fitting import Device
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


@pytest.mark.parametrize(
    ("given", "id_"),
    [
        ({"removed_on": dt.date(2020, 1, 4)}, "device.removed_before_fitted"),
        ({"stud_count": 0}, "device.stud_count"),
    ],
)
def test_a_device_that_ends_before_it_begins_or_has_no_stud(given, id_) -> None:
    whole = {"joint_id": 1, "fitted_on": dt.date(2020, 1, 5), "stud_count": 8}
    with pytest.raises(Refused) as caught:
        Device(**whole | {"kind": DeviceKind.FLANGE_KIT} | given)
    assert [p.id for p in caught.value.problems] == [id_]
