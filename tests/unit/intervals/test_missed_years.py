"""Limits broken in the past, and those kept by a few days."""

import numpy as np
import pytest

from jointmap.intervals import (
    REASONS,
    counting_tests,
    held_limits,
    missed_years,
    stack,
)
from jointmap.register.rule_codes import RuleShape
from tests.due_samples import GOOD, history, own_rules, rules, subject

ON = np.datetime64("2026-05-15")
LAW = rules("cfr-192.465a-joint")


def missed(tests, years=range(2021, 2027), in_force=LAW, starts_on="NaT", near=10):
    one = subject(starts_on=starts_on)
    counting = counting_tests(one, tests, ON)
    found = missed_years(held_limits(one, counting, in_force, ON), years, near)
    return [
        (
            str(m.limit_on[0]),
            str(m.next_on[0]),
            REASONS[m.reason[0]],
            int(m.days_over[0]),
            (int(m.first_year[0]), int(m.last_year[0])),
            bool(m.gap_kept[0]),
        )
        for m in (found.take(np.array([i])) for i in range(len(found)))
    ]


def good(*tested):
    return history(*((1, d, GOOD) for d in tested))


RECENT = ("2026-03-01",)


def test_a_calendar_year_missed_although_the_months_were_kept():
    assert missed(good("2023-11-30", "2025-02-27", *RECENT)) == [
        ("2024-12-31", "2025-02-27", "due.year_end", 58, (2024, 2024), True)
    ]


def test_months_missed_although_each_calendar_year_has_a_test():
    assert missed(good("2024-02-10", "2025-06-01", *RECENT)) == [
        ("2025-05-10", "2025-06-01", "due.year_gap", 22, (0, 0), False)
    ]


def test_a_long_pause_names_every_year_without_a_test():
    assert missed(good("2021-05-20", "2024-03-01", "2025-03-01", *RECENT)) == [
        ("2022-08-20", "2024-03-01", "due.year_gap", 559, (2022, 2023), False)
    ]


@pytest.mark.parametrize(
    ("tested", "spare"),
    [("2025-05-10", 0), ("2025-04-30", 10), ("2025-04-29", None)],
)
def test_kept_within_ten_days_shows_with_the_days_to_spare(tested, spare):
    found = missed(good("2024-02-10", tested, *RECENT))
    assert [-m[3] for m in found] == ([] if spare is None else [spare])
    assert all(not m[5] for m in found)


def test_a_limit_still_broken_has_no_next_test():
    assert missed(good("2024-12-01")) == [
        ("2025-12-31", "NaT", "due.year_end", 135, (2025, 2025), False)
    ]


def test_a_limit_that_is_near_but_not_over_is_not_yet_kept():
    assert missed(good("2025-02-20")) == []


def test_untested_is_held_against_its_start():
    found = missed(good("2025-12-01"), starts_on="2024-01-15")
    assert [m[:2] for m in found] == [("2025-04-15", "2025-12-01")]
    assert [m[:2] for m in missed(good(), starts_on="2024-01-15")] == [
        ("2025-04-15", "NaT")
    ]


@pytest.mark.parametrize("starts_on", ["2025-12-01", "2026-01-01"])
def test_a_start_on_or_after_the_first_test_opens_nothing(starts_on):
    assert missed(good("2025-12-01"), starts_on=starts_on) == []


@pytest.mark.parametrize(
    ("years", "shown"),
    [
        (range(2020, 2022), False),
        (range(2022, 2023), True),
        (range(2023, 2024), True),
        (range(2024, 2025), True),
        (range(2025, 2026), False),
    ],
)
def test_a_broken_limit_shows_in_every_year_it_stayed_broken(years, shown):
    tests = good("2021-05-20", "2024-03-01", "2025-03-01", *RECENT)
    assert bool(missed(tests, years)) is shown


def test_two_tests_of_one_day_are_one():
    assert missed(good("2024-02-10", "2024-02-10", "2025-06-01", *RECENT)) == missed(
        good("2024-02-10", "2025-06-01", *RECENT)
    )


def test_plain_months_and_rows_of_several_subjects():
    plain = own_rules({"shape": RuleShape.PLAIN_MONTHS, "months": 12})
    both = stack([subject(1), subject(2)])
    tests = history(
        (2, "2024-01-10", GOOD),
        (1, "2024-01-10", GOOD),
        (2, "2025-01-15", GOOD),
        (1, "2025-01-10", GOOD),
        (1, "2025-12-01", GOOD),
        (2, "2025-12-01", GOOD),
    )
    counting = counting_tests(both, tests, ON)
    held = held_limits(both, counting, plain, ON)
    found = missed_years(held, range(2024, 2027), 0)
    assert sorted(zip(found.row, found.days_over, strict=True)) == [(0, 0), (1, 5)]
    assert found.rule_id.tolist() == [1, 1]


def test_no_rule_nothing_missed():
    assert missed(good("2010-01-01"), in_force=rules()) == []
