import numpy as np
import pyproj
import pytest

from jointmap.errors import Problem
from jointmap.location import (
    DOUBT_KINDS,
    Extent,
    PlaceColumns,
    Places,
    doubts,
    measuring,
    posts_on,
    problems,
    to_lat_lon,
    to_working,
)
from jointmap.location.geodesic import inverse, moved
from jointmap.location.offsets import alike
from jointmap.location.other_readings import next_zone
from jointmap.location.places import DoubtLimits
from jointmap.wording import say

LONGITUDE = np.linspace(-41.55, -42.2, 66)
LATITUDE = 31.388 + 0.01 * np.sin(np.linspace(0.0, 9.0, 66))
COORDINATES = np.column_stack([LONGITUDE, LATITUDE])
LINE = measuring(COORDINATES, [[0.0, *COORDINATES[0]], [61.9, *COORDINATES[-1]]])
EXTENT = Extent(31.2, 31.6, -42.5, -41.3)
POSTS = np.linspace(1.0, 60.0, 12)


def places(latitude, longitude, **other):
    n = len(latitude)
    plain = {
        "subject_id": np.arange(n) + 1,
        "captured_x": np.asarray(longitude, float),
        "captured_y": np.asarray(latitude, float),
        "captured_epsg": np.full(n, 4326),
        "measuring": np.zeros(n, dtype=np.int64),
        "post_kilometre": POSTS[:n],
        "batch": np.zeros(n, dtype=np.int64),
    }
    return PlaceColumns(
        latitude_deg=np.asarray(latitude, float),
        longitude_deg=np.asarray(longitude, float),
        **(plain | other),
    )


def true_places():
    return tuple(v.copy() for v in posts_on(LINE, POSTS))


def kinds(found):
    words = [DOUBT_KINDS[k].removeprefix("place.") for k in found.kind]
    return list(zip(found.row.tolist(), words, strict=True))


def test_right_places_are_not_doubted():
    assert len(doubts(places(*true_places()), EXTENT, [LINE])) == 0


def test_no_places_no_doubts():
    nothing = places(*true_places()).take(np.zeros(0, dtype=np.int64))
    assert len(doubts(nothing, EXTENT, [LINE])) == 0


def test_a_missing_position_is_not_doubted():
    latitude, longitude = true_places()
    latitude[4] = np.nan
    assert len(doubts(places(latitude, longitude), EXTENT, [LINE])) == 0


def test_swapped_axes_are_seen_though_both_numbers_are_in_range():
    latitude, longitude = true_places()
    latitude[3], longitude[3] = longitude[3], latitude[3]
    assert abs(latitude[3]) < 90.0
    found = doubts(places(latitude, longitude), EXTENT, [LINE])
    assert kinds(found) == [(3, "axes_swapped")]
    assert found.proposed_latitude_deg[0] == longitude[3]
    assert found.proposed_longitude_deg[0] == latitude[3]
    assert found.distance_metre[0] > 1e7


def test_swapped_axes_of_a_place_on_no_line():
    one = places([-41.87], [31.40], measuring=np.array([-1]))
    assert kinds(doubts(one, EXTENT)) == [(0, "axes_swapped")]


def test_swapped_axes_without_an_extent_are_known_by_the_line():
    latitude, longitude = true_places()
    latitude[3], longitude[3] = longitude[3], latitude[3]
    found = doubts(places(latitude, longitude), None, [LINE])
    assert kinds(found) == [(3, "axes_swapped")]


def test_swapped_easting_and_northing():
    latitude, longitude = true_places()
    x, y = (v[0] for v in to_working(latitude[:1], longitude[:1], "EPSG:32624"))
    sent = to_lat_lon(y, x, "EPSG:32624")
    one = places(
        *sent,
        captured_x=np.array([y]),
        captured_y=np.array([x]),
        captured_epsg=np.array([32624]),
    )
    found = doubts(one, EXTENT, [LINE])
    assert kinds(found) == [(0, "axes_swapped")]
    assert found.proposed_latitude_deg == pytest.approx(latitude[:1])


@pytest.mark.parametrize("sign", [(1, -1), (-1, 1), (-1, -1)])
def test_lost_sign(sign):
    latitude, longitude = true_places()
    latitude[5] *= sign[0]
    longitude[5] *= sign[1]
    found = doubts(places(latitude, longitude), EXTENT, [LINE])
    assert kinds(found) == [(5, "sign_lost")]
    assert found.proposed_longitude_deg[0] == longitude[5] * sign[1]


