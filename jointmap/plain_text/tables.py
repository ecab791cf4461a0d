"""Every CSV text that is written: one function, and no cell that starts a formula."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal

from jointmap.plain_text.visible import visible

# What spreadsheets take for a formula, and what they skip before they look: blanks of
# any kind, quotes. Full-width signs are turned into plain ones by some of them.
# Source: OWASP, "CSV Injection" (from memory): = + - @, tab, carriage return.
_FORMULA = re.compile(
    "[\\s\"'`\u2018\u2019\u201c\u201d]*[=+\\-@\uff1d\uff0b\uff0d\uff20\t\r]"
)
Cell = str | int | float | Decimal | None


def neutral(text: str) -> str:
    """Return ``text`` with an apostrophe before anything that may start a formula.

    >>> neutral("=1+1"), neutral(" '-2"), neutral("KP 1")
    ("'=1+1", "' '-2", 'KP 1')
    """
    return f"'{text}" if _FORMULA.match(text) else text


def as_typed(text: str) -> str:
    """Return what ``neutral`` was given: a cell of our own table, loaded back.

    >>> as_typed(neutral("'=1")), as_typed("'s Gravenberg")
    ("'=1", "'s Gravenberg")
    """
    is_ours = text.startswith("'") and _FORMULA.match(text, 1)
    return text[1:] if is_ours else text


def csv_text(heading: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Return a table as CSV: text as text, numbers of the program's own as they are."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(heading)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def _cell(value: Cell) -> Cell:
    if isinstance(value, str):
        # Nearly every cell is plain and begins with a letter or digit: of a million
        # rows that look is a third of the time.
        is_plain = value.isascii() and value.isprintable()
        begins_plain = not value or value[0].isalnum()
        return value if is_plain and begins_plain else neutral(visible(value))
    return f"{value:f}" if isinstance(value, Decimal) else value
