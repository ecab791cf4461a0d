import numpy as np
import pytest

from jointmap.errors import Refused
from jointmap.location import (
    convert_posts,
    kilometre_ticks,
    points_to_posts,
    posts_to_points,
)
from jointmap.location.geodesic import inverse, moved
from jointmap.location.measuring import measuring, nearest, place_along

# A bent line of some 62 km running west, and its own ends as tie points.
LONGITUDE = np.linspace(-41.55, -42.2, 66)
LATITUDE = 31.388 + 0.01 * np.sin(np.linspace(0.0, 9.0, 66))
LINE = np.column_stack([LONGITUDE, LATITUDE])
TIES = [[0.0, *LINE[0]], [61.9, *LINE[-1]]]


def refused(coordinates, ties):
    with pytest.raises(Refused) as caught:
        measuring(coordinates, ties)
    return [p.id for p in caught.value.problems]


def test_ends_stand_on_their_tie_points():
    latitude, longitude = posts_to_points(LINE, TIES, [0.0, 61.9])
    assert latitude == pytest.approx(LATITUDE[[0, -1]], abs=1e-12)
    assert longitude == pytest.approx(LONGITUDE[[0, -1]], abs=1e-12)


def test_posts_outside_the_tie_points_have_no_place():
    inner = [[18.0, *LINE[20]], [41.0, *LINE[44]]]
    latitude, longitude = posts_to_points(LINE, inner, [17.999, 41.001, -3.0, np.nan])
    assert np.isnan(latitude).all()
    assert np.isnan(longitude).all()
    post, distance = points_to_posts(LINE, inner, LATITUDE[[0, 30]], LONGITUDE[[0, 30]])
    assert np.isnan(post[0])
    assert 18.0 < post[1] < 41.0
    assert distance == pytest.approx([0.0, 0.0], abs=1e-6)


def test_vertices_on_one_another_do_no_harm():
    doubled = np.repeat(LINE, 2, axis=0)
    posts = np.linspace(0.0, 61.9, 25)
    assert posts_to_points(doubled, TIES, posts) == pytest.approx(
        np.array(posts_to_points(LINE, TIES, posts)), abs=1e-12
    )


def test_a_place_beside_the_line_knows_its_post_and_distance():
    line = measuring(LINE, TIES)
    along = np.array([10_000.0, 30_000.0])
    latitude, longitude, azimuth = place_along(line, along)
    turn = np.radians(azimuth + 90.0)
    beside = moved(latitude, longitude, 80.0 * np.sin(turn), 80.0 * np.cos(turn))
    found, distance = nearest(line, *beside)
    assert found == pytest.approx(along, abs=0.01)
    assert distance == pytest.approx([80.0, 80.0], abs=0.01)


def test_nearest_agrees_with_trying_every_metre():
    line = measuring(LINE[:6], [[0.0, *LINE[0]], [5.0, *LINE[5]]])
    place = np.array([LATITUDE[3] + 0.004]), np.array([LONGITUDE[3] + 0.002])
    along = np.arange(0.0, line.along_metre[-1])
    latitude, longitude, _ = place_along(line, along)
    far = np.full(len(along), place[0][0]), np.full(len(along), place[1][0])
    tried = inverse(latitude, longitude, *far)[1]
    found, distance = nearest(line, *place)
    assert distance[0] == pytest.approx(tried.min(), abs=0.01)
    assert found[0] == pytest.approx(along[tried.argmin()], abs=2.0)


def test_beyond_an_end_the_end_is_nearest():
    beyond = moved(LATITUDE[:1], LONGITUDE[:1], np.array([700.0]), np.array([0.0]))
    post, distance = points_to_posts(LINE, TIES, *beyond)
    assert post == pytest.approx([0.0], abs=1e-9)
    assert distance == pytest.approx([700.0], abs=0.01)


