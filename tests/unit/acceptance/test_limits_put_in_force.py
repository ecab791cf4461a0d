"""Limits on their way into force, and which of several binds."""

import datetime as dt

import numpy as np
import pytest

from jointmap.acceptance import (
    REASONS,
    VERDICT_OF_REASON,
    in_si,
    judge,
    limit_columns,
    limit_in_force,
)
from jointmap.acceptance.reasons import REASON_OF_OUTCOME
from jointmap.errors import Refused
from jointmap.register import Limit
from jointmap.register.codes import LimitRole, Mark, Outcome, Purpose, Stage, Verdict
from jointmap.tables import LIMITS
from jointmap.wording import say
from jointmap.wording.families import SENTENCES
from tests.judging_samples import SINCE, limits_of, readings


def own(**changes):
    """A limit of the owner's own: 2 kohm for an arm hanging free."""
    usual = {
        "name": "ours",
        "from_on": SINCE,
        "method": "ohmmeter",
        "role": LimitRole.ISOLATING_AT_LEAST,
        "value": 2.0,
        "unit": "kohm",
        "source": "site procedure",
        "mark": Mark.OWNER_CHOICE,
    }
    return Limit(**{**usual, **changes})


def test_from_the_catalogue():
    limit = limit_in_force(
        "Difference 10 mV carrier and casing", SINCE, dt.date(2030, 1, 1)
    )
    assert (limit.value, limit.unit) == (0.010, "V")
    assert limit.until_on == dt.date(2030, 1, 1)
    assert limit.purpose is None
    with pytest.raises(KeyError):
        limit_in_force("no such limit", SINCE)


def test_values_become_si_once():
    limit = in_si(own())
    assert (limit.value, limit.unit) == (2000.0, "ohm")
    assert in_si(limit) == limit


@pytest.mark.parametrize(
    ("changes", "fault", "column"),
    [
        ({"method": "guess"}, "limit.method", "method"),
        ({"method": "spark"}, "limit.no_number", "method"),
        ({"method": ""}, "limit.no_number", "method"),
        ({"unit": "mV"}, "unit.wrong_kind", "unit"),
        ({"value": -1.0}, "limit.negative", "value"),
        ({"method": "joint-resistance", "unit": "Mohm"}, "limit.installed", "value"),
    ],
)
def test_refused(changes, fault, column):
    with pytest.raises(Refused) as caught:
        limit_columns([(1, own(**changes))])
    (problem,) = caught.value.problems
    assert (problem.id, problem.column) == (fault, column)
    assert "not given" not in say(problem.id, problem.values)


def arm(purpose, ohm, limits):
    tests = readings(
        method="ohmmeter", hangs_free=True, purpose=purpose, reading_ohm=ohm
    )
    found = judge(tests, limits)
    return list(Verdict)[found.verdict[0]], int(found.limit_id[0])


def test_a_limit_for_the_purpose_goes_before_one_for_any():
    both = limit_columns(
        [
            (1, own(value=2.0)),
            (2, own(value=1.0, purpose=Purpose.SHIP_SHORE)),
        ]
    )
    assert arm(Purpose.SHIP_SHORE, 1500.0, both) == (Verdict.ISOLATING, 2)
    assert arm(Purpose.PROTECTION, 1500.0, both) == (Verdict.DOUBTFUL, 1)


@pytest.mark.parametrize("order", [(1, 2), (2, 1)])
def test_of_two_the_stricter_binds(order):
    value = {1: 2.0, 2: 3.0}
    both = limit_columns([(n, own(name=str(n), value=value[n])) for n in order])
    assert arm(Purpose.PROTECTION, 2500.0, both) == (Verdict.DOUBTFUL, 2)


def test_the_stricter_of_over_and_at_least_binds():
    names = ("Difference 100 mV above grade", "Difference 250 mV usual")
    gap = readings(method="potential-difference", a_on_volt=-0.8, b_on_volt=-0.6)
    place = list(LIMITS).index("Difference 250 mV usual") + 1
    found = judge(gap, limits_of(*names))
    assert REASONS[found.reason[0]] == "verdict.difference_small"
    assert found.limit_id[0] == place


def test_every_reason_has_a_sentence_with_nothing_missing():
    for reason in VERDICT_OF_REASON:
        assert "not given" not in say(reason, {"compared": 1.0, "against": 1.0})
    assert set(REASON_OF_OUTCOME) == set(Outcome) - {Outcome.MEASURED}
    assert set(REASON_OF_OUTCOME.values()) <= set(REASONS)
    assert len(set(REASONS)) == len(REASONS)
    assert all(s.strip() for s in SENTENCES.values())


def test_without_limits_nothing_is_called_isolating_by_a_number():
    rows = ("insulation-resistance", "potential-difference", "potential-shift",
            "joint-resistance", "span-current", "ohmmeter")  # fmt: skip
    tests = readings(
        len(rows), method=list(rows), reading_ohm=1e7, a_on_volt=-1.2, a_off_volt=-0.9,
        b_on_volt=-0.6, b_off_volt=-0.6, interrupted_side=0, sources_named=True,
        hangs_free=True, test_current_ampere=10.0, span_current_ampere=0.0, geometry=0,
        stage=[Stage.BENCH, *[Stage.ROUTINE] * 5],
    )  # fmt: skip
    found = judge(tests, limits_of())
    assert [REASONS[r] for r in found.reason] == ["verdict.no_limit"] * len(rows)
    assert np.isnan(found.compared).all()
