"""No sentence says ``1 joints``: a count carries what it counts, for one and for more.

Each sentence is said with each of its whole numbers as one. Looked for is every word
that any sentence counts, in the plural, behind a number that is one.
"""

import re
from string import Formatter

import pytest

from jointmap.wording import say
from jointmap.wording.families import SENTENCES
from jointmap.wording.quantities import UNITS, show


def fields(sentence):
    """Name and format of each value; ``{least:{unit}}`` has two."""
    for _, name, spec, _ in Formatter().parse(sentence):
        if name is not None:
            yield name, spec
            yield from ((unit, "its unit") for unit, _ in fields(spec))


COUNTED = [s for text in SENTENCES.values() for _, s in fields(text) if "|" in s]
NO_PLURALS = {"as", "was", "this", "its", "is", "has", "does"}
# Counted by hand, or by a list: not by a value of a sentence.
PLURALS = {"checks", "steps", "places", "clocks", "persons", "hours", "holes", "tests"}
PLURALS |= {w for s in COUNTED for w in s.split("|")[1].split() if w.endswith("s")}
PLURALS -= NO_PLURALS
OF_ONE = re.compile(
    r"(?<![\d.,\w-])1 (?!shorts,|dates back)((?!for|holds)[a-z]+ )?"
    rf"({'|'.join(sorted(PLURALS))})\b"
)
OF_MANY = re.compile(r"(?<!at most )\b1 ([a-z]+ )?(are|were|have|they|these|await)\b")


def value_of(spec):
    """A value that is no one, of the kind that a format takes."""
    if spec == "its unit":
        return "ohm"
    form = spec.rpartition(";")[0] if "|" in spec else spec
    if form in UNITS or form[-1:] in {"f", "g"}:
        return 7.5
    return 7 if form[-1:] in {",", "d", "X"} else "NAME"


@pytest.mark.parametrize("id_", sorted(SENTENCES))
def test_nothing_is_told_as_1_of_many(id_):
    values = {name: value_of(spec) for name, spec in fields(SENTENCES[id_])}
    for name, spec in fields(SENTENCES[id_]):
        if not spec or "|" in spec or spec in {",", "count"}:
            told = say(id_, values | {name: 1})
            assert not OF_ONE.search(told), told
            assert "|" not in spec or not OF_MANY.search(told), told


def test_more_than_one_is_told_as_many():
    told = say("handover.summary", {"joints": 2, "open": 1, "accepted": 0, "share": 1})
    assert told.startswith("2 joints; 1 with open points, 0 with an accepted exception")
    assert say("picture.bytes", {"count": 12_000}) == "12,000 bytes"
    assert say("picture.bytes", {"count": 1}) == "1 byte"


@pytest.mark.parametrize("unit", sorted(UNITS))
def test_a_unit_is_told_of_one_too(unit):
    for _, divisor, *_ in UNITS[unit]:
        assert not re.search(r"\b1 (years|threads)\b|\|", show(divisor, unit))
        assert "|" not in show(7 * divisor, unit)