def test_a_place_on_the_other_side_of_the_globe_is_far_and_no_place_is_nowhere():
    line = measuring(LINE, TIES)
    along, distance = nearest(line, np.array([-31.0, np.nan]), np.array([138.0, 1.0]))
    assert distance[0] > 15e6
    assert 0.0 <= along[0] <= line.along_metre[-1]
    assert np.isnan([along[1], distance[1]]).all()


def test_ticks_are_whole_multiples_inside_the_tie_points():
    ticks = kilometre_ticks(LINE, [[3.2, *LINE[4]], [60.0, *LINE[62]]], 5.0)
    assert ticks.post_kilometre.tolist() == [5.0 * k for k in range(1, 13)]
    posts, distance = points_to_posts(
        LINE,
        [[3.2, *LINE[4]], [60.0, *LINE[62]]],
        ticks.latitude_deg,
        ticks.longitude_deg,
    )
    assert posts == pytest.approx(ticks.post_kilometre, abs=1e-6)
    assert distance == pytest.approx(np.zeros(12), abs=1e-6)
    # The line runs west; a tick drawn across it points north or south.
    assert np.all(np.abs(ticks.azimuth_deg + 90.0) < 15.0)


def test_reroute_moves_the_posts_behind_it():
    # Story: a reroute between KP 18.2 and 24.6 added 1.55 km.
    at = {post: LINE[i] for post, i in ((0.0, 0), (18.2, 19), (24.6, 27), (62.1, 65))}
    old = [[post, *place] for post, place in at.items()]
    new = [[post + 1.55 * (post > 18.2), *place] for post, place in at.items()]
    posts = np.array([0.0, 10.0, 18.2, 21.4, 24.6, 40.0, 62.1, 63.0])
    found, stretched = convert_posts(LINE, old, new, posts)
    expected = [0.0, 10.0, 18.2, 18.2 + 7.95 / 2, 26.15, 41.55, 63.65, np.nan]
    assert found == pytest.approx(expected, abs=1e-9, nan_ok=True)
    assert stretched[3]
    assert not stretched[7]
    back, _ = convert_posts(LINE, new, old, found)
    assert back[:-1] == pytest.approx(posts[:-1], abs=1e-9)


def test_an_even_measuring_is_not_called_stretched():
    _, stretched = convert_posts(LINE, TIES, TIES, np.linspace(0.0, 61.9, 9))
    assert not stretched.any()


@pytest.mark.parametrize(
    "coordinates",
    [LINE[:1], np.repeat(LINE[:1], 3, axis=0), np.where(LINE < -42.0, np.nan, LINE)],
)
def test_a_line_without_length_is_refused(coordinates):
    assert refused(coordinates, TIES) == ["line.no_length"]


@pytest.mark.parametrize(
    ("ties", "ids"),
    [
        ([], ["chainage.too_few"]),
        ([[0.0, *LINE[0]]], ["chainage.too_few"]),
        ([[0.0, *LINE[0]], [0.0, *LINE[9]]], ["chainage.not_rising"]),
        ([[5.0, *LINE[0]], [4.0, *LINE[9]]], ["chainage.not_rising"]),
        ([[0.0, *LINE[9]], [5.0, *LINE[0]]], ["chainage.against_line"]),
        ([[0.0, *LINE[0]], [5.0, *LINE[0]]], ["chainage.against_line"]),
        ([[0.0, *LINE[0]], [5.0, LINE[9][1], LINE[9][0]]], ["chainage.off_line"]),
        ([[0.0, *LINE[0]], [np.nan, *LINE[9]]], ["chainage.not_rising"]),
        (
            [[5.0, *LINE[9]], [4.0, *LINE[0]]],
            ["chainage.not_rising", "chainage.against_line"],
        ),
    ],
)
def test_tie_points_that_cannot_be_are_refused_all_at_once(ties, ids):
    found = refused(LINE, ties)
    assert [i for i in found if i != "chainage.against_line" or i in ids] == ids
