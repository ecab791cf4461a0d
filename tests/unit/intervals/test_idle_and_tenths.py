"""A limit that runs out while idle, and a tenth of the sections each year."""

import csv
import datetime as dt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.due_list import because, build, steps
from jointmap.intervals import counting_tests, held_limits, missed_years, stack
from jointmap.intervals.tenth import Sections, sections_tested
from jointmap.register.codes import DueState, Purpose
from jointmap.register.rule_codes import BACK_IN_USE, OUT_OF_USE, RuleShape
from jointmap.wording import say
from tests.due_samples import GOOD, ON, history, own_rules, rules, subject, triggers

FILE = Path(__file__).parents[2] / "published_values" / "before_next_use.csv"
ROWS = list(csv.DictReader(FILE.read_text(encoding="utf-8").splitlines()))
BOOK = rules("owner-before-use-ship-shore-joint")


def listed(subjects, tests, book, marks=(), on=ON):
    return build(subjects, tests, triggers(*marks), book, on, 30, 10)


@pytest.mark.parametrize("row", ROWS, ids=lambda r: r["source"] + r["out_of_use"])
def test_before_the_next_use(row):
    marks = [(1, OUT_OF_USE, d) for d in row["out_of_use"].split(";") if d]
    marks += [(1, BACK_IN_USE, d) for d in row["back_in_use"].split(";") if d]
    book = own_rules({"shape": RuleShape.BEFORE_NEXT_USE, "months": int(row["months"])})
    items, found = listed(
        subject(), history((1, row["last"], GOOD)), book, marks,
        dt.date.fromisoformat(row["on"]),
    )  # fmt: skip
    assert str(items.last_allowed_on[0]) == (row["due"] or "NaT")
    id_, values = because(0, found, items, {1: "the rule"})
    assert id_ == row["reason"]
    assert (row["due"] or "Test before the next use (the rule).") in say(id_, values)
    assert np.isnat(items.planning_on[0]) == (row["due"] == "")
    state = DueState.at(int(items.state[0]))
    assert (state is DueState.BEFORE_NEXT_USE) == (row["due"] == "")
    assert state is not DueState.NO_BASIS


def test_while_idle_another_rule_still_gives_a_date_and_every_step_is_told():
    marks = [(1, OUT_OF_USE, "2025-12-01")]
    jetty = subject(purpose=Purpose.SHIP_SHORE)
    both = rules("owner-before-use-ship-shore-joint", "cfr-192.465a-joint")
    items, found = listed(jetty, history((1, "2025-01-10", GOOD)), both, marks)
    assert str(items.last_allowed_on[0]) == "2026-04-10"
    told = [id_ for id_, _ in steps(0, jetty, found, items)]
    assert "due.before_use_idle" in told
    alone, found = listed(jetty, history((1, "2025-01-10", GOOD)), BOOK, marks)
    told = [id_ for id_, _ in steps(0, jetty, found, alone)]
    assert told == ["due.step_last_test", "due.before_use_idle", "due.step_state"]
    items, found = listed(
        subject(purpose=Purpose.SHIP_SHORE, starts_on="2024-12-01"), history(), BOOK,
        marks,
    )  # fmt: skip
    assert because(0, found, items)[0] == "due.before_use_idle_from_start"


TENTH = rules("cfr-192.465a-tenth-joint", "cfr-192.465a-joint")


def sections(count, *, joints_each=1, areas=1, **more):
    """Joint ids rise section by section; the sections stand in turn in each area."""
    return stack(
        [
            subject(n * joints_each + j + 1, section=n + 1, area=n % areas, **more)
            for n in range(count)
            for j in range(joints_each)
        ]
    )


def due_years(subjects, tests, on=ON, book=TENTH):
    items, _ = listed(subjects, tests, book, on=on)
    days = items.last_allowed_on
    assert all(str(d)[4:] == "-12-31" for d in days)
    return [int(str(d)[:4]) for d in days]


@pytest.mark.parametrize("count", [1, 9, 10, 11, 40, 41, 57])
def test_each_year_has_a_tenth_and_all_have_a_turn_in_ten_years(count):
    """Tested on its turn each time: a tenth or more a year, none waits over ten."""
    own = sections(count, starts_on="2015-06-01")
    last = dict.fromkeys(range(1, count + 1), 2015)
    for year in range(2016, 2047):
        on = dt.date(year, 3, 1)
        tests = history(*((n, f"{y}-06-01", GOOD) for n, y in last.items()))
        turn = due_years(own, tests, on)
        now = [n for n, y in enumerate(turn, start=1) if y == year]
        assert len(now) >= count / 10
        assert all(y >= year for y in turn)
        last |= dict.fromkeys(now, year)
        assert all(year - y < 10 for y in last.values())


