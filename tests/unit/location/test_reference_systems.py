import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from jointmap.errors import Refused
from jointmap.location import epsg_number, to_lat_lon, to_working
from jointmap.location.reference_systems import area_of_use, check_name


def test_lat_lon_as_captured_stay_as_they_are():
    latitude, longitude = to_lat_lon([-41.9], [31.4], "EPSG:4326")
    assert (latitude[0], longitude[0]) == (31.4, -41.9)


def test_a_single_number_is_a_column_of_one():
    assert to_lat_lon(500_000.0, 0.0, "EPSG:32624")[0].shape == (1,)


def test_no_number_gives_no_place():
    latitude, longitude = to_lat_lon([np.nan, 500e3], [0.0, 0.0], "EPSG:32624")
    assert np.isnan([latitude[0], longitude[0]]).all()
    assert longitude[1] == pytest.approx(-39.0)


def test_numbers_off_the_plane_give_no_place():
    assert np.isnan(to_lat_lon([1e12], [1e12], "EPSG:32624")).all()


@pytest.mark.parametrize("crs", ["EPSG:999999", "Orsanne 1958", ""])
def test_unknown_system_is_refused_by_name(crs):
    for call in (to_lat_lon, to_working):
        with pytest.raises(Refused) as caught:
            call([1.0], [1.0], crs)
        problem = caught.value.problems[0]
        assert (problem.id, problem.values["crs"]) == ("place.crs_unknown", crs)


@pytest.mark.parametrize("crs", ["EPSG:4326", "EPSG:2263"])
def test_working_system_must_be_plane_metres(crs):
    with pytest.raises(Refused) as caught:
        to_working([31.4], [-41.9], crs)
    assert caught.value.problems[0].id == "place.crs_not_metres"


@pytest.mark.parametrize(
    ("crs", "number"),
    [("EPSG:32624", 32624), (" epsg:4326 ", 4326), ("EPSG:", 0), ("ESRI:102100", 0)],
)
def test_epsg_number(crs, number):
    assert epsg_number(crs) == number


def test_importing_location_does_not_load_pyproj():
    code = "import sys, jointmap.location; sys.exit('pyproj' in sys.modules)"
    root = Path(__file__).resolve().parents[3]
    subprocess.run([sys.executable, "-c", code], check=True, cwd=root)


@pytest.mark.parametrize("crs", ["EPSG:4978", "EPSG:5773"])
def test_heights_and_numbers_from_the_centre_are_no_place(crs):
    with pytest.raises(Refused):
        to_lat_lon(1.0, 2.0, crs)


@pytest.mark.parametrize("crs", ["+proj=utm +zone=31", "E" * 500])
def test_a_definition_is_no_name(crs):
    with pytest.raises(Refused):
        check_name(crs)


@pytest.mark.parametrize(
    ("crs", "area"),
    [
        ("EPSG:32624", (0.0, 84.0, -42.0, -36.0)),
        # It spans the date line.
        ("EPSG:3832", None),
    ],
)
def test_where_a_system_is_meant_to_be_used(crs, area):
    assert area_of_use(crs) == area


def test_an_unknown_system_is_meant_for_nowhere():
    with pytest.raises(Refused):
        area_of_use("EPSG:999999")
