"""The catalogue of interval rules: whole rows with sources, or refused."""

import csv
import io
from importlib import resources

import pytest

from jointmap.errors import Refused
from jointmap.register.codes import Mark
from jointmap.tables.interval_rules import RULES, load

TEXT = (
    resources.files("jointmap.tables").joinpath("interval_rules.csv").read_text("utf-8")
)
LINES = TEXT.splitlines()


def changed(column, value):
    """The catalogue's first row with one cell changed."""
    (row,) = csv.DictReader(io.StringIO("\n".join(LINES[:2])))
    out = io.StringIO()
    writer = csv.DictWriter(out, list(row))
    writer.writeheader()
    writer.writerow({**row, column: value})
    return out.getvalue().splitlines()


@pytest.mark.parametrize(
    ("column", "value", "problem"),
    [
        ("source", "", "due.table_missing"),
        ("mark", "", "due.table_missing"),
        ("name", "", "due.table_missing"),
        ("months", "fifteen", "due.table_number"),
        ("years", "-1", "due.table_number"),
        ("factor", "half", "due.table_number"),
        ("factor", ".", "due.table_number"),
        ("critical_only", "maybe", "due.table_truth"),
        ("protected_only", "", "due.table_truth"),
        ("binds_from_on", "2026-13-01", "due.table_day"),
    ],
)
def test_a_row_that_is_off_is_refused_with_its_place(column, value, problem):
    with pytest.raises(Refused) as caught:
        load(changed(column, value))
    (found,) = caught.value.problems
    assert (found.id, found.line, found.column) == (problem, 2, column)


def test_the_unchanged_row_is_taken():
    assert list(load(LINES[:2])) == ["cfr-192.465a-joint"]


def test_a_name_twice_is_refused():
    with pytest.raises(Refused, match=r"due\.table_twice"):
        load([*LINES[:2], LINES[1]])


@pytest.mark.parametrize("line", [LINES[1] + ",more", LINES[1].rsplit(",", 3)[0]])
def test_too_many_or_too_few_cells_are_refused(line):
    with pytest.raises(Refused, match=r"due\.table_cells"):
        load([LINES[0], line])


def test_another_heading_is_refused():
    with pytest.raises(Refused, match=r"due\.table_heading"):
        load([LINES[0].replace("clause", "paragraph"), LINES[1]])


def test_all_faults_come_at_once():
    two = [*changed("source", ""), *changed("months", "x")[1:]]
    with pytest.raises(Refused) as caught:
        load(two)
    assert [(p.id, p.line) for p in caught.value.problems] == [
        ("due.table_missing", 2),
        ("due.table_number", 3),
    ]


def test_every_row_has_a_source_and_a_known_mark():
    assert len(RULES) == len(LINES) - 1
    assert all(r.source and r.mark in set(Mark) for r in RULES.values())


PINNED = [
    # name, years, months, days: the numbers of the rule's own words
    ("cfr-192.465a-joint", 1, 15, None),
    ("cfr-192.465a-boundary", 1, 15, None),
    ("cfr-192.465b-source", None, 2, 15),
    ("cfr-192.465c-critical-resistance-bond", None, 2, 15),
    ("cfr-192.465c-other-drainage", 1, 15, None),
    ("cfr-192.481a1-atmospheric", 3, 39, None),
    ("cfr-192.481a2-atmospheric-service-line", 5, 63, None),
    ("cfr-192.481a3-atmospheric-offshore", 1, 15, None),
    ("cfr-193.2635-atmospheric", None, 36, None),
    ("isgott-17.5.5.2-joint", None, 12, None),
    ("ccr-2341-joint", None, 3, None),
    ("ccr-2341-d2-joint", None, 3, None),
    ("owner-ship-shore-harsh", None, 6, None),
    ("owner-protection-normal", None, 12, None),
    ("owner-service-line-mild", None, 24, None),
    ("owner-margin", None, None, 30),
    ("owner-restore", None, 6, None),
    ("owner-floor", None, 1, None),
]


@pytest.mark.parametrize(("name", "years", "months", "days"), PINNED)
def test_the_numbers_of_a_rule(name, years, months, days):
    rule = RULES[name]
    assert (rule.years, rule.months, rule.days) == (years, months, days)


def test_what_is_recalled_is_marked_so_and_what_a_rule_leaves_open_is_said():
    recalled = ("cfr-195.573a1-joint", "cfr-192.465d-fix", "iso-15589-1-surge-device")
    assert {RULES[n].mark for n in recalled} == {Mark.FROM_MEMORY}
    assert "192.467(d)" in RULES["cfr-192.465a-joint"].says_not
    assert "states no interval" in RULES["cfr-192.465a-joint"].says_not
