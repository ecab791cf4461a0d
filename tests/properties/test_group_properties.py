"""Test groups against the rule itself, and against a tree of places."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from jointmap.sections import test_groups as groups_of
from tests.judging_samples import joints_of

# Quarters of a metre: squares and their sums are exact, so any way of adding agrees.
QUARTERS = st.integers(-800, 800).map(lambda n: n / 4)
BOUNDARIES = st.integers(1, 3)
PLACES = st.lists(st.tuples(QUARTERS, QUARTERS, BOUNDARIES), max_size=40)
METRES = st.floats(-3e6, 3e6)
CROWD = st.builds(
    lambda east, step, where: [(east + k * step, 0.0, 1) for k in where],
    METRES,
    st.floats(1e-3, 300),
    st.lists(st.integers(-6, 6), min_size=1, max_size=12),
)


def grouped(spots, reach):
    """Joints at the spots, numbered from 1, and their groups."""
    x, y, boundary = zip(*spots, strict=True) if spots else ((), (), ())
    places = {"x_metre": list(x), "y_metre": list(y), "boundary_id": list(boundary)}
    joints = joints_of(len(spots), **places)
    return joints, groups_of(joints, reach)


@given(PLACES, st.integers(0, 400).map(lambda n: n / 4))
def test_test_groups_partition_the_joints_around_their_seeds(spots, reach):
    joints, groups = grouped(spots, reach)
    seed = np.searchsorted(joints.joint_id, groups)
    assert (groups[seed] == groups).all()
    assert (joints.boundary_id[seed] == joints.boundary_id).all()
    x, y = joints.x_metre, joints.y_metre
    assert (np.hypot(x[seed] - x, y[seed] - y) <= reach + 1e-9).all()
    # Seeds of one boundary are out of each other's reach, or they would be one group.
    for one in np.unique(seed):
        for other in np.unique(seed):
            if one < other and joints.boundary_id[one] == joints.boundary_id[other]:
                gap = np.hypot(x[one] - x[other], y[one] - y[other])
                assert gap > reach - 1e-9


@given(PLACES, st.integers(0, 400).map(lambda n: n / 4))
def test_groups_are_those_that_a_tree_of_places_gives(spots, reach):
    _, groups = grouped(spots, reach)
    assert (groups - 1).tolist() == by_tree(spots, reach)


@given(CROWD, st.data())
def test_a_place_at_the_very_reach_is_within_it(spots, data):
    east = [x for x, *_ in spots]
    reach = abs(data.draw(st.sampled_from(east)) - data.draw(st.sampled_from(east)))
    _, groups = grouped(spots, reach)
    assert (groups - 1).tolist() == one_by_one(spots, reach)


def by_tree(spots, reach):
    """Which spot is the seed of each, in rounds: the first among its neighbours is.

    How groups were made before: by SciPy, boundaries apart in a third coordinate.
    """
    if not spots:
        return []
    apart = np.array(spots) * [1, 1, 4 * max(reach, 1.0)]
    pairs = cKDTree(apart).query_pairs(reach, output_type="ndarray").astype(np.int64)
    both = left = np.concatenate([pairs, pairs[:, ::-1]])
    number = np.arange(len(spots))
    open_, is_seed = np.ones(len(spots), bool), np.zeros(len(spots), bool)
    while open_.any():
        lowest = number.copy()
        np.minimum.at(lowest, left[:, 0], left[:, 1])
        new = open_ & (lowest == number)
        is_seed |= new
        open_ &= ~new
        open_[left[new[left[:, 0]], 1]] = False
        left = left[open_[left[:, 0]] & open_[left[:, 1]]]
    seeds = np.where(is_seed, number, len(spots))
    taken = both[is_seed[both[:, 1]] & ~is_seed[both[:, 0]]]
    np.minimum.at(seeds, taken[:, 0], taken[:, 1])
    return seeds.tolist()


def one_by_one(spots, reach):
    """Which spot is the seed of each, by the rule as it is written."""
    x, y, boundary = (np.array(column) for column in zip(*spots, strict=True))
    seeds = np.full(len(spots), -1)
    for seed in range(len(spots)):
        if seeds[seed] < 0:
            east, north = x - x[seed], y - y[seed]
            near = (boundary == boundary[seed]) & (seeds < 0)
            seeds[near & (east * east + north * north <= reach * reach)] = seed
    return seeds.tolist()
