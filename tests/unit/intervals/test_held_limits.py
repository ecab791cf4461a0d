"""Every limit as it stood then: kept, broken, ended, off duty."""

import datetime as dt

import numpy as np
import pytest

from jointmap.intervals import (
    FROM_RULE,
    REASONS,
    Away,
    HeldLimits,
    OffDuty,
    counting_tests,
    held_limits,
    no_limits,
    stack,
)
from jointmap.register.codes import Basis
from jointmap.register.rule_codes import RuleShape
from tests.due_samples import GOOD, days, history, own_rules, subject

ON = np.datetime64("2026-05-15")
YEARLY = {"months": 12}


NEVER = ("NaT", "NaT", "NaT")


def held(tests, *rules, starts_on="NaT", off=NEVER, away=()) -> HeldLimits:
    one = subject(starts_on=starts_on)
    counting = counting_tests(one, history(*((1, d, GOOD) for d in tests)), ON)
    every = own_rules(*rules, on=dt.date(9999, 1, 1), ended=True)
    duty = OffDuty(*(days(day) for day in off))
    first, back = (days(*(spell[n] for spell in away)) for n in (0, 1))
    out = Away(np.zeros(len(away), np.int64), first, back)
    return stack([no_limits(), *held_limits(one, counting, every, ON, duty, out)])


def told(found: HeldLimits) -> list[tuple[int, str, int]]:
    """The rule, the last allowed day, the days over of each."""
    limit = found.limit_on.astype(str).tolist()
    return list(
        zip(found.rule_id.tolist(), limit, found.days_over.tolist(), strict=True)
    )


@pytest.mark.parametrize(
    ("tests", "wanted"),
    [
        (["2024-01-10", "2025-01-10"], [(1, "2025-01-10", 0), (1, "2026-01-10", 125)]),
        (["2024-01-10", "2025-01-11"], [(1, "2025-01-10", 1), (1, "2026-01-11", 124)]),
        (["2026-01-10"], [(1, "2027-01-10", -240)]),
        ([], []),
    ],
)
def test_each_time_between_tests_is_held_against_the_limit(tests, wanted):
    assert told(held(tests, YEARLY)) == wanted


def test_each_edition_is_held_against_the_tests_of_its_own_days():
    old = {**YEARLY, "months": 24, "until_on": dt.date(2022, 12, 31)}
    new = {**YEARLY, "from_on": dt.date(2023, 1, 1)}
    found = held(["2020-03-01", "2022-02-01", "2023-10-01", "2024-09-01"], old, new)
    assert told(found) == [
        (1, "2022-03-01", -28),
        (2, "2023-02-01", 242),
        (2, "2024-10-01", -30),
        (2, "2025-09-01", 256),
    ]


def test_a_rule_that_ended_while_its_limit_was_broken_keeps_that():
    ended = {**YEARLY, "until_on": dt.date(2023, 6, 30)}
    found = held(["2022-01-10", "2024-01-10"], ended)
    assert told(found) == [(1, "2023-01-10", 171)]
    assert found.until_on.astype(str).tolist() == ["2023-06-30"]


@pytest.mark.parametrize(
    ("basis", "limit", "over"),
    [(Basis.OWNER, "2022-04-01", 60), (Basis.LAW, "2016-05-20", 2202)],
)
def test_an_owners_limit_never_lies_before_its_adoption(basis, limit, over):
    rule = {**YEARLY, "basis": basis, "from_on": dt.date(2022, 4, 1)}
    found = held(["2015-05-20", "2022-05-31"], rule)
    assert told(found)[0] == (1, limit, over)
    moved = REASONS[found.reason[0]] == FROM_RULE
    assert moved is (basis is Basis.OWNER)


