"""One place is answered as one of many: no array goes to pyproj for a number."""

import numpy as np
import pytest

from jointmap.location import geodesic, one_or_many, reference_systems

ONE, TWO = np.array([31.4]), np.array([-41.9])


@pytest.mark.parametrize(
    "answer",
    [
        lambda: reference_systems.to_working(ONE, TWO, "EPSG:32624"),
        lambda: reference_systems.to_lat_lon(TWO, ONE, "EPSG:4326"),
        lambda: geodesic.inverse(ONE, TWO, ONE + 1, TWO),
        lambda: geodesic.direct(ONE, TWO, np.array([90.0]), np.array([10.0])),
    ],
)
def test_one_place_in_one_place_out(answer):
    assert {part.shape for part in answer()} == {(1,)}


@pytest.mark.parametrize("size", [1, 2, 3])
def test_an_array_of_one_is_never_handed_over(size):
    given = one_or_many.as_many(np.zeros(size), np.ones(size))
    assert [isinstance(g, np.ndarray) and g.size == 1 for g in given] == [False, False]
    assert [len(g) for g in given] == [size, size]


def test_metres_between_two_places():
    here, there = (31.40, -41.80), (31.41, -41.80)
    expected = geodesic.inverse(*(np.array([v]) for v in (*here, *there)))[1][0]
    assert geodesic.metres_apart(here, there) == expected
    assert np.isnan(geodesic.metres_apart(here, (None, None)))
