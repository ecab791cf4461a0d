"""What a command shows to a person: lines, titles, tables; nothing is laid out yet.

Whoever prints it knows how wide the terminal is, and whether it has colours. A tone
only repeats what the words beside it say.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias


class Tone(Enum):
    """What a word says of the thing: a colour where there are colours."""

    NONE = ""
    BAD = "bad"
    NEAR = "near"
    GOOD = "good"


@dataclass(frozen=True, slots=True)
class Title:
    """A line above a table."""

    text: str
    tone: Tone = Tone.NONE


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its heading, and how wide it may get on 80 columns.

    Without ``most`` it is as wide as its widest cell. Words are wrapped, and a word
    that is longer than its column is broken; no value is cut.
    """

    head: str = ""
    most: int | None = None
    is_number: bool = False


Row: TypeAlias = tuple[str, ...] | Title


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells, and titles between them; the last column takes what room is left.

    All rows share the widths of the columns, whatever titles stand between them.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    @classmethod
    def of(cls, columns: Iterable[Column], rows: Iterable[Row]) -> "Table":
        """Return a table of these columns and rows."""
        return cls(tuple(columns), tuple(rows))


Block: TypeAlias = str | Title | Table