@pytest.mark.parametrize(("labelled", "meant"), [(32624, 32623), (32623, 32624)])
def test_zone_written_down_wrong(labelled, meant):
    latitude, longitude = true_places()
    rows = [7, 8]
    x, y = to_working(latitude[rows], longitude[rows], f"EPSG:{meant}")
    sent = latitude.copy(), longitude.copy()
    sent[0][rows], sent[1][rows] = to_lat_lon(x, y, f"EPSG:{labelled}")
    captured = {"captured_x": sent[1].copy(), "captured_y": sent[0].copy()}
    captured["captured_epsg"] = np.full(12, 4326)
    captured["captured_x"][rows], captured["captured_y"][rows] = x, y
    captured["captured_epsg"][rows] = labelled
    found = doubts(places(*sent, **captured), EXTENT, [LINE])
    assert kinds(found) == [(7, "other_zone"), (8, "other_zone")]
    assert found.detail.tolist() == [meant, meant]
    assert found.proposed_longitude_deg == pytest.approx(longitude[rows], abs=1e-8)
    # The sample's story tells of some 570 km.
    assert found.distance_metre == pytest.approx([570e3, 570e3], rel=0.01)


@pytest.mark.parametrize(
    ("epsg", "step", "expected"),
    [
        (32624, -1, 32623),
        (32601, -1, 32660),
        (32760, 1, 32701),
        (25832, 1, 25833),
        (25828, -1, 0),
        (25838, 1, 0),
        (2193, 1, 0),
    ],
)
def test_next_zone(epsg, step, expected):
    assert next_zone(epsg, step) == expected


def test_plane_numbers_of_another_family_have_no_next_zone():
    one = places(
        [-40.0],
        [173.0],
        captured_x=np.array([1.6e6]),
        captured_y=np.array([5.4e6]),
        captured_epsg=np.array([2193]),
    )
    assert kinds(doubts(one, EXTENT, [LINE])) == [(0, "outside_site")]


def test_out_of_range_and_outside_are_told_apart():
    found = doubts(places([91.0, 35.0], [-41.9, -41.9]), EXTENT, [LINE])
    assert kinds(found) == [(0, "out_of_range"), (1, "outside_site")]
    assert np.isnan(found.distance_metre[0])


def test_latitude_beyond_the_pole_may_be_a_swap():
    site = Extent(31.0, 32.0, 118.0, 119.0)
    one = places([118.5], [31.5], measuring=np.array([-1]))
    found = doubts(one, site)
    assert kinds(found) == [(0, "axes_swapped")]
    assert np.isnan(found.distance_metre[0])


def orsanne_1958(latitude, longitude):
    """Return what a survey on the sample's invented datum would have written down."""
    old = pyproj.CRS.from_proj4("+proj=longlat +ellps=intl +towgs84=112,64,-77")
    carry = pyproj.Transformer.from_crs("EPSG:4326", old, always_xy=True)
    x, y = carry.transform(longitude, latitude)
    return np.asarray(y), np.asarray(x)


def test_old_datum_moves_nine_places_by_one_vector():
    truth = true_places()
    latitude, longitude = true_places()
    rows = np.arange(2, 11)
    latitude[rows], longitude[rows] = orsanne_1958(latitude[rows], longitude[rows])
    found = doubts(places(latitude, longitude), EXTENT, [LINE])
    assert kinds(found) == [(row, "moved_together") for row in rows]
    assert found.east_metre == pytest.approx(np.full(9, -122.0), abs=1.0)
    assert found.north_metre == pytest.approx(np.full(9, 168.0), abs=1.0)
    assert found.detail.tolist() == [9] * 9
    proposed = found.proposed_latitude_deg, found.proposed_longitude_deg
    apart = inverse(*proposed, *(v[rows] for v in truth))[1]
    assert apart.max() < 1.0
    sentence = say(problems(found)[0].id, problems(found)[0].values)
    assert "m east, 16" in sentence
    assert "datum" in sentence


def test_two_vectors_in_one_file_are_two_groups_and_files_are_kept_apart():
    latitude, longitude = true_places()
    shift = np.array([300.0] * 4 + [-200.0] * 4 + [300.0] * 4)
    latitude, longitude = moved(latitude, longitude, np.zeros(12), shift)
    batch = np.array([1] * 8 + [2, 2, -1, -1])
    found = doubts(places(latitude, longitude, batch=batch), EXTENT, [LINE])
    assert [k for _, k in kinds(found)] == ["moved_together"] * 8 + [
        "far_from_line"
    ] * 4
    assert found.detail[:8].tolist() == [4] * 8
    assert found.north_metre[:8] == pytest.approx(shift[:8], abs=0.01)


def test_vectors_that_differ_are_no_group():
    limits = DoubtLimits()
    east = np.array([100.0, 200.0, 300.0, 400.0])
    assert list(alike(east, np.zeros(4), limits)) == []
    assert list(alike(east[:2], np.zeros(2), limits)) == []


