"""Names that look the same are the same; what is not seen is named."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.register.same_letters import odd_mark, says_nothing, skeleton

SAME = [
    ("IJ-018", "ij-018"),
    ("IJ-018", "\u0399\u0408-018"),  # Greek iota, Cyrillic je
    ("CT-1", "\u0421\u0422-1"),  # Cyrillic
    ("KH", "\u039a\u0397"),  # Greek kappa and eta
    ("J-1", "\uff2a\uff0d\uff11"),  # full width
    ("J-1", "J\u200b-1"),
    ("J-1", "\u202aJ-1\u202c"),
    ("J 1", "J\u00a0 1"),
    ("\u00e9", "e\u0301"),
    ("STRASSE", "stra\u00dfe"),
    ("I", "\u0130"),  # a capital I with a dot
    ("A", "A\ufe0f"),
    ("FI-2", "\ufb01-2"),
]
OTHER = [("IJ-018", "IJ-O18"), ("J-1", "J1"), ("J-1", "J\u20131"), ("e", "\u00e9")]
ODD = [
    ("a\u202e", "U+202E (right-to-left override)"),
    ("a\u200bb", "U+200B (zero width space)"),
    ("\x1b[2J", "U+001B (a control character)"),
    ("a\nb", "U+000A (a control character)"),
    ("a\u2028", "U+2028 (line separator)"),
    ("\ufeffa", "U+FEFF (zero width no-break space)"),
    ("IJ-018", ""),
    ("Stra\u00dfe \u03a9", ""),
    ("\u06a9\u200c\u06cc", ""),  # Persian needs it
]


@pytest.mark.parametrize(("one", "other"), SAME)
def test_looks_the_same(one, other):
    assert skeleton(one) == skeleton(other)


@pytest.mark.parametrize(("one", "other"), OTHER)
def test_is_another_name(one, other):
    assert skeleton(one) != skeleton(other)


@pytest.mark.parametrize(("name", "told"), ODD)
def test_mark_that_is_not_seen(name, told):
    assert odd_mark(name) == told


@given(st.text())
def test_skeleton_of_a_skeleton_is_itself(name):
    assert skeleton(skeleton(name)) == skeleton(name)


@given(st.text())
def test_composed_or_not_makes_no_difference(name):
    forms = {skeleton(unicodedata.normalize(f, name)) for f in ("NFC", "NFD")}
    assert len(forms) == 1


@pytest.mark.parametrize(
    "text", ["", " \t", "\u200b", "\u00a0\u2028", "\u3164\uffa0", "\x01", "\u2800"]
)
def test_what_is_not_seen_says_nothing(text):
    assert says_nothing(text)
    assert not says_nothing(f"{text}7")
