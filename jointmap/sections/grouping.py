"""Test groups: the joints that one good reading counts for."""

import numpy as np
import numpy.typing as npt
from scipy.spatial import cKDTree

from jointmap.register.columns import Flags, Floats, Ids, JointColumns

# Boundaries are kept apart by a third coordinate of this many reaches.
_APART = 4.0
# So many pairs fit easily; beyond, joints stand so close that seeds are few.
MOST_PAIRS = 20_000_000


def test_groups(joints: JointColumns, reach_metre: float) -> Ids:
    """Return for each joint the group it stands in: the id of the group's seed.

    In order of id each joint that is in no group yet becomes a seed and takes the
    joints of its boundary within ``reach_metre`` that are in none. So every member is
    within reach of a reading at the seed, and groups do not grow into chains. A joint
    without a position, or without a boundary, is alone.
    """
    groups = joints.joint_id.copy()
    placed = np.flatnonzero(
        np.isfinite(joints.x_metre + joints.y_metre) & (joints.boundary_id > 0)
    )
    rows = placed[np.argsort(joints.joint_id[placed], kind="stable")]
    if len(rows):
        seeds = _seeds(_points(joints, rows, reach_metre), reach_metre)
        groups[rows] = joints.joint_id[rows[seeds]]
    return groups


test_groups.__test__ = False  # type: ignore[attr-defined]


def _points(joints: JointColumns, rows: Ids, reach_metre: float) -> Floats:
    _, level = np.unique(joints.boundary_id[rows], return_inverse=True)
    apart = level * (_APART * max(reach_metre, 1.0))
    return np.column_stack([joints.x_metre[rows], joints.y_metre[rows], apart])


def _seeds(points: Floats, reach_metre: float) -> Ids:
    """Return for each point, in order, the place of its seed."""
    unique, first, back = np.unique(
        points, axis=0, return_index=True, return_inverse=True
    )
    order = np.argsort(first)
    place = np.empty_like(order)
    place[order] = np.arange(len(order))
    tree = cKDTree(unique[order])
    few = tree.count_neighbors(tree, reach_metre) <= MOST_PAIRS
    seeds = (_by_pairs if few else _in_turn)(tree, reach_metre)
    found: Ids = first[order[seeds]][place[back.ravel()]]
    return found


def _by_pairs(tree: cKDTree, reach_metre: float) -> Ids:
    """Take all pairs at once; each round the first of its neighbours is a seed."""
    pairs = tree.query_pairs(reach_metre, output_type="ndarray").astype(np.int64)
    both = np.concatenate([pairs, pairs[:, ::-1]])
    count = tree.n
    is_seed: Flags = np.zeros(count, np.bool_)
    open_ = np.ones(count, np.bool_)
    left = both
    while open_.any():
        lowest = np.arange(count)
        np.minimum.at(lowest, left[:, 0], left[:, 1])
        new = open_ & (lowest == np.arange(count))
        is_seed |= new
        open_ &= ~new
        open_[left[new[left[:, 0]], 1]] = False
        left = left[open_[left[:, 0]] & open_[left[:, 1]]]
    seeds = np.where(is_seed, np.arange(count), count)
    taken = both[is_seed[both[:, 1]] & ~is_seed[both[:, 0]]]
    np.minimum.at(seeds, taken[:, 0], taken[:, 1])
    return seeds


def _in_turn(tree: cKDTree, reach_metre: float) -> Ids:
    """Take one seed after the other: for joints that stand very close."""
    points: npt.NDArray[np.float64] = tree.data
    seeds = np.full(tree.n, -1, np.int64)
    for place in range(tree.n):
        if seeds[place] < 0:
            near = np.array(tree.query_ball_point(points[place], reach_metre))
            seeds[near[seeds[near] < 0]] = place
    return seeds
