"""How much of what comes from outside is read: every limit that is stated, as data.

All are our choice: far above what people keep in sheets, and such that no process needs
more than 1 GiB. `docs/reference/reading_limits.md` is made from them.
"""

from typing import NamedTuple

from jointmap.errors import Problem, Refused
from jointmap.units import MOST_LETTERS

MIB = 2**20


class Limit(NamedTuple):
    """One limit: the id of its sentence, the most that is read, of what."""

    id: str
    most: int
    of: str


FILE_BYTES = Limit("limit.file_bytes", 32 * MIB, "bytes of a file")
SETTINGS_BYTES = Limit("limit.file_bytes", 64 * 1024, "bytes of a settings file (TOML)")
TABLE_BYTES = Limit("limit.file_bytes", MIB, "bytes of a table given to `learn`")
DELIVERY_BYTES = Limit("limit.delivery_bytes", 64 * MIB, "bytes of a delivery")
DELIVERY_FILES = Limit("limit.delivery_files", 500, "files of a delivery")
DELIVERY_ROWS = Limit("limit.delivery_rows", 100_000, "rows of a delivery")
LINES = Limit("limit.lines", 250_000, "lines of a table")
LINE_BYTES = Limit("limit.line_bytes", 256 * 1024, "bytes of one line")
CELL = Limit("limit.cell", 10_000, "letters of a cell or of a value")
COLUMNS = Limit("limit.columns", 200, "columns of a table, or names of one feature")
POINTS = Limit("limit.points", 50_000, "points of one line on the map")
DEPTH = Limit("limit.depth", 32, "levels of brackets, one inside the other")
DIGITS = Limit("limit.digits", 40, "digits of a number in JSON or TOML")
DOTS = Limit("limit.dots", 8, "dots in one line of a settings file outside quotes")
QUANTITY = Limit("unit.too_long", MOST_LETTERS, "letters of a number with its unit")
SECONDS = Limit("reading.seconds", 60, "seconds of work to read a delivery")
WALL_SECONDS = Limit("reading.seconds", 180, "seconds on the clock to read a delivery")
MEMORY = Limit("reading.memory", 512 * MIB, "bytes of memory to read a delivery")
ANSWER_BYTES = Limit("reading.answer", 256 * MIB, "bytes that the reading gives back")
ALIKE = Limit("told.more_alike", 20, "messages told of one kind, file and column")
TOLD = Limit("told.more", 500, "messages told in all")
VALUE_LETTERS = Limit("", 80, "letters shown of a value")
ACCEPTED_LETTERS = Limit("", 600, "letters shown of what would be accepted")
MESSAGE_LETTERS = Limit("", 1_500, "letters of one message")

STATED = (
    FILE_BYTES, SETTINGS_BYTES, TABLE_BYTES, DELIVERY_BYTES, DELIVERY_FILES,
    DELIVERY_ROWS, LINES, LINE_BYTES, CELL, COLUMNS, POINTS, DEPTH, DIGITS, DOTS,
    QUANTITY, SECONDS, WALL_SECONDS, MEMORY, ANSWER_BYTES, ALIKE, TOLD, VALUE_LETTERS,
    ACCEPTED_LETTERS, MESSAGE_LETTERS,
)  # fmt: skip


def beyond(limit: Limit, found: int, file: str, line: int = 0, **more: str) -> Refused:
    """Return the refusal of what goes beyond a limit: file, place, found, limit."""
    facts = {"found": f"{found:,}", "most": f"{limit.most:,}"}
    return Refused(Problem(limit.id, facts, file, line, **more))


def check_cell(text: str, column: str) -> None:
    """Refuse a text that no cell could hold; ``column`` is where it was to go."""
    if len(text) > CELL.most:
        raise beyond(CELL, len(text), "", column=column)
