"""Each published table of the program against its second copy, both ways."""

from collections import Counter
from importlib import resources

import pytest

from tests.second_copies import (
    FOLDER,
    KEYS,
    KINDS,
    agree,
    counted,
    differences,
    lines,
    table,
    unguarded,
)


def test_every_table_of_the_program_has_a_second_copy():
    files = (f.name for f in resources.files("jointmap.tables").iterdir())
    # sources.toml holds titles of texts and no value of one.
    tables = {n.partition(".")[0] for n in files if n.endswith((".csv", ".toml"))}
    assert tables - {"sources"} == set(KEYS) == {f.stem for f in FOLDER.iterdir()}


@pytest.mark.parametrize("name", KEYS)
def test_the_table_and_its_second_copy_agree(name):
    assert differences(name, table(name)) == []


@pytest.mark.parametrize("name", KEYS)
def test_every_value_has_a_second_copy(name):
    assert unguarded(name) == []


@pytest.mark.parametrize("name", KEYS)
def test_every_line_names_its_source_and_what_kind_of_copy_it_is(name):
    assert all(line["source"] and line["copy"] in KINDS for line in lines(name))


def test_most_published_values_come_from_another_place_than_the_first():
    kinds = Counter()
    for (_, kind, _), cells in counted().items():
        kinds[kind] += cells
    assert kinds["another copy"] >= 1500


@pytest.mark.parametrize(
    ("ours", "theirs", "column", "same"),
    [
        ("3.12", "3.12", "", True),
        ("3.12", "3.13", "", False),
        ("4", "4.000", "", True),
        ("1.0625", "~1.062", "", True),
        ("1.0635", "~1.062", "", False),
        ("3.12", "79.4", "bolt_circle_mm", True),
        ("3.11", "79.4", "bolt_circle_mm", False),
        ("", "-", "", True),
        ("1", "-", "", False),
        ("", "1", "", False),
        ("mV", "mV", "", True),
        ("mV", "V", "", False),
    ],
)
def test_when_a_cell_agrees(ours, theirs, column, same):
    assert agree(ours, theirs, column) is same


def test_a_missing_row_an_extra_row_and_a_row_twice_are_found():
    rows = table("stud_grades")
    assert differences("stud_grades", rows[1:])
    assert differences("stud_grades", [*rows, {**rows[0], "grade": "B8"}])
    assert differences("stud_grades", [*rows, rows[0]])
