"""A near shift that is too small where the boundary passed: a cause is asked for."""

import datetime as dt

import numpy as np
import pytest

from jointmap.register.rule_codes import RuleShape
from tests.opened_site import opened, shown

ADOPTED = "catalogue,name,from_on\nrules,owner-decide-boundary,2020-01-01\n"
SOURCES = "name,structure,kind,can_be_interrupted,usual_current\n"
SHIFTS = "scope,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
SHIFTS += "interrupted_side,sources_cycling,sources_steady,cycles\n"
GOOD = "boundary,B-1,2025-06-01,potential-shift,routine,measured,-1.20 V,-0.90 V,"
GOOD += "-0.55 V,-0.55 V,A,R1,,5\n"
SMALL = "boundary,B-1,2025-12-01,potential-shift,routine,measured,-0.93 V,-0.90 V,"
SMALL += "-0.55 V,-0.55 V,A,R1,,5\n"
OUTPUT = "scope,source,tested_on,method,stage,outcome,test_current\n"
ON = dt.date(2025, 12, 10)


def read(current, day="2025-12-01", source="R1"):
    return f"source,{source},{day},source-output,routine,measured,{current}\n"


def asked_since(folder, outputs="", sources="R1,S1,rectifier,yes,10 A\n", tests=None):
    """Since when a cause is to be found for the boundary, None where none is."""
    tests = GOOD + SMALL if tests is None else tests
    sheets = {"sources.csv": SOURCES + sources, "tests.csv": SHIFTS + tests}
    if outputs:
        sheets["tests_of_sources.csv"] = OUTPUT + outputs
    site = opened(folder, {"adopted.csv": ADOPTED, **sheets})
    with shown(site, ON) as showing:
        # All that was sent is there, beside the one test of the small site.
        sent = (tests + outputs).count("\n") + 1
        assert len(showing.assessed.tests) == sent
        found = showing.running.clocks
        decide = found.shape == RuleShape.DECIDE_BY
        days = found.from_on[decide & (found.row == 0)]
    site.register.close()
    assert len(days) <= 1
    return days[0].item() if len(days) and not np.isnat(days[0]) else None


SMALL_ON = dt.date(2025, 12, 1)


@pytest.mark.parametrize(
    ("outputs", "since"),
    [
        # Nobody read the source: as far as is known it gave its usual current.
        ("", SMALL_ON),
        # It gave its usual current: the current may be draining somewhere.
        (read("10 A"), SMALL_ON),
        (read("8 A"), SMALL_ON),
        # It gave little: that explains the small shift.
        (read("7.9 A"), None),
        (read("3 A", "2025-09-30"), None),
        # Read too long before, or afterwards: that says nothing of the day.
        (read("3 A", "2025-09-29"), SMALL_ON),
        (read("3 A", "2025-12-02"), SMALL_ON),
        # The last reading counts.
        (read("3 A", "2025-11-01") + read("9 A", "2025-11-20"), SMALL_ON),
        (read("9 A", "2025-11-01") + read("3 A", "2025-11-20"), None),
    ],
)
def test_what_the_source_gave_tells_whether_a_cause_is_asked_for(
    tmp_path, outputs, since
):
    assert asked_since(tmp_path, outputs) == since


def test_another_source_than_the_one_that_cycled_says_nothing(tmp_path):
    sources = "R1,S1,rectifier,yes,\nR2,Plant,rectifier,yes,10 A\n"
    tests = (GOOD + SMALL).replace("A,R1,,5", "A,R1,R2,5")
    found = asked_since(tmp_path, read("3 A", source="R2"), sources, tests)
    assert found == SMALL_ON


EARLY = SMALL.replace("2025-12-01", "2025-04-01")


@pytest.mark.parametrize("tests", [SMALL, EARLY + GOOD], ids=["never", "later"])
def test_no_cause_is_asked_for_where_the_boundary_had_not_passed_before(
    tmp_path, tests
):
    assert asked_since(tmp_path, tests=tests) is None
