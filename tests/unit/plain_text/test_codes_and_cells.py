"""Codes, cells, JSON, markup, policies: the doors by which text goes out."""

import base64
import csv
import hashlib
import io
import json
import sys
import unicodedata
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markupsafe import Markup

from jointmap.plain_text import (
    as_typed,
    csv_text,
    finished_page,
    json_text,
    lines_text,
    markup,
    neutral,
    own_markup,
    policy,
    script_json,
    shown_value,
    visible,
    visible_lines,
)
from jointmap.plain_text.visible import UNSEEN
from tests.hostile_pages import is_formula
from tests.hostile_site import probes

ANY = st.text(st.characters(codec=None)) | st.sampled_from(sorted(probes().values()))
NEVER_SEEN = {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}
# Drawn as nothing, though letters or marks by their class.
IGNORABLE = {0x34F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x3164, 0xFFA0}


def test_the_list_holds_all_that_python_s_table_calls_unseen():
    missed = [
        hex(n)
        for n in range(sys.maxunicode + 1)
        if unicodedata.category(chr(n)) in NEVER_SEEN and not UNSEEN.match(chr(n))
    ]
    assert missed == []


def test_the_list_holds_nothing_that_is_seen():
    odd = [
        hex(n)
        for n in range(sys.maxunicode + 1)
        if UNSEEN.match(chr(n))
        and unicodedata.category(chr(n)) not in {*NEVER_SEEN, "Cn"}
        and n not in IGNORABLE
        and "VARIATION SELECTOR" not in unicodedata.name(chr(n))
    ]
    assert odd == []


@given(ANY)
def test_codes_leave_nothing_unseen_and_change_nothing_twice(text):
    shown = visible(text)
    assert not UNSEEN.search(shown)
    assert visible(shown) == shown
    assert visible_lines(shown) == shown
    assert visible_lines(text).replace("\n", "<U+000A>") == shown


def test_lines_end_where_the_program_ends_them():
    assert lines_text(["a\nb", "c"]) == "a<U+000A>b\nc\n"


@given(ANY)
def test_no_cell_is_a_formula_and_each_comes_back(text):
    assert as_typed(neutral(text)) == text
    written = csv_text(["head"], [[text]])
    ((_,), (cell,)) = csv.reader(io.StringIO(written), strict=True)
    assert as_typed(cell) == visible(text)
    assert not is_formula(cell)


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (-41.5, "-41.5"), (-3, "-3"), (Decimal("-0.0000001"), "-0.0000001"),
        (None, '""'), ("-41.5", "'-41.5"), ("+", "'+"), ("KP -1", "KP -1"),
        ("a\nb", "a<U+000A>b"), ("\t=1", "<U+0009>=1"),
        ("\uff1d1", "'\uff1d1"), ("'", "'"), ("''", "''"), ('"', '""""'),
    ],
)  # fmt: skip
def test_numbers_of_the_program_stay_numbers_and_text_stays_text(value, cell):
    assert csv_text(["head"], [[value]]) == f"head\n{cell}\n"


@given(st.dictionaries(ANY, st.lists(ANY)))
def test_json_loses_nothing_and_can_end_no_script(value):
    for text in (json_text(value), json_text(value, indent=1), script_json(value)):
        assert json.loads(text) == value
        assert not UNSEEN.search(text.replace("\n", ""))
    assert "<" not in script_json(value)


@given(ANY)
def test_markup_is_text_and_stays_so(text):
    made = markup(text)
    assert markup(made) is made
    assert made.unescape() == visible(text)
    assert not set("<>\"'") & set(made)


def test_a_finished_page_shows_what_came_by_another_way():
    assert finished_page("<p>\u202ea\nb</p>") == "<p>&lt;U+202E&gt;a\nb</p>"
    assert shown_value("\x07") == "<U+0007>"
    drawn = own_markup("<svg/>")
    assert isinstance(drawn, Markup)
    assert shown_value(drawn) is drawn
    assert shown_value(7) == 7


def test_a_policy_names_just_what_the_page_holds():
    found = policy(["a{}"], ["x()", "y()"])
    digest = base64.b64encode(hashlib.sha256(b"y()").digest()).decode()
    assert found.startswith("default-src 'none'; base-uri 'none'; form-action 'none'")
    assert found.endswith(f"'sha256-{digest}'")
    assert "script-src" not in policy(["a{}"])
    assert "unsafe" not in found
