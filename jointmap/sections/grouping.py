"""Test groups: the joints that one good reading counts for."""

import numpy as np

from jointmap.register.columns import Ids, JointColumns
from jointmap.sections.near_places import NearPlaces, near_places


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
        x, y = joints.x_metre[rows], joints.y_metre[rows]
        places = near_places(joints.boundary_id[rows], x, y, reach_metre)
        groups[rows] = joints.joint_id[rows[_seeds(places, reach_metre)]]
    return groups


test_groups.__test__ = False  # type: ignore[attr-defined]


def _seeds(places: NearPlaces, reach_metre: float) -> Ids:
    """Return for each place as it was given which place is its seed.

    One after the other: seeds of a boundary stand further apart than a cell is wide, so
    each place is looked at from few of them, however close the places are.
    """
    x, y = places.x_metre.tolist(), places.y_metre.tolist()
    seed, square = list(range(len(x))), reach_metre * reach_metre
    taken = bytearray(len(x))
    for row in places.not_alone.tolist():
        if taken[row]:
            continue
        for first, last in places.stretches[row].tolist():
            for other in range(first, last):
                if not taken[other]:
                    east, north = x[other] - x[row], y[other] - y[row]
                    if east * east + north * north <= square:
                        taken[other] = 1
                        seed[other] = row
    found = np.empty(len(x), np.int64)
    found[places.number] = places.number[seed]
    return found
