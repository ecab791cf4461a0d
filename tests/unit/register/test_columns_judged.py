"""Which corrections change what verdicts and dates are judged by."""

import datetime as dt
from dataclasses import replace

import pytest

from jointmap.register import ParallelPath, Position
from jointmap.register.codes import PathKind, PathState, Subject
from jointmap.register.columns_judged import is_judged_anew
from tests.storage.samples import joint

PATH = ParallelPath(
    name="P-1",
    boundary_id=1,
    kind=PathKind.SUPPORT,
    state=PathState.JOINING,
    checked_on=dt.date(2026, 1, 5),
)
LATER = {"checked_on": dt.date(2026, 3, 5)}
PLACE = Position(
    subject=Subject.JOINT,
    subject_id=1,
    latitude_deg=31.4,
    longitude_deg=-41.9,
    captured_x="-41.9",
    captured_y="31.4",
    captured_crs="EPSG:4326",
)
IN_DOUBT = {"latitude_deg": None, "longitude_deg": None}


@pytest.mark.parametrize(
    ("old", "changed", "is_told"),
    [
        (PATH, {"state": PathState.APART}, True),
        (PATH, {"state": PathState.APART, **LATER}, False),
        (PATH, {"kind": PathKind.CONDUIT, **LATER}, True),
        (PATH, {"state": PathState.APART, "checked_on": None}, True),
        (PATH, {"remark": "red"}, False),
        (PLACE, {"latitude_deg": 31.40009}, False),
        (PLACE, {"latitude_deg": 31.40011}, True),
        (PLACE, {"longitude_deg": -41.90011}, True),
        (PLACE, IN_DOUBT, True),
        (
            replace(PLACE, **IN_DOUBT),
            {"latitude_deg": 1.0, "longitude_deg": 1.0},
            False,
        ),
        (replace(PLACE, longitude_deg=None), {"longitude_deg": 1.0}, False),
        (joint("J-1"), {"remark": "red door"}, False),
        (joint("J-1"), {"is_buried": True}, True),
    ],
)
def test_what_is_told(old, changed, is_told):
    assert is_judged_anew(old, replace(old, **changed)) is is_told
