"""The test that the verdict on a boundary rests on, or what it rests on instead."""

from collections.abc import Iterator

import numpy as np

from jointmap.assessment.boundary_facts import causes_of
from jointmap.pages.boundary_sentences import boundary_row
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.register.codes import Verdict
from jointmap.register.time_order import time_key
from jointmap.reports.views import ToldTest
from jointmap.sections import BOUNDARY_REASONS, boundary_of, tells_boundary
from jointmap.wording import say

_PART_NOT_TESTED = BOUNDARY_REASONS.index("boundary_state.part_not_tested")


def rests_on(showing: Showing, tests: ShownTests, id_: int) -> Iterator[ToldTest]:
    """Yield the test that the verdict on a boundary rests on, with its place."""
    found, row = showing.assessed, _basis(showing, id_)
    if row >= 0:
        joint = int(found.tests.joint_id[row])
        facts = {"joint": showing.joints[joint].tag if joint else ""}
        where = say("why.read_there" if joint else "why.no_place", facts)
        heading = say("why.rests_on", {"where": where})
        yield ToldTest(heading, tests.row(int(found.tests.test_id[row])))


def _basis(showing: Showing, id_: int) -> int:
    """Return the row of that test; where only a part was read, of the last one."""
    states, row = showing.assessed.boundaries, boundary_row(showing, id_)
    if states.reason[row] != _PART_NOT_TESTED:
        return int(states.test_row[row])
    found = showing.assessed
    tests, said = found.tests, found.judgements
    own = boundary_of(found.ground.joints, tests) == id_
    own &= tells_boundary(tests) & (said.shows <= Verdict.SHORTED.code)
    rows = np.flatnonzero(own)
    order = rows[np.argsort(time_key(tests, said, rows), kind="stable")]
    return int(order[-1]) if len(order) else -1


def no_test(showing: Showing, id_: int) -> str:
    """Return what a verdict rests on where that is no test; blank for a test."""
    if _basis(showing, id_) >= 0:
        return ""
    cause = causes_of(showing, id_)
    return say("why.by_record" if cause else "why.no_test", {"cause": cause})