@pytest.mark.parametrize(
    ("off", "wanted"),
    [
        # Retired before the limit, after it, and before the test that began it.
        (("2024-06-30", "NaT", "NaT"), [(1, "2025-01-10", -194)]),
        (("2025-02-10", "NaT", "NaT"), [(1, "2025-01-10", 31)]),
        (("2024-01-09", "NaT", "NaT"), []),
        # Joined by permission: all days late, some, none, and to this day.
        (("NaT", "2024-12-01", "2026-12-31"), [(1, "2025-01-10", 0)]),
        (("NaT", "2025-01-12", "2025-02-10"), [(1, "2025-01-10", 460)]),
        (("NaT", "2023-01-01", "2023-12-31"), [(1, "2025-01-10", 490)]),
        (("NaT", "2026-05-15", "NaT"), [(1, "2025-01-10", 489)]),
    ],
)
def test_days_off_duty_are_not_counted_as_late(off, wanted):
    assert told(held(["2024-01-10"], YEARLY, off=off)) == wanted


@pytest.mark.parametrize(
    ("away", "over"),
    [
        ([("2025-01-11", "2025-01-21")], 480),
        ([("2024-12-01", "2025-01-11")], 490),  # over before the limit ran out
        ([("2024-12-01", "2025-01-12"), ("2026-05-15", "2026-06-01")], 488),
        ([("2023-01-01", "2026-07-01")], 0),
    ],
)
def test_time_out_of_duty_is_not_counted_after_a_return(away, over):
    assert told(held(["2024-01-10"], YEARLY, away=away)) == [(1, "2025-01-10", over)]


def test_no_day_is_taken_off_twice():
    joined = ("NaT", "2025-01-15", "2025-01-24")
    away = [("2025-01-11", "2025-01-21")]
    found = held(["2024-01-10"], YEARLY, off=joined, away=away)
    assert told(found) == [(1, "2025-01-10", 490 - 14)]


def test_kept_broken_and_met_are_told_apart():
    found = held(["2023-01-10", "2024-01-10", "2025-02-10"], YEARLY)
    assert found.is_met.tolist() == [True, False, False]
    assert found.is_broken.tolist() == [False, True, True]


def test_tenths_end_the_yearly_rule_for_what_they_sample():
    law = {"basis": Basis.LAW, "source": "law", "protected_only": True}
    year = {**law, "shape": RuleShape.CALENDAR_YEARS, "years": 1, "months": 15}
    tenth = {**law, "shape": RuleShape.TENTH_A_YEAR, "years": 10}
    tenth |= {"name": "tenth", "from_on": dt.date(2024, 1, 1)}
    one = subject(section=7)
    tested = history((1, "2020-05-01", GOOD), (1, "2022-05-01", GOOD))
    every = own_rules(year, tenth, on=dt.date(2026, 1, 1), ended=True)
    found = stack([*held_limits(one, counting_tests(one, tested, ON), every, ON)])
    assert told(found) == [(1, "2021-08-01", 273), (1, "2023-08-01", 152)]


LAW = {**YEARLY, "basis": Basis.LAW, "binds_from_on": dt.date(2019, 7, 1)}
FIRST = {**LAW, "from_on": dt.date(2022, 1, 1), "until_on": dt.date(2023, 12, 31)}
SECOND = {**LAW, "from_on": dt.date(2024, 1, 1)}


def test_a_law_is_held_against_what_came_before_it_was_adopted():
    found = held(["2018-03-01", "2020-03-01", "2021-06-01"], FIRST, SECOND)
    # Of two records of one law the first reaches back, and none before the law's day.
    assert told(found) == [
        (1, "2019-07-01", 244),
        (1, "2021-03-01", 92),
        (1, "2022-06-01", 578),
        (2, "2022-06-01", 1444),
    ]


@pytest.mark.parametrize(
    ("starts_on", "wanted"),
    [
        ("2015-01-01", [(1, "2020-07-01", 154)]),
        ("2019-09-01", [(1, "2020-09-01", 92)]),
    ],
)
def test_what_started_before_a_law_has_its_whole_time(starts_on, wanted):
    found = held(["2020-12-02"], SECOND, starts_on=starts_on)
    assert told(found)[:1] == wanted


def test_what_was_over_before_a_law_was_made_is_not_held_against_it():
    found = held(["2019-06-30", "2020-06-30"], SECOND, starts_on="2015-01-01")
    assert told(found)[:1] == [(1, "2020-06-30", 0)]
