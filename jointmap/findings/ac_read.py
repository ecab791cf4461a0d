"""The last AC reading of each place, whatever else the visit could decide."""

import datetime as dt
from typing import NamedTuple

import numpy as np

from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.finding import About
from jointmap.register.codes import Scope, Subject
from jointmap.register.columns import Ids, TestColumns
from jointmap.register.joining import row_of
from jointmap.register.testing import PLACE_OF_SCOPE
from jointmap.snapshot.ac_readings import ac_readings


class ReadAc(NamedTuple):
    """The largest AC reading of a visit, in volt, and its day."""

    tested_on: dt.date
    volt: float


def last_ac(site: SiteOnDay) -> dict[About, ReadAc]:
    """Return the last AC reading of each place, by the tests up to the day."""
    tests = site.assessed.tests
    read = ac_readings(site.state)
    row = row_of(tests.test_id, read.test_id)
    row, volt = row[row >= 0], read.volt[row >= 0]
    order = np.lexsort((tests.test_id[row], tests.tested_on[row]))
    found: dict[About, ReadAc] = {}
    for test, value in zip(row[order].tolist(), volt[order].tolist(), strict=True):
        day = tests.tested_on[test].astype("datetime64[D]").item()
        found[place_of_row(tests, test)] = ReadAc(day, value)
    return found


def place_of_row(tests: TestColumns, row: int) -> About:
    """Return where a test was read: at its joint, else at what it was made on."""
    joint, scope = int(tests.joint_id[row]), Scope.at(int(tests.scope[row]))
    if joint:
        return About.joint(joint)
    ids: Ids = getattr(tests, PLACE_OF_SCOPE[scope])
    return About.of(Subject(scope).code, int(ids[row]))
