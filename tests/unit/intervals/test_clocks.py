"""Clocks after a bad result: which run, until when, by which rule."""

from dataclasses import replace

import numpy as np
import pytest

from jointmap.intervals import (
    CLOCK_SHAPES,
    NEXT_REQUIRED_TEST,
    PERMIT_RECEIVED,
    SubjectColumns,
    clocks,
    refuses_credit,
    trigger_code,
)
from jointmap.register.codes import Basis, Purpose, StructureKind, Subject
from jointmap.register.columns import RuleColumns
from jointmap.register.rule_codes import SIDE_LOST, RuleShape
from tests.judging_samples import table

DAY = np.datetime64("2026-04-14", "D")


def subjects_of(count=2, **given):
    return table(
        SubjectColumns,
        count,
        {
            "subject": Subject.BOUNDARY.code,
            "subject_id": np.arange(1, count + 1),
            "is_active": True,
            **given,
        },
    )


def rules_of(*rows):
    """Take rows of (shape, months, days) and further columns."""
    return table(
        RuleColumns,
        len(rows),
        {
            "rule_id": np.arange(1, len(rows) + 1),
            "shape": [(r[0]).code for r in rows],
            "basis": Basis.OWNER.code,
            "subject": Subject.BOUNDARY.code,
            "months": [r[1] for r in rows],
            "days": [r[2] for r in rows],
            "purpose": [r[3] if len(r) > 3 else -1 for r in rows],
            "trigger": [trigger_code(r[4]) if len(r) > 4 else -1 for r in rows],
        },
    )


def started(*days):
    one = np.array(days, "datetime64[D]")
    return dict.fromkeys(CLOCK_SHAPES, one)


@pytest.mark.parametrize(
    ("rule", "until"),
    [
        ((RuleShape.DECIDE_BY, 0, 14), "2026-04-28"),
        ((RuleShape.PLAN_BY, 6, 0), "2026-10-14"),
        ((RuleShape.FIX_BY, 15, 0), "2027-07-14"),
    ],
)
def test_a_clock_counts_from_the_result(rule, until):
    found = clocks(subjects_of(), rules_of(rule), started(DAY, "NaT"), {}, {})
    assert found.row.tolist() == [0]
    assert found.until_on[0] == np.datetime64(until)
    assert (found.from_on[0], found.rule_id[0]) == (DAY, 1)


def test_months_are_clipped_to_the_months_end():
    rules = rules_of((RuleShape.PLAN_BY, 6, 0))
    found = clocks(subjects_of(1), rules, started("2025-08-31"), {}, {})
    assert found.until_on[0] == np.datetime64("2026-02-28")


def test_of_two_rules_the_earlier_day_governs_whatever_their_order():
    rows = [(RuleShape.FIX_BY, 15, 0), (RuleShape.FIX_BY, 12, 0)]
    for given in (rows, rows[::-1]):
        found = clocks(subjects_of(1), rules_of(*given), started(DAY), {}, {})
        assert found.until_on.tolist() == [np.datetime64("2027-04-14").item()]


def test_of_equal_days_the_law_is_named():
    rules = rules_of((RuleShape.FIX_BY, 12, 0), (RuleShape.FIX_BY, 12, 0))
    rules = replace(rules, basis=np.array([Basis.OWNER.code, Basis.LAW.code]))
    assert clocks(subjects_of(1), rules, started(DAY), {}, {}).rule_id.tolist() == [2]


def test_each_shape_has_its_own_clock_and_its_own_start():
    rules = rules_of((RuleShape.DECIDE_BY, 0, 14), (RuleShape.FIX_BY, 12, 0))
    days = started(DAY)
    days[RuleShape.FIX_BY] = np.array(["2026-05-01"], "datetime64[D]")
    found = clocks(subjects_of(1), rules, days, {}, {})
    assert found.until_on.astype(str).tolist() == ["2026-04-28", "2027-05-01"]


def test_a_fact_that_stands_starts_its_own_clock_without_a_result():
    rules = rules_of((RuleShape.DECIDE_BY, 0, 90, -1, SIDE_LOST))
    lost = {SIDE_LOST: np.array(["2025-08-31", "NaT"], "datetime64[D]")}
    found = clocks(subjects_of(), rules, started("NaT", DAY), {}, lost)
    assert found.row.tolist() == [0]
    assert found.from_on.astype(str).tolist() == ["2025-08-31"]
    assert found.until_on.astype(str).tolist() == ["2025-11-29"]


# 49 CFR 192.465(d), recalled: before the next required test, within 15 months, within
# 6 months after the permits; the earliest governs.
LAW = [
    (RuleShape.FIX_BY, 15, 0),
    (RuleShape.FIX_BY, 0, 0, -1, NEXT_REQUIRED_TEST),
    (RuleShape.FIX_BY, 6, 0, -1, PERMIT_RECEIVED),
]


@pytest.mark.parametrize(
    ("next_test", "permit", "until", "rule"),
    [
        ("NaT", "NaT", "2027-07-14", 1),
        ("2027-07-13", "NaT", "2027-07-13", 2),
        ("2027-07-13", "2026-05-31", "2026-11-30", 3),
        ("2026-10-01", "2026-05-31", "2026-10-01", 2),
        ("NaT", "2027-06-01", "2027-07-14", 1),
    ],
)
def test_of_the_three_days_to_put_right_the_earliest_governs(
    next_test, permit, until, rule
):
    counted = {
        NEXT_REQUIRED_TEST: np.array([next_test], "datetime64[D]"),
        PERMIT_RECEIVED: np.array([permit], "datetime64[D]"),
    }
    found = clocks(subjects_of(1), rules_of(*LAW), started(DAY), counted, {})
    assert found.until_on.tolist() == [np.datetime64(until).item()]
    assert (found.from_on[0], found.rule_id[0]) == (DAY, rule)
    # Nothing bad: no permit and no next test starts a clock.
    assert len(clocks(subjects_of(1), rules_of(*LAW), started("NaT"), counted, {})) == 0


def test_no_rule_no_clock():
    assert len(clocks(subjects_of(1), rules_of(), started(DAY), {}, {})) == 0


def test_who_takes_no_credit():
    ship = Purpose.SHIP_SHORE.code
    subjects = subjects_of(3, purpose=[ship, -1, ship],
                           structure_kind_a=StructureKind.JETTY.code)  # fmt: skip
    rules = rules_of((RuleShape.NO_CREDIT, 0, 0, ship))
    assert refuses_credit(subjects, rules).tolist() == [0, 2]
    assert refuses_credit(subjects, rules_of()).tolist() == []
