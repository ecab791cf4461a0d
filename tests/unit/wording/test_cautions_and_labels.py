"""Cautions are chosen by place and purpose; labels keep clear of misleading words."""

import re

import pytest

from jointmap.register.codes import JointState, Mark, PathKind, Purpose
from jointmap.register.place import Joint
from jointmap.register.rule_codes import RuleShape
from jointmap.routes import REASONS as ROUTE_REASONS
from jointmap.wording import cautions, labels, say
from jointmap.wording.cautions import (
    CAUTIONS,
    Situation,
    cautions_for,
    situations_of,
)
from jointmap.wording.families import SENTENCES, of_subject
from jointmap.wording.fitting import LABELS as CHECK_LABELS

PLAIN = {"tag": "IJ-001", "boundary_id": 1, "area": "x", "state": JointState.IN_DUTY}


@pytest.mark.parametrize(
    ("fields", "arguments", "situation"),
    [
        ({"hazardous_area": "1"}, {}, Situation.HAZARDOUS_AREA),
        ({"two_persons": True}, {}, Situation.TWO_PERSONS),
        ({"in_vault": True}, {}, Situation.VAULT),
        ({"near_traffic": True}, {}, Situation.TRAFFIC),
        ({"over_water": True}, {}, Situation.WATER),
        ({"is_buried": True}, {}, Situation.BURIED),
        ({}, {"purpose": Purpose.SHIP_SHORE}, Situation.SHIP_SHORE),
        ({}, {"paths": (PathKind.SURGE_DEVICE,)}, Situation.SURGE_DEVICE),
        ({}, {"joined_on_purpose": True}, Situation.JOINED_ON_PURPOSE),
    ],
)
def test_each_situation_is_seen_and_brings_its_caution(
    fields: dict, arguments: dict, situation: Situation
) -> None:
    found = situations_of(Joint(**PLAIN, **fields), **arguments)
    assert found == {situation}
    extra = set(cautions_for(found)) - set(cautions_for(()))
    assert {CAUTIONS[id_].when for id_ in extra} == {situation}


def test_plain_place_brings_the_general_cautions_only() -> None:
    assert situations_of(Joint(**PLAIN), paths=(PathKind.SUPPORT,)) == frozenset()
    assert {CAUTIONS[i].when for i in cautions_for(())} == {Situation.ALWAYS}


def test_ac_comes_first_and_names_the_limit() -> None:
    everything = cautions_for(set(Situation))
    assert everything == tuple(CAUTIONS)
    assert everything[0] == "caution.ac_first"
    assert "At 15 V or more: stop" in say(everything[0], {"ac_limit": 15.0})


def test_every_situation_has_a_caution() -> None:
    assert {c.when for c in CAUTIONS.values()} == set(Situation)


@pytest.mark.parametrize("id_", CAUTIONS)
def test_a_caution_called_seen_names_what_was_seen(id_: str) -> None:
    caution = CAUTIONS[id_]
    assert bool(caution.source) == (caution.mark is Mark.SEEN)


# Words that mean something else in a plant: locked out, thermal, gas, pressure, ...
FORBIDDEN = {
    "isolated": r"isolated",
    "insulated": r"insulated",
    "leak": r"leak\w*",
    "failed": r"fail\w*",
    "live": r"live",
    "dead": r"(?<!top )dead",
    "annual": r"annual\w*",
    "span": r"(?<!measuring )span",
    "zone": r"zones?",
    "shift": r"(?<!potential )shifts?",
    "seal": r"seal\w*",
    "bond": r"(?<!temporary )(?<!resistance )bonds?(?! on purpose)",
    "near miss": r"near miss\w*",
    "held": r"held",
}
TEXTS = {**labels.SENTENCES, **cautions.SENTENCES}


@pytest.mark.parametrize("word", FORBIDDEN)
def test_no_bare_word_that_misleads(word: str) -> None:
    # A name in a label's braces is a value's name, not a word on the page.
    pattern = re.compile(rf"(?i)\b{FORBIDDEN[word]}\b")
    said = {id_: re.sub(r"\{.*?\}", "", text) for id_, text in TEXTS.items()}
    assert {i: t for i, t in said.items() if pattern.search(t)} == {}


def test_labels_are_short_plain_and_whole() -> None:
    for id_, text in TEXTS.items():
        assert text == text.strip() or id_ == "page.to_day"
        assert "  " not in text
        assert len(text) < 260


def test_whatever_stays_off_the_routes_has_a_word_of_help():
    for id_ in (*ROUTE_REASONS, "route.nowhere"):
        assert say(f"help.{id_}")


@pytest.mark.parametrize("shape", list(RuleShape))
def test_every_shape_of_rule_can_be_said_on_the_page_of_rules(shape):
    assert f"rule.{shape.replace(' ', '_')}" in of_subject("due")


@pytest.mark.parametrize("word", ["bridged", "isolated end", "sealed with"])
def test_words_that_the_trade_reads_otherwise_are_in_no_sentence(word: str) -> None:
    """A joint is shorted, a stud has isolating sides, an entry is recorded."""
    told = {**SENTENCES, **{f"fitting {k}": v for k, v in CHECK_LABELS.items()}}
    assert [id_ for id_, text in told.items() if word in str(text).lower()] == []
