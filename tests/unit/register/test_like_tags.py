"""Tags easily taken one for the other, and what a spreadsheet makes of them."""

import pytest

from jointmap.register.like_tags import (
    is_of_spreadsheet,
    look_of,
    looks_before,
    says_no_tag,
)

ALIKE = [
    "IJ-007", "ij-007", "IJ-OO7", "lJ-007", "1J-007", "IJ007", "IJ 007", "IJ_007",
    "IJ\u2013007", "IJ-7", "IJ-07", "I J-007", "IJ-0007", "IJ.007",
]  # fmt: skip
OTHERS = ["IJ-008", "IJ-070", "IJ-0-7", "IJ-007A", "IJ-107", "KJ-007", "IJ-00"]


@pytest.mark.parametrize("tag", ALIKE)
def test_is_easily_taken_for_it(tag):
    assert look_of(tag) == look_of("IJ-007")


@pytest.mark.parametrize("tag", OTHERS)
def test_is_told_apart(tag):
    assert look_of(tag) != look_of("IJ-007")


def test_figures_that_something_parts_are_not_one_number():
    assert look_of("IJ-1-7") != look_of("IJ-17")
    assert look_of("12/3-4") == look_of("12-3-4") != look_of("123-4")


def test_other_letters_stay():
    assert look_of("\u0416-07") == look_of("\u0436 7")
    assert look_of("\u00c4-1") != look_of("A-1")
    assert look_of("-") == ""


@pytest.mark.parametrize(
    "text",
    ["#REF!", "#N/A", "#NAME?", "#VALUE!", "#DIV/0!", "n/a", "N/A", "na", "NaN",
     "null", "none", "TBC", "-", "?", "...", "unknown", "###"],
)  # fmt: skip
def test_stands_where_no_tag_is_known(text):
    assert says_no_tag(text)


@pytest.mark.parametrize("text", ["NA-1", "#7", "N-A1", "TB-1", "0", "nonet"])
def test_is_a_tag(text):
    assert not says_no_tag(text)


@pytest.mark.parametrize(
    ("tag", "before"),
    [
        ("4-Mar", ["4.3", "3.4", "mar4", "4mar"]),
        ("Mar-04", ["4.3", "3.4", "mar4", "4mar"]),
        ("04-Mar-2026", ["4.3", "3.4", "mar4", "4mar"]),
        ("1E5", ["1e5", "100000"]),
        ("1.20E+07", ["1.2e7", "12000000"]),
        ("1,2E-3", ["1.2e3"]),
    ],
)
def test_a_spreadsheet_may_have_made_it(tag, before):
    assert is_of_spreadsheet(tag)
    assert list(looks_before(tag)) == before


@pytest.mark.parametrize(
    "tag", ["IJ-7", "MAR-7-1", "MAR-7", "4-MAR", "E5", "4-Mat", "12-34", "PE5"]
)
def test_a_spreadsheet_leaves_it(tag):
    assert not is_of_spreadsheet(tag)
    assert list(looks_before(tag)) == []
