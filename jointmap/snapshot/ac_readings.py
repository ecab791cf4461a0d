"""The AC readings of the tests of a state, as columns."""

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from jointmap.register import IsolationTest
from jointmap.register.columns import Ids
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_arrays

_READ = ("ac_a_volt", "ac_b_volt", "ac_between_volt")


class AcReadings(NamedTuple):
    """The largest AC reading of each test that has one, in volt."""

    test_id: Ids
    volt: npt.NDArray[Any]


def ac_readings(state: Snapshot) -> AcReadings:
    """Return the AC readings of all tests of a state, by the id of the test."""
    read = read_arrays(state.stored, IsolationTest, _READ)
    volt = np.fmax.reduce([read[name] for name in _READ])
    told = ~np.isnan(volt)
    return AcReadings(read["id"][told], volt[told])
