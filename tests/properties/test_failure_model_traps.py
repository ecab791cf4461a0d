"""What looks as if it must hold of the failure model and does not, shown to happen.

Nothing asserts the opposite; docs/explanation/failure_model.md says why.
"""

import numpy as np

from jointmap.hazard.ages import Change
from jointmap.hazard.ratchet import ratchet_dates
from jointmap.hazard.trend import Readings, lines_through, remaining_years
from tests.random_lives import (
    GOOD,
    ISOLATING,
    ON,
    SHIPPED,
    SHORTED,
    due,
    life,
    model,
    one_more,
    record,
)

AGEING = model(0.05, 3.0, 20.0, 20.0, (0.05, 0.99), SHIPPED)
PASSED = (700, GOOD, ISOLATING, Change.NONE)


def length(made, own):
    return (due(made, own) - own.happened_on.max()).astype(int)


def test_a_short_then_a_repair_lengthens_an_ageing_joint():
    """First trap: it is young again. The ratchet holds it until proved good."""
    passed = record([*[PASSED] * 8, PASSED])
    failed = record([*[PASSED] * 8, (700, GOOD, SHORTED, Change.DEVICE)])
    assert due(AGEING, failed) > due(AGEING, passed)
    assert ratchet_dates(AGEING, life(), failed, ON)[0][0] < due(AGEING, failed)


def test_a_pass_may_shorten_the_length_but_not_the_date():
    """Second trap: the joint is older, so the next interval is shorter."""
    few = record([PASSED] * 6)
    more = one_more(few, 700, GOOD, ISOLATING)
    assert length(AGEING, more) < length(AGEING, few)
    assert due(AGEING, more) >= due(AGEING, few)


def test_without_ageing_a_pass_that_may_miss_can_shorten_the_length():
    """Found here: after a long gap more may have been missed than after a short one."""
    steady = model(0.05, 1.0, 20.0, 20.0, (0.05, 0.99), SHIPPED)
    soon = record([(30, GOOD, ISOLATING, Change.NONE)])
    late = one_more(soon, 1200, GOOD, ISOLATING)
    assert length(steady, late) < length(steady, soon)
    assert due(steady, late) >= due(steady, soon)


def test_with_its_own_scatter_a_worse_last_reading_would_lengthen():
    """Why the scatter is the method's: the worse reading puts the joint on a line."""
    falling = [7.6, 6.9, 6.2, 5.5, 4.4]
    left = {"own": [], "method's": []}
    for last in (5.5, 4.3):
        values = np.array([*falling, last])
        series = Readings(
            np.zeros(6, int), np.arange(6) * 1.0, values, np.zeros(6, np.int16)
        )
        lines = lines_through(series, 1)
        own = np.sqrt(lines.squared_misses / (lines.count - 2))
        for name, spread in (("own", own), ("method's", np.array([0.3]))):
            years = remaining_years(lines, np.array([3.0]), spread)
            left[name].append(years[0])
    assert left["own"][1] > left["own"][0]
    assert left["method's"][1] < left["method's"][0]
