"""An order of studs is given for as many as a flange can have, and no others."""

import pytest

from jointmap.assembly.order import LEAST_STUDS, MOST_STUDS, cross_order
from jointmap.errors import WrongUse


@pytest.mark.parametrize("count", [LEAST_STUDS, MOST_STUDS])
def test_each_stud_comes_once(count):
    assert sorted(cross_order(count).tolist()) == list(range(1, count + 1))


@pytest.mark.parametrize("count", [-1, LEAST_STUDS - 1, MOST_STUDS + 1, 10**12])
def test_other_counts_are_refused(count):
    with pytest.raises(WrongUse) as refused:
        cross_order(count)
    (problem,) = refused.value.problems
    assert problem.values["count"] == count