@given(
    st.integers(1, 60),
    st.lists(st.tuples(st.integers(0, 8), st.integers(0, 4)), min_size=12, max_size=30),
)
def test_as_the_class_grows_none_has_a_second_turn_before_all_had_one(count, moves):
    """Each year some come and, in the second half of the time, some go."""
    last = dict.fromkeys(range(1, count + 1), 2015)
    for n, (come, go) in enumerate(moves):
        year, is_growing = 2016 + n, n < len(moves) // 2
        last |= dict.fromkeys(range(max(last) + 1, max(last) + 1 + come), year - 1)
        for gone in [] if is_growing else [*last][:go][: len(last) - 1]:
            del last[gone]
        own = stack([subject(j, section=j, starts_on="2015-06-01") for j in last])
        tests = history(*((j, f"{y}-06-01", GOOD) for j, y in last.items()))
        turn = dict(zip(last, due_years(own, tests, dt.date(year, 3, 1)), strict=True))
        now = [j for j, y in turn.items() if y == year]
        assert len(now) >= len(last) / 10
        assert not is_growing or len(now) <= len(last) / 10 + max(1, len(last) / 100)
        others = [y for j, y in last.items() if j not in now]
        assert max(last[j] for j in now) <= min(others, default=year)
        last |= dict.fromkeys(now, year)
        assert all(year - y < 10 for y in last.values())


def test_what_was_tested_this_year_counts_towards_its_tenth():
    own = sections(20, starts_on="2025-02-01")
    late = history((1, "2026-02-01", GOOD), (2, "2026-03-01", GOOD))
    assert due_years(own, late).count(2026) == 0
    assert due_years(own, history((1, "2026-02-01", GOOD))).count(2026) == 1


def test_many_who_must_not_wait_longer_share_the_years_that_are_left():
    own = sections(40, starts_on="2016-06-01")
    recent = history(*((n, "2025-06-01", GOOD) for n in range(1, 11)))
    turn = due_years(own, recent, dt.date(2025, 7, 1))
    assert [turn.count(y) for y in (2025, 2026)] == [10, 20]


def test_each_year_s_tenth_is_spread_over_the_areas():
    turn = np.array(due_years(sections(60, areas=3, starts_on="2025-02-01"), history()))
    area = np.arange(60) % 3
    for year in range(2026, 2036):
        counts = np.bincount(area[turn == year], minlength=3)
        assert counts.max() - counts.min() <= 1


def test_a_section_is_one_whatever_joints_it_has():
    own = sections(20, joints_each=3, starts_on="2020-02-01")
    turn = due_years(own, history((1, "2026-02-01", GOOD)))
    assert all(len(set(turn[n : n + 3])) == 1 for n in range(0, 60, 3))
    assert turn[0] > 2026


def test_a_missed_turn_leaves_the_ten_years_as_they_are():
    own = sections(40, starts_on="2014-06-01")
    assert set(due_years(own, history())) == {2024}
    items, found = listed(own, history(), TENTH)
    id_, values = because(0, found, items)
    assert id_ == "due.tenth_last_from_start"
    assert "must not wait longer than 10 years" in say(id_, values)


def test_what_is_sampled_is_not_under_the_yearly_survey_as_well():
    sampled, plain = sections(1, starts_on="2025-06-01"), subject(9)
    both = stack([sampled, plain])
    tests = history((1, "2025-06-01", GOOD), (9, "2025-06-01", GOOD))
    items, _ = listed(both, tests, TENTH)
    assert str(items.last_allowed_on[1]) == "2026-09-01"
    assert str(items.last_allowed_on[0]) == "2026-12-31"
    alone, _ = listed(both, tests, rules("cfr-192.465a-joint"))
    assert set(alone.last_allowed_on.astype(str)) == {"2026-09-01"}
    day = np.datetime64(ON)
    old = history((1, "2020-06-01", GOOD), (9, "2020-06-01", GOOD))
    held = held_limits(both, counting_tests(both, old, day), TENTH, day)
    missed = missed_years(held, range(2018, 2026), 10)
    assert set(missed.row.tolist()) == {1}


def test_without_sections_or_days_a_tenth_gives_nothing():
    for own in (subject(), sections(3, is_protected=False), sections(3)):
        items, _ = listed(own, history(), rules("cfr-192.465a-tenth-joint"))
        assert np.isnat(items.last_allowed_on).all()


@given(st.lists(st.tuples(st.integers(1, 12), st.integers(2015, 2025)), max_size=30))
def test_a_year_counts_each_section_once(pairs):
    own = sections(6, joints_each=2)
    tests = history(*((n, f"{y}-06-01", GOOD) for n, y in pairs))
    counting = counting_tests(own, tests, np.datetime64(ON))
    found = Sections.under(own, TENTH, 0)
    counts = sections_tested(found, counting, len(own), range(2015, 2026))
    wanted = [
        len({(n - 1) // 2 for n, y in pairs if y == x}) for x in range(2015, 2026)
    ]
    assert counts.tolist() == wanted
