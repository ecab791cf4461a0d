"""Tables on a terminal: they fit, nothing is cut, colour only repeats words."""

import re

import pytest
from rich.cells import cell_len

from jointmap.cli.laid_out import INDENT, plain
from jointmap.plain_text import visible
from jointmap.plain_text.shown import Column, Table, Title, Tone

ROWS = (
    (
        "2026-05-15",
        "IJ-018",
        "17",
        "Due 2026-05-15: tested 2025-05-15; 12-month limit.",
    ),
    ("2026-05-16", "A-VERY-LONG-TAG-WITHOUT-ANY-BLANK-IN-IT", "3", "x" * 90),
    ("", "[bold]no markup[/bold] :smile:", "1,000", "\u6f22\u5b57 " * 30),
    ("2026-05-17", "bad\x1b[31m\nFORGED\u202e", "0", ""),
)
COLUMNS = (
    Column("Last allowed day", 10),
    Column("To be tested", 18),
    Column("Lines", 6, is_number=True),
    Column("Because"),
)


def squeezed(text):
    return re.sub(r"\s", "", text)


@pytest.mark.parametrize("width", [40, 60, 80, 140, 400])
def test_a_table_fits_and_nothing_is_cut(width):
    for row in ROWS:
        text = plain([Table.of(COLUMNS, [row])], width)
        lines = text.splitlines()
        assert max(map(cell_len, lines)) <= width
        assert all(line.startswith(" " * INDENT) for line in lines)
        # Each letter of each cell is there as often as it was given.
        given = "".join(visible(c) for c in row) + "".join(c.head for c in COLUMNS)
        assert sorted(squeezed(text)) == sorted(squeezed(given))
        assert not {"\x1b", "\u202e"} & {*text}


@pytest.mark.parametrize("width", [60, 80, 140])
def test_a_day_and_a_number_stay_whole(width):
    text = plain([Table.of(COLUMNS, ROWS)], width)
    assert {"2026-05-15", "2026-05-16", "2026-05-17", "1,000"} <= {*text.split()}


def test_rows_under_titles_share_their_columns():
    rows = [Title("first: 1", Tone.BAD), ("a", "b"), Title("second: 1"), ("long", "c")]
    table = Table.of([Column("One"), Column("Two")], rows)
    assert plain([table]).splitlines() == [
        "  One   Two",
        "first: 1",
        "  a     b",
        "second: 1",
        "  long  c",
    ]


def test_lines_are_wrapped_at_words_and_further_lines_stand_in():
    text = plain(["one two three", "", Title("four five six")], 8)
    assert text == "one two\n  three\n\nfour\n  five\n  six\n"


def test_what_is_long_is_printed_some_rows_at_a_time():
    table = Table.of([Column("N", is_number=True)], [(str(n),) for n in range(450)])
    assert [int(n) for n in plain([table]).split()[1:]] == [*range(450)]
