"""The due list: one call, lines of test groups, and why."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from jointmap.due_list import because, build, due_until, grouped, in_due_order, steps
from jointmap.errors import Refused
from jointmap.intervals import citation, rule_in_force, stack
from jointmap.intervals.candidates import FROM_START, REASONS, candidates_at
from jointmap.register.codes import Basis, DueState, Subject
from jointmap.register.rule_codes import RuleShape
from jointmap.wording import say
from jointmap.wording.families import SENTENCES
from tests.due_samples import (
    GOOD,
    NORMAL,
    ON,
    SHORTED,
    SINCE,
    credit,
    history,
    own_rules,
    rules,
    subject,
    triggers,
)

SOURCES = {i: citation(rule_in_force(n, SINCE)) for i, n in enumerate(NORMAL, start=1)}


def listed(subjects, tests, raised=None, in_force=None, on=ON):
    in_force = rules(*NORMAL) if in_force is None else in_force
    return build(subjects, tests, raised or triggers(), in_force, on, 30, 10)


def told(subjects, tests, raised=None, in_force=None, row=0):
    items, found = listed(subjects, tests, raised, in_force)
    return [say(*s) for s in steps(row, subjects, found, items, SOURCES)]


def test_because_is_one_sentence_with_its_source():
    items, found = listed(
        subject(), history((1, "2024-02-10", GOOD)), in_force=rules(NORMAL[0])
    )
    assert say(*because(0, found, items, SOURCES)) == (
        "Due 2025-05-10: tested 2024-02-10; once each calendar year, not exceeding "
        "15 months; the months end first (49 CFR 192.465(a))."
    )


def test_because_without_sources_names_the_basis():
    items, found = listed(
        subject(), history((1, "2024-02-10", GOOD)), in_force=rules(NORMAL[0])
    )
    assert say(*because(0, found, items)).endswith("end first (law).")


def test_why_tells_every_step():
    assert told(
        subject(), history((1, "2026-01-10", GOOD), (1, "2026-03-10", SHORTED))
    ) == [
        "Last test that counts: 2026-03-10.",
        "Due 2026-06-10: tested 2026-03-10; the 12-month interval (owner's procedure, "
        "proposed) is shortened to 3 (x 0.25): last result shorted, since 2026-03-10 "
        "(owner's procedure, proposed).",
        "Due 2026-09-10: tested 2026-03-10; the 12-month interval (owner's procedure, "
        "proposed) is shortened to 6 (x 0.5): last result doubtful or shorted, since "
        "2026-03-10 (owner's procedure, proposed).",
        "Due 2027-03-10: tested 2026-03-10; 12-month limit (owner's procedure, "
        "proposed).",
        "Due 2027-06-10: tested 2026-03-10; once each calendar year, not exceeding 15 "
        "months; the months end first (49 CFR 192.465(a)).",
        "Due 2027-12-31: tested 2026-03-10; once each calendar year, not exceeding 15 "
        "months; the calendar year ends first (49 CFR 192.465(a)).",
        "The earliest governs: 2026-06-10, basis condition (owner's procedure, "
        "proposed).",
        "Plan for 2026-05-11, 30 days before the last allowed day.",
        "State: due this month.",
        "The last result, on 2026-03-10, is shorted: find the cause and repair. The "
        "date of the next test is no remedy.",
    ]


def test_why_of_what_was_never_tested():
    lines = told(subject(starts_on="2026-01-05"), history())
    assert lines[0] == "No test that counts; counted from the start on 2026-01-05."
    assert lines[1] == (
        "Due 2027-01-05: no test yet, counted from the start on 2026-01-05; 12-month "
        "limit (owner's procedure, proposed)."
    )
    assert lines[-1] == "State: in time."


def test_why_of_no_basis():
    assert told(subject(), history()) == [
        "No test that counts and no start day on record.",
        "No basis: no test and no start day on record, so no date at all to count "
        "from.",
        "State: no basis.",
    ]
    alone = told(subject(), history((1, "2026-01-10", GOOD)), in_force=rules())
    assert alone[1] == "No basis: no rule in force sets a date for this joint."


def test_why_of_a_storm_and_of_a_fact_of_unknown_day():
    tests = history((1, "2025-08-01", GOOD))
    raised = triggers((1, "storm", "2025-08-14"), (1, "wrong lubricant", "NaT"))
    lines = told(subject(), tests, raised)
    assert (
        "Due 2025-09-13: storm on 2025-08-14 and no deciding test after that day; "
        "30-day limit (owner's procedure, proposed)." in lines
    )
    assert any("wrong lubricant, since an unknown day" in line for line in lines)


def test_why_of_one_among_many_tells_only_its_own():
    both = stack([subject(1, is_active=False), subject(2), subject(3)])
    tests = history((2, "2026-01-10", GOOD), (3, "2025-12-10", GOOD))
    items, _ = listed(both, tests)
    assert items.subject_id.tolist() == [2, 3]
    assert "Last test that counts: 2025-12-10." in told(both, tests, row=1)
    assert not any("2026-01-10" in line for line in told(both, tests, row=1))


def test_every_reason_has_its_sentence_and_every_value_it_names():
    for reason in REASONS:
        assert reason in SENTENCES
    counted = {r for r in REASONS if r + FROM_START in SENTENCES}
    plain = {"due.occurrence", "due.no_rule", "due.no_date"}
    learned = {r for r in REASONS if r.startswith(("due.risk", "due.trend"))}
    assert set(REASONS) - counted == plain | learned


def test_learned_dates_join_and_speak_with_their_own_numbers():
    tests = history((1, "2026-01-10", GOOD))
    learned = candidates_at(
        np.array([0]),
        np.array(["2026-06-01"], "datetime64[D]"),
        basis=Basis.RISK.code,
        from_on=np.datetime64("2026-01-10"),
        reason=REASONS.index("due.risk_cap"),
        months=6,
    )
    many = (subject(), tests, triggers(), rules(*NORMAL), ON, 30, 10)
    items, found = build(*many, learned)
    assert str(items.last_allowed_on[0]) == "2026-06-01"
    assert REASONS[items.reason[0]] == "due.risk_cap"
    sources = {0: "failure model of 2026"}
    id_, values = because(0, found, items, sources, lambda _row: {"consequence": "B"})
    assert say(id_, values) == (
        "Due 2026-06-01: tested 2026-01-10; 6-month cap of consequence B (failure "
        "model of 2026)."
    )
    assert because(0, found, items, sources)[1]["source"] == "failure model of 2026"


REACHED = [
    ({"shape": RuleShape.CALENDAR_YEARS, "years": 3, "months": 39}, "2020-11-30"),
    ({"shape": RuleShape.CALENDAR_YEARS, "years": 3, "months": 39}, "2020-02-29"),
    ({"shape": RuleShape.CALENDAR_YEARS, "years": 1, "months": 15}, "2024-11-30"),
    ({"shape": RuleShape.SIX_A_YEAR, "months": 2, "days": 15}, "2026-01-10"),
    ({"shape": RuleShape.PLAIN_MONTHS, "months": 12}, "2026-01-10"),
]


@pytest.mark.parametrize(("rule", "day"), REACHED)
@pytest.mark.parametrize("untested", [False, True])
def test_no_sentence_lacks_a_value(rule, day, untested):
    tests = history() if untested else history((1, day, GOOD))
    one = subject(starts_on=day if untested else "NaT")
    for line in told(one, tests, in_force=own_rules(rule)):
        assert "not given" not in line


def test_what_is_raised_late_says_why_that_day():
    tests = history((1, "2025-07-01", GOOD))
    lines = told(subject(), tests, triggers((1, "wrong lubricant", "2026-05-10")))
    assert lines[1] == (
        "Due 2026-06-10: tested 2025-07-01; the 12-month interval (owner's procedure, "
        "proposed) is shortened to 3 (x 0.25): wrong lubricant, since 2026-05-10; that "
        "had run out, so the least interval from then applies (owner's procedure, "
        "proposed)."
    )


FIVE = stack([subject(i) for i in (1, 2, 3, 4, 5)])
FIVE_TESTED = history(
    (1, "2025-09-01", GOOD),
    (2, "2025-06-01", GOOD),
    (3, "2025-07-01", GOOD),
    (4, "2025-06-01", GOOD),
)


def test_due_order_is_by_day_then_id_and_no_basis_last():
    items, _ = listed(FIVE.take(np.array([4, 3, 2, 1, 0])), FIVE_TESTED)
    order = in_due_order(items)
    assert items.subject_id[order].tolist() == [2, 4, 3, 1, 5]


@pytest.mark.parametrize(
    ("day", "ids"),
    [
        (dt.date(2026, 5, 1), []),
        (dt.date(2026, 5, 2), [2, 4]),
        (dt.date(2026, 6, 1), [2, 4, 3]),
        (dt.date(2100, 1, 1), [2, 4, 3, 1]),
    ],
)
def test_due_until_goes_by_the_planning_day(day, ids):
    items, _ = listed(FIVE, FIVE_TESTED)
    assert items.subject_id[due_until(items, day)].tolist() == ids


def lines_of(items, group):
    lines, members = grouped(items, credit(group), 50.0)
    return lines, parted(lines, members)


def parted(lines, members):
    return [
        members[f : f + n].tolist()
        for f, n in zip(lines.member_from, lines.member_count, strict=True)
    ]


def test_a_test_group_is_one_line_with_all_it_credits():
    items, _ = listed(FIVE, FIVE_TESTED)
    lines, parts = lines_of(items, [7, 0, 7, 0, 7])
    assert parts == [[1], [3], [2, 0, 4]]
    assert lines.item.tolist() == [1, 3, 2]
    assert lines.subject_id.tolist() == [2, 4, 3]
    assert lines.last_allowed_on.astype(str).tolist() == [
        "2026-06-01",
        "2026-06-01",
        "2026-07-01",
    ]
    assert due_until(lines, dt.date(2026, 6, 1)).tolist() == [0, 1, 2]


def test_a_line_holds_what_its_own_reading_credits_and_no_more():
    """Not what lies too far from it, takes no credit, or asks for a device test."""
    items, _ = listed(FIVE, FIVE_TESTED)
    # In due order: 2, 4, 3, 1, 5; the places are one less.
    together = [1] * 5
    assert lines_of(items, together)[1] == [[1, 3, 2, 0, 4]]
    far = credit(together, x_metre=[30.0, 0.0, 60.0, 10.0, 90.0])
    assert parted(*grouped(items, far, 50.0)) == [[1, 3, 0], [2, 4]]
    device = credit(together, gives=[True, False, True, True, True])
    assert parted(*grouped(items, device, 50.0)) == [[1], [3, 2, 0, 4]]
    alone = credit(together, gives=[False] * 5)
    assert parted(*grouped(items, alone, 50.0)) == [[1], [3], [2], [0], [4]]
    refused = credit(together, takes=[True, True, False, True, True])
    assert parted(*grouped(items, refused, 50.0)) == [[1, 3, 0, 4], [2]]


def test_a_line_is_planned_for_its_earliest_member():
    both = stack([subject(1), subject(2)])
    tests = history((1, "2026-05-01", GOOD), (2, "2025-05-20", GOOD))
    items, _ = listed(both, tests)
    lines, parts = lines_of(items, [3, 3])
    assert parts == [[1, 0]]
    assert lines.planning_on.astype(str).tolist() == ["2026-04-20"]


def test_no_items_no_lines():
    none = FIVE.take(np.zeros(5, np.bool_))
    items, found = listed(none, FIVE_TESTED)
    lines, members = grouped(items, credit([]), 50.0)
    assert (len(items), len(found), len(lines), len(members)) == (0, 0, 0, 0)
    assert due_until(items, ON).tolist() == []


def test_paths_sources_and_boundaries_are_due_like_joints():
    kinds = (Subject.BOUNDARY, Subject.SOURCE)
    both = stack([subject(1, k, starts_on="2026-01-10") for k in kinds])
    in_force = rules("cfr-192.465a-boundary", "cfr-192.465b-source")
    items, _ = listed(both, history(), in_force=in_force)
    assert items.last_allowed_on.astype(str).tolist() == ["2027-04-10", "2026-03-25"]
    states = [DueState.at(int(s)) for s in items.state]
    assert states == [DueState.IN_TIME, DueState.PAST_LIMIT]


def test_a_rule_that_lacks_a_number_stops_the_list():
    none = replace(own_rules({"months": 1}), months=np.array([0]))
    with pytest.raises(Refused, match=r"due\.rule_lacks"):
        listed(subject(), history(), in_force=none)


def test_the_missed_year_of_the_demo_has_its_limit():
    tests = history((1, "2023-11-30", GOOD))
    items, _ = listed(subject(), tests, in_force=rules(NORMAL[0]))
    assert str(items.last_allowed_on[0]) == "2024-12-31"