def test_group_on_the_corner_of_a_grid_is_found():
    east = np.array([-2.0, 2.0, -2.0, 2.0, 900.0, 905.0])
    north = np.array([-2.0, -2.0, 2.0, 2.0, 0.0, 0.0])
    groups = [g.tolist() for g in alike(east, north, DoubtLimits())]
    assert groups == [[0, 1, 2, 3]]


def test_post_of_the_other_measuring():
    again = measuring(COORDINATES, [[1.55, *COORDINATES[0]], [63.45, *COORDINATES[-1]]])
    elsewhere = measuring(
        COORDINATES, [[1.55, *COORDINATES[0]], [63.45, *COORDINATES[-1]]], line_id=7
    )
    latitude, longitude = posts_on(again, POSTS[1:])
    sent = places(latitude, longitude, post_kilometre=POSTS[1:])
    found = doubts(sent, EXTENT, [LINE, again])
    assert kinds(found) == [(row, "other_measuring") for row in range(11)]
    assert found.detail.tolist() == [1] * 11
    assert found.distance_metre == pytest.approx(np.zeros(11), abs=1e-6)
    # Another line's measuring explains nothing; neither does one that fits no better.
    alone = sent.take(np.array([0, 5]))
    for other in (
        elsewhere,
        measuring(COORDINATES, [[30, *COORDINATES[0]], [90, *COORDINATES[-1]]]),
    ):
        assert kinds(doubts(alone, EXTENT, [LINE, other])) == [
            (0, "far_from_post"),
            (1, "far_from_post"),
        ]


def test_far_from_line_and_far_along_it():
    latitude, longitude = true_places()
    longitude[2:3], latitude[2:3] = reversed(
        moved(latitude[2:3], longitude[2:3], np.array([0.0]), np.array([450.0]))
    )
    latitude[6], longitude[6] = (v[0] for v in posts_on(LINE, POSTS[6:7] + 0.4))
    found = doubts(places(latitude, longitude), EXTENT, [LINE])
    assert kinds(found) == [(2, "far_from_line"), (6, "far_from_post")]
    assert found.distance_metre == pytest.approx([445.0, 400.0], rel=0.02)
    stated = posts_on(LINE, POSTS[[2, 6]])
    assert found.proposed_latitude_deg == pytest.approx(stated[0])
    assert found.proposed_longitude_deg == pytest.approx(stated[1])


def test_every_kind_has_a_sentence_and_problems_carry_their_values():
    latitude, longitude = true_places()
    latitude[0] += 0.002
    found = doubts(places(latitude, longitude), EXTENT, [LINE])
    (one,) = problems(found)
    assert isinstance(one, Problem)
    assert one.values["row"] == 0
    for kind in DOUBT_KINDS:
        assert "not given" not in say(kind, one.values)


def test_the_order_of_rows_does_not_matter():
    latitude, longitude = true_places()
    latitude[3], longitude[3] = longitude[3], latitude[3]
    latitude[6:10] += 0.001
    sent = places(latitude, longitude)
    turned = doubts(sent.take(np.arange(12)[::-1]), EXTENT, [LINE])
    plain = doubts(sent, EXTENT, [LINE])
    assert sorted((11 - r, k) for r, k in kinds(turned)) == kinds(plain)


PLANT = np.linspace(31.400, 31.404, 9), np.linspace(-41.900, -41.896, 9)


def of_plant(latitude, longitude):
    count = len(latitude)
    line = np.full(count, -1)
    return places(
        latitude, longitude, measuring=line, post_kilometre=np.full(count, np.nan)
    )


@pytest.mark.parametrize(
    ("north_deg", "doubted"), [(0.0, False), (0.15, False), (0.25, True), (-0.4, True)]
)
def test_a_place_on_no_line_far_from_all_others_is_doubted(north_deg, doubted):
    latitude, longitude = PLANT[0].copy(), PLANT[1].copy()
    latitude[3] += north_deg
    found = doubts(of_plant(latitude, longitude), None)
    assert kinds(found) == ([(3, "far_from_others")] if doubted else [])


def test_places_on_record_are_part_of_the_crowd():
    one = of_plant(PLANT[0][:1] + 0.3, PLANT[1][:1])
    assert len(doubts(one, None)) == 0, "one place alone is no crowd"
    found = doubts(one, None, others=Places(*PLANT))
    assert kinds(found) == [(0, "far_from_others")]
    assert found.distance_metre[0] == pytest.approx(33_000, rel=0.05)


def test_a_long_line_without_a_measuring_is_no_crowd_of_doubts():
    count = 300
    latitude, longitude = np.linspace(25.0, 36.0, count), np.full(count, -41.0)
    assert len(doubts(of_plant(latitude, longitude), None)) == 0
