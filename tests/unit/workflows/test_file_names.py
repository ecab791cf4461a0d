"""File names from tags."""

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from jointmap.pages.file_names import file_names


def test_plain_tags_stay_and_others_are_spelt_out():
    tags = ["IJ-018", "A/B", "A_B", "ü", "CONE", "../x"]
    assert file_names(tags) == {
        "IJ-018": "IJ-018",
        "A/B": "A_2fB",
        "A_B": "A_5fB",
        "ü": "_fc",
        "CONE": "CONE",
        "../x": "_2e_2e_2fx",
    }


def test_tags_alike_but_for_case_both_have_a_name():
    names = file_names(["IJ-018", "ij-018"])
    assert names["IJ-018"] == "IJ-018"
    assert re.fullmatch(r"ij-018_[0-9a-f]{32}", names["ij-018"])


def test_no_tag_takes_the_name_of_a_folder_s_own_page():
    assert file_names(["Index"])["Index"] != "Index"


# What some systems take for a device, with any ending and in any case.
DEVICES = ["CON", "PRN", "AUX", "NUL"] + [
    f"{port}{number}" for port in ("COM", "LPT") for number in range(1, 10)
]


@pytest.mark.parametrize("tag", [*DEVICES, *map(str.lower, DEVICES), "Con", "cOM1"])
def test_no_tag_takes_the_name_of_a_device(tag):
    (stem,) = file_names([tag]).values()
    assert re.fullmatch(rf"{tag}_[0-9a-f]{{32}}", stem)


@pytest.mark.parametrize("tag", ["CON.html", "nul.", "COM1 ", "J-1.", "J-1 ", "COM¹"])
def test_no_name_ends_with_a_dot_or_a_blank_or_holds_one(tag):
    (stem,) = file_names([tag]).values()
    assert re.fullmatch("[A-Za-z0-9_-]+", stem)
    assert stem.upper() not in DEVICES


@given(st.lists(st.text(), unique=True))
@example(["A\x041", "a", "A"])
@example(["é1", "\u0e91"])
@example(["管" * 200, "管" * 201])
def test_names_are_unique_without_case_and_plain(tags):
    stems = file_names(tags)
    assert len({s.lower() for s in stems.values()}) == len(tags)
    assert all(re.fullmatch(r"[A-Za-z0-9_-]{1,180}", s) for s in stems.values())
