"""Columns read in parts are the records, however the ids are cut and filled."""

import datetime as dt

import numpy as np
import pytest

from jointmap.register import CurrentSource, IsolationTest, Site, Structure
from jointmap.register.codes import Indication, Outcome, Scope, Side, Stage
from jointmap.storage import Register, arrays
from jointmap.storage.arrays import Joined, read_arrays, read_parts
from jointmap.tables import METHOD_CODES
from tests.storage.samples import NOON, structure

FIELDS = [
    "scope", "tested_on", "method", "outcome", "side", "stud", "reading_ohm",
    "reading_bound", "indication", "a_on_volt", "cycles", "sources_cycling",
    "electrode", "hangs_free", "boundary_id", "interrupted_side",
]  # fmt: skip
LISTS = {"method": list(METHOD_CODES), "electrode": [""]}


def _test(n):
    """A test that fills other columns than its neighbours."""
    own = {
        "scope": Scope.STUD if n % 5 == 1 else Scope.BOUNDARY,
        "tested_on": dt.date(2020, 1, 1) + dt.timedelta(days=n * 37 % 900),
        "method": list(METHOD_CODES)[n % len(METHOD_CODES)],
        "stage": Stage.ROUTINE,
        "outcome": list(Outcome)[n % 3],
        "boundary_id": 1,
    }
    if n % 5 == 1:
        own |= {"joint_id": 1, "boundary_id": None, "stud": n, "side": Side.B}
    if n % 7 == 2:
        own |= {"reading_ohm": n + 0.5, "reading_bound": 1, "electrode": "copper"}
    if n % 11 == 3:
        own |= {"a_on_volt": -0.5, "cycles": 4, "sources_cycling": f"R{n % 2}"}
    if n % 2:
        own |= {"indication": Indication.NO_SHORT, "hangs_free": True}
    return IsolationTest(**own)


@pytest.fixture
def register(tmp_path):
    """Sixty tests, every tenth of them corrected later."""
    made = Register.create(f"sqlite:///{tmp_path}/r.sqlite", "X", b"k" * 32)
    with made.write(NOON, "P1", "first") as job:
        ids = [job.add_unchecked(_test(n)) for n in range(60)]
    with made.write(NOON, "P1", "later") as job:
        for n in ids[::10]:
            job.revise(n, _test(n + 60))
    yield made
    made.close()
