"""The largest AC reading of each visit as columns."""

import numpy as np

from jointmap.register import IsolationTest
from jointmap.register.columns import Floats, Ids
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_arrays

_READ = ("ac_a_volt", "ac_b_volt", "ac_between_volt")


def largest_ac(state: Snapshot) -> tuple[Ids, Floats]:
    """Return the id of each test, and its largest AC reading in volt; NaN for none."""
    read = read_arrays(state.stored, IsolationTest, _READ)
    return read["id"], np.fmax.reduce([read[name] for name in _READ])
