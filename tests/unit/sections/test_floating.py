"""Which structures float: nothing feeds, earths or joins them."""

import numpy as np

from jointmap.register.codes import StructureKind
from jointmap.sections import floating

PIPING, JETTY, GRID = (
    k.code
    for k in (StructureKind.PLANT_PIPING, StructureKind.JETTY, StructureKind.EARTH_GRID)
)


def told(kinds, groups, protected=(), fed=()):
    rows = np.arange(len(kinds))
    found = floating(
        np.array(kinds, np.int16),
        np.isin(rows, protected),
        np.isin(rows, fed),
        np.array(groups),
    )
    return np.flatnonzero(found).tolist()


def test_a_spool_between_two_joints_floats():
    assert told([GRID, PIPING, GRID], [1, 2, 3]) == [1]


def test_joined_to_earth_fed_or_protected_it_does_not():
    assert told([GRID, PIPING], [1, 1]) == []
    assert told([PIPING, JETTY], [1, 2], protected=[0], fed=[1]) == []


def test_a_whole_group_floats_together():
    assert told([PIPING, JETTY, GRID], [1, 1, 3]) == [0, 1]
