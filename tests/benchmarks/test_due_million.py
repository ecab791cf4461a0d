"""Due dates of very many joints, as a ratio to the least that NumPy must do."""

import tracemalloc

import numpy as np
import pytest

from jointmap.due_list import build, grouped
from jointmap.intervals import HistoryColumns, SubjectColumns, TriggerColumns
from jointmap.intervals.calendar import add_months
from jointmap.tables.interval_rules import RULES
from tests.cpu_time import seconds
from tests.due_samples import ON, credit, rules

pytestmark = pytest.mark.benchmark
TESTS_EACH = 5


def many(count):
    """Joints with five tests each in mixed order, and a storm at every tenth."""
    number = np.arange(count)
    none = np.full(count, -1, np.int16)
    yes, no = np.ones(count, np.bool_), np.zeros(count, np.bool_)
    joint = np.zeros(count, np.int16)
    fitted = np.datetime64("2015-01-01") + number % 1000
    severity = (number % 3).astype(np.int16)
    subjects = SubjectColumns(
        joint,
        number + 1,
        joint,
        severity,
        none,
        none,
        none,
        no,
        yes,
        fitted,
        yes,
        number * 0,
        joint,
    )
    # A stride prime to the count mixes the rows without chance.
    row = (np.arange(count * TESTS_EACH) * 7919) % (count * TESTS_EACH)
    whose, turn = row % count, row // count
    tested = fitted[whose] + 700 * turn + whose * 31 % 97
    history = HistoryColumns(
        joint[whose],
        whose + 1,
        row + 1,
        tested,
        ((whose * 13 + turn * 7) % 20 == 0).astype(np.int16) * 2,
        yes[whose],
        no[whose],
    )
    hit = number[::10]
    storm = np.full(len(hit), 10, np.int16)
    day = np.full(len(hit), np.datetime64("2025-08-14"))
    return subjects, history, TriggerColumns(joint[hit], hit + 1, storm, day)


def bare(history):
    """Sort the tests once, take each joint's last one, add months once a rule."""
    key = (history.subject_id << 22) + history.tested_on.astype(np.int64)
    order = np.argsort(key, kind="stable")
    first = np.flatnonzero(np.diff(history.subject_id[order], prepend=0))
    last = np.maximum.reduceat(history.tested_on[order].astype(np.int64), first)
    days = last.astype("datetime64[D]")
    due = add_months(days, 15)
    for months in (3, 6, 12, 24):
        due = np.minimum(due, add_months(days, months))
    return due


def least_seconds(call, *arguments):
    return min(seconds(call, *arguments)[0] for _ in range(3))


def test_every_rule_for_very_many_joints_against_a_bare_pass(count):
    joints = count(100_000, 1_000_000)
    subjects, history, triggers = many(joints)
    every = rules(*RULES)
    base = least_seconds(bare, history)
    own, (items, _) = seconds(build, subjects, history, triggers, every, ON, 30, 10)
    print(f"{joints} joints: {own:.2f} s, bare {base:.2f} s, ratio {own / base:.1f}")  # noqa: T201
    assert len(items) == joints
    assert own < 20 * base


def test_lines_of_test_groups_cost_a_few_sorts(count):
    joints = count(100_000, 1_000_000)
    items, _ = build(*many(joints), rules(*RULES), ON, 30, 10)
    mixed = items.subject_id * 31 % 97
    base = least_seconds(lambda: np.argsort(mixed, kind="stable"))
    own, (lines, members) = seconds(
        grouped, items, credit(items.subject_id // 3 + 1), 50.0
    )
    print(f"{joints} joints: lines in {own:.2f} s, one sort {base:.2f} s")  # noqa: T201
    assert (len(lines), len(members)) == (joints // 3 + 1, joints)
    assert own < 40 * base


def test_memory_stays_below_two_kibibytes_a_joint(count):
    joints = count(100_000, 1_000_000)
    tables, every = many(joints), rules(*RULES)
    tracemalloc.start()
    build(*tables, every, ON, 30, 10)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    print(f"{joints} joints: peak {peak / 2**20:.0f} MiB")  # noqa: T201
    assert peak < joints * 2048
