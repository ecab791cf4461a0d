"""A fixed word compares with its text, its code and a column of either."""

import copy
import json
import pickle

import numpy as np
import pytest

from jointmap.register.coded_word import CodedWord
from jointmap.register.codes import Verdict

CODES = np.array([0, 2, -1], dtype=np.int16)
TEXTS = np.array(["isolating", "shorted", ""])
SHORTED = np.array([False, True, False])


@pytest.mark.parametrize("column", [CODES, TEXTS, TEXTS.astype(object)])
def test_a_column_compares_from_both_sides(column):
    assert np.array_equal(column == Verdict.SHORTED, SHORTED)
    assert np.array_equal(Verdict.SHORTED == column, SHORTED)  # noqa: SIM300
    assert np.array_equal(column != Verdict.SHORTED, ~SHORTED)


@pytest.mark.parametrize("same", [2, np.int16(2), "shorted", Verdict.SHORTED])
def test_one_value_compares(same):
    assert same == Verdict.SHORTED
    assert not same != Verdict.SHORTED  # noqa: SIM202
    assert same != Verdict.DOUBTFUL


@pytest.mark.parametrize("other", [None, 2.5, object()])
def test_nothing_else_is_a_word(other):
    assert other != Verdict.SHORTED


def test_the_place_is_the_code_and_back():
    assert [word.code for word in Verdict] == list(range(len(Verdict)))
    assert [Verdict.at(word.code) for word in Verdict] == list(Verdict)


def test_the_stored_word_is_the_member():
    assert json.dumps(Verdict.SHORTED) == '"shorted"'
    assert {Verdict.SHORTED: 1}["shorted"] == 1
    assert pickle.loads(pickle.dumps(Verdict.SHORTED)) is Verdict.SHORTED  # noqa: S301
    assert copy.deepcopy(Verdict.SHORTED) is Verdict.SHORTED


def test_every_list_of_coded_words_counts_from_nought():
    for family in CodedWord.__subclasses__():
        assert [w.code for w in family] == list(range(len(family)))
