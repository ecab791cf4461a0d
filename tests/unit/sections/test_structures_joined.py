"""Electrical groups, round trips, and the small joins they rest on."""

import numpy as np
import pytest

from jointmap.register.joining import row_of
from jointmap.sections import electrical_groups, loops
from jointmap.sections.joining import is_last_of, rows_with


def ints(*values):
    return np.array(values, np.int64)


def test_groups_are_named_by_their_lowest_structure():
    ids = ints(30, 10, 20, 40)
    a, b = ints(30, 20, 10), ints(20, 40, 99)
    joined = np.array([True, False, True])
    assert electrical_groups(ids, a, b, joined).tolist() == [20, 10, 20, 40]


def test_nothing_joined_and_nothing_there():
    none = ints()
    assert electrical_groups(none, none, none, none.astype(bool)).tolist() == []
    assert electrical_groups(ints(5, 6), none, none, none.astype(bool)).tolist() == [
        5,
        6,
    ]


@pytest.mark.parametrize(
    ("links", "together"),
    [
        ([(1, 2)], [0]),
        ([(1, 2), (2, 3)], [0, 1]),
        # Two lines each joined to the plant earth, and to each other.
        ([(1, 9), (2, 9), (1, 2)], [0, 0, 0]),
        # A third line hangs on the earth: on no way between the two.
        ([(1, 9), (2, 9), (1, 2), (3, 9)], [0, 0, 0, 3]),
        # Two boundaries between the same structures are a round trip.
        ([(1, 2), (2, 1)], [0, 0]),
        # Two triangles that meet in one structure stay two.
        ([(1, 2), (2, 3), (3, 1), (3, 4), (4, 5), (5, 3)], [0, 0, 0, 3, 3, 3]),
        ([(1, 2), (2, 3), (3, 4), (4, 1), (1, 3)], [0, 0, 0, 0, 0]),
    ],
)
def test_links_on_one_round_trip_share_a_label(links, together):
    pairs = np.array(links, np.int64)
    label = loops(pairs[:, 0], pairs[:, 1])
    first = [int(np.flatnonzero(label == value)[0]) for value in label]
    assert first == together


def test_no_links():
    assert loops(ints(), ints()).tolist() == []


def test_joining_by_id():
    assert row_of(ints(7, 3, 5), ints(5, 7, 4)).tolist() == [2, 0, -1]
    assert row_of(ints(), ints(1)).tolist() == [-1]
    place, row = rows_with(ints(2, 1, 2, 3), ints(2, 9, 3))
    assert list(zip(place.tolist(), row.tolist(), strict=True)) == [
        (0, 0),
        (0, 2),
        (2, 3),
    ]
    assert is_last_of(ints(1, 1, 2), ints(1, 2, 2)).tolist() == [True, True, True]
    assert is_last_of(ints(1, 1, 2)).tolist() == [False, True, True]
    assert is_last_of(ints()).tolist() == []
