"""Sentences are kept as data: each id once, each a sentence that can be filled."""

import json
from importlib import resources
from string import Formatter

import pytest

from jointmap.wording.families import SENTENCES, of_subject

FILES = sorted((resources.files("jointmap.wording") / "sentences").iterdir(), key=str)


def pairs_of(file):
    """The pairs of a file as they stand in it, doubles too."""
    text = file.read_text(encoding="utf-8")
    return json.loads(text, object_pairs_hook=list)


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.name)
def test_each_file_is_an_object_of_texts_that_can_be_filled(file):
    assert file.name.endswith(".json")
    for id_, sentence in pairs_of(file):
        assert isinstance(sentence, str), id_
        assert sentence, id_
        list(Formatter().parse(sentence))
        assert SENTENCES[id_] == sentence
    assert dict(pairs_of(file)) == of_subject(file.name.removesuffix(".json"))


def test_no_id_stands_twice():
    ids = [id_ for file in FILES for id_, _ in pairs_of(file)]
    assert len(ids) == len({*ids})
    assert len(ids) > 1000
