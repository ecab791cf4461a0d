"""The figures of the tests of a state, as columns."""

import numpy as np

from jointmap.acceptance.same_figures import FIGURES, FigureColumns
from jointmap.register import IsolationTest
from jointmap.register.codes import Outcome
from jointmap.register.columns import TestColumns
from jointmap.register.joining import alike, row_of
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_arrays

_SPOT = ("scope", "joint_id", "boundary_id", "path_id", "stud", "method")


def figures_read(state: Snapshot, tests: TestColumns) -> FigureColumns:
    """Return the figures of the tests that were measured and have any, by id."""
    names = [*FIGURES, "interrupted_side"]
    found = read_arrays(state.stored, IsolationTest, names)
    row = row_of(tests.test_id, found["id"])
    some = np.any([~np.isnan(found[n]) for n in FIGURES], axis=0) & (row >= 0)
    some[some] = tests.outcome[row[some]] == Outcome.MEASURED
    own = tests.take(row[some])
    return FigureColumns(
        test_id=own.test_id,
        spot=alike(*(getattr(own, name) for name in _SPOT)),
        side=own.side,
        interrupted_side=found["interrupted_side"][some],
        tested_on=own.tested_on,
        reading_bound=own.reading_bound,
        **{n: found[n][some] for n in FIGURES},
    )
