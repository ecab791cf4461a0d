"""The earliest governs; ties, planning day, state."""

import numpy as np
import pytest

from jointmap.intervals import (
    REASONS,
    candidates_at,
    counting_tests,
    decide,
    stack,
    standing_of,
)
from jointmap.register.codes import Basis, DueState
from tests.due_samples import GOOD, SHORTED, days, history, subject

ON = np.datetime64("2026-05-15")


def candidate(day, basis=Basis.LAW, reason="due.months", rule_id=1, from_on="NaT"):
    return candidates_at(
        np.array([0]),
        days(day),
        basis=basis.code,
        reason=REASONS.index(reason),
        rule_id=rule_id,
        from_on=days(from_on),
    )


def decided(one, tests, *found, margin=30, near=10):
    counting = counting_tests(one, tests, ON)
    standing = standing_of(one, counting)
    table = stack([candidate("2030-01-01").take(np.array([], int)), *found])
    return decide(one, standing, table, ON, margin, near)


TESTED = history((1, "2025-06-01", GOOD))


@pytest.mark.parametrize("turn", [1, -1])
def test_the_earliest_date_governs_and_not_the_fewest_months(turn):
    two = [candidate("2026-09-01"), candidate("2026-08-31", Basis.OWNER, rule_id=2)]
    item = decided(subject(), TESTED, *two[::turn])
    assert item.last_allowed_on == days("2026-08-31")
    assert (item.rule_id[0], item.basis[0]) == (2, Basis.OWNER.code)


@pytest.mark.parametrize("turn", [1, -1])
def test_of_equal_dates_the_first_basis_governs(turn):
    bases = list(Basis)[::turn]
    same = [candidate("2026-09-01", b, rule_id=b.code) for b in bases]
    item = decided(subject(), TESTED, *same)
    assert Basis.at(int(item.basis[0])) is Basis.LAW


def test_a_date_from_trend_or_risk_governs_without_change():
    risk = candidate("2026-08-01", Basis.RISK, rule_id=0, from_on="2025-06-01")
    item = decided(subject(), TESTED, candidate("2026-09-01"), risk)
    assert (item.governing[0], item.rule_id[0]) == (1, 0)
    assert Basis.at(int(item.basis[0])) is Basis.RISK


STATES = [
    # last allowed day, state on 2026-05-15 with 30 days of margin and 10 near
    ("2026-05-14", DueState.PAST_LIMIT),
    ("2026-05-15", DueState.NEAR_LIMIT),
    ("2026-05-25", DueState.NEAR_LIMIT),
    ("2026-05-26", DueState.DUE_THIS_MONTH),
    ("2026-06-30", DueState.DUE_THIS_MONTH),
    ("2026-07-01", DueState.IN_TIME),
]


@pytest.mark.parametrize(("day", "state"), STATES)
def test_states(day, state):
    item = decided(subject(), TESTED, candidate(day, from_on="2025-06-01"))
    assert DueState.at(int(item.state[0])) is state


@pytest.mark.parametrize(
    ("from_on", "planned"),
    [("2025-06-01", "2026-08-02"), ("2026-08-20", "2026-08-20"), ("NaT", "2026-08-02")],
)
def test_planned_a_margin_before_but_not_before_it_counts(from_on, planned):
    item = decided(subject(), TESTED, candidate("2026-09-01", from_on=from_on))
    assert item.planning_on == days(planned)


def test_no_candidate_is_no_basis_and_says_which():
    for one, tests, reason in (
        (subject(), TESTED, "due.no_rule"),
        (subject(starts_on="2020-01-01"), history(), "due.no_rule"),
        (subject(), history(), "due.no_date"),
    ):
        item = decided(one, tests)
        assert np.isnat(item.last_allowed_on)
        assert np.isnat(item.planning_on)
        assert REASONS[item.reason[0]] == reason
        assert DueState.at(int(item.state[0])) is DueState.NO_BASIS
        assert (item.governing[0], item.rule_id[0], item.basis[0]) == (-1, 0, -1)


def test_a_shorted_last_result_asks_for_action():
    bad = history((1, "2025-06-01", GOOD), (1, "2026-01-01", SHORTED))
    assert decided(subject(), bad).needs_action.all()
    assert not decided(subject(), TESTED).needs_action.any()
    assert not decided(subject(), history()).needs_action.any()


def test_what_is_not_in_duty_has_no_item():
    assert len(decided(subject(is_active=False), TESTED, candidate("2026-09-01"))) == 0
