"""File names from tags."""

import re

from hypothesis import given
from hypothesis import strategies as st

from jointmap.workflows.file_names import file_names


def test_plain_tags_stay_and_others_are_spelt_out():
    tags = ["IJ-018", "ij-018", "A/B", "A_B", "ü", "CON", "../x"]
    assert file_names(tags) == {
        "IJ-018": "IJ-018",
        "ij-018": "ij-018_696a2d303138",
        "A/B": "A_2fB",
        "A_B": "A_5fB",
        "ü": "_fc",
        "CON": "CON",
        "../x": "_2e_2e_2fx",
    }


@given(st.lists(st.text(min_size=1), unique=True))
def test_names_are_unique_without_case_and_plain(tags):
    stems = file_names(tags)
    assert len({s.lower() for s in stems.values()}) == len(tags)
    assert all(re.fullmatch(r"[A-Za-z0-9_-]+", s) for s in stems.values())
