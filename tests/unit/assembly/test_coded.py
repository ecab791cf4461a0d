"""Columns of words against plain lists of them."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from jointmap.assembly import Coded, stacked
from jointmap.assembly.coded import together

WORDS = st.lists(st.sampled_from(["", "a", "b", "bb", " "]), max_size=9)


def listed(column):
    return [column[row] for row in range(len(column))]


@given(WORDS)
def test_a_column_says_what_went_in_each_word_once(words):
    column = Coded.of(words)
    assert listed(column) == words
    assert len(set(column.words)) == len(column.words)
    assert column.told(len, np.int64).tolist() == [len(w) for w in words]
    assert column.flags(bool).tolist() == [bool(w) for w in words]


@given(WORDS.filter(bool), st.data())
def test_rows_taken_by_place_or_by_mask_keep_no_more_words_than_rows(words, data):
    column = Coded.of(words)
    rows = data.draw(st.lists(st.integers(0, len(words) - 1), max_size=5))
    taken = column[np.array(rows, np.int64)]
    assert listed(taken) == [words[row] for row in rows]
    assert len(taken.words) <= len(rows)
    mask = np.array([len(w) == 1 for w in words], np.bool_)
    assert listed(column[mask]) == [w for w in words if len(w) == 1]


def test_one_row_of_many_words_is_asked_about_one():
    asked = []
    Coded.of(["a", "b", "c"])[np.array([1])].told(asked.append, np.object_)
    assert asked == ["b"]


@given(st.lists(WORDS, min_size=1, max_size=4))
def test_parts_stacked_are_the_whole(parts):
    whole = stacked([Coded.of(part) for part in parts])
    assert listed(whole) == [word for part in parts for word in part]
    assert len(set(whole.words)) == len(whole.words)


@given(st.lists(st.tuples(*[st.sampled_from("xyz")] * 3), max_size=12))
def test_columns_together_say_what_each_says(rows):
    columns = [Coded.of([row[n] for row in rows]) for n in range(3)]
    found = together(columns)
    assert listed(found) == rows
    assert len(found.words) == len(set(rows))
