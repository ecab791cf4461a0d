"""Opening a sender's file: is it text, is it a table, what sheet is it."""

import csv
import io
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from jointmap.errors import Problem, Refused
from jointmap.exchange.geojson import cells_of, features_of
from jointmap.exchange.sheets import SHEETS, Sheet
from jointmap.incoming import read_json, read_toml, text_of
from jointmap.incoming.size_limits import CELL, COLUMNS, SETTINGS_BYTES, beyond
from jointmap.incoming.text import check_lines
from jointmap.plain_text import as_typed

Row = tuple[int, Mapping[str, str]]


class Table(NamedTuple):
    """The line of the heading, the heading, and the rows below it by line."""

    line: int
    header: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class SentFile:
    """One sender's file, read: its sheet, its heading, its rows by line."""

    name: str
    sheet: Sheet
    header: tuple[str, ...]
    rows: tuple[Row, ...]


def sheet_of(name: str) -> Sheet:
    """Return the sheet that a file's name says it is; raises ``Refused``."""
    stem, dot, end = name.rsplit("/", 1)[-1].lower().rpartition(".")
    words = stem.replace("-", "_")
    named = [s for s in SHEETS if words == s or words.startswith(f"{s}_")]
    fits = [s for s in named if SHEETS[s].suffix == dot + end]
    if named and not fits:
        accepted = SHEETS[max(named, key=len)].suffix
        facts = {"accepted": accepted}
        raise Refused(Problem("file.suffix", facts, file=name, value=dot + end))
    if not fits:
        accepted = ", ".join(f"{s.name}{s.suffix}" for s in SHEETS.values())
        raise Refused(Problem("file.unknown_sheet", {"accepted": accepted}, file=name))
    return SHEETS[max(fits, key=len)]


def read_file(name: str, data: bytes) -> SentFile:
    """Return a file's rows; raises ``Refused`` for the file as a whole."""
    sheet = sheet_of(name)
    found = _READERS[sheet.suffix](name, data)
    _check_header(name, sheet, found)
    return SentFile(name, sheet, found.header, found.rows)


def _csv_rows(name: str, data: bytes) -> Table:
    """Return the rows of a table; blank lines are none, above the heading too."""
    check_lines(name, data)
    text = text_of(name, data)
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        filled = ((reader.line_num, r) for r in reader if any(c.strip() for c in r))
        at, first = next(filled, (1, []))
        if not first:
            raise Refused(Problem("file.empty", file=name))
        header = tuple(h.strip() for h in first)
        _check_commas(name, at, header)
        _check_width(name, at, header)
        rows = [*filled]
    except csv.Error:
        line = reader.line_num
        raise Refused(Problem("file.not_csv", file=name, line=line)) from None
    for line, row in rows:
        if len(row) != len(header):
            counts = {"found": len(row), "expected": len(header)}
            raise Refused(Problem("file.cells", counts, file=name, line=line))
    cells = ((n, map(as_typed, r)) for n, r in rows)
    found = tuple((n, dict(zip(header, r, strict=True))) for n, r in cells)
    _check_cells(name, found)
    return Table(at, header, found)


def _check_width(name: str, line: int, header: tuple[str, ...]) -> None:
    if len(header) > COLUMNS.most:
        raise beyond(COLUMNS, len(header), name, line)


def _check_cells(name: str, rows: tuple[Row, ...], leave_out: str = "") -> None:
    for line, cells in rows:
        for column, text in cells.items():
            if len(text) > CELL.most and column != leave_out:
                raise beyond(CELL, len(text), name, line, column=column)


def _check_commas(name: str, line: int, header: tuple[str, ...]) -> None:
    """Refuse a table that some office programs write: other marks between cells."""
    for mark, words in ((";", "semicolons"), ("\t", "tabs")):
        if len(header) == 1 and mark in header[0]:
            facts = {"found": words}
            raise Refused(Problem("file.not_commas", facts, file=name, line=line))


def _geojson_rows(name: str, data: bytes) -> Table:
    found = read_json(name, text_of(name, data), "file.not_geojson")
    features = enumerate(features_of(name, found), start=1)
    rows = tuple((n, cells_of(name, n, feature, _plain)) for n, feature in features)
    header = tuple(dict.fromkeys(k for _, f in rows for k in f))
    _check_width(name, 1, header)
    _check_cells(name, rows, leave_out="coordinates")
    return Table(1, header, rows)


def _plain(name: str, line: int, label: str, value: object) -> str:
    """Return a value as a cell; raises ``Refused`` for what no cell could hold."""
    if isinstance(value, list | dict):
        raise Refused(Problem("file.not_a_cell", file=name, line=line, column=label))
    text = str(value)
    for word in (label, text):
        if not word.isascii():
            try:
                word.encode()
            except UnicodeEncodeError:
                shown = word.encode("ascii", "backslashreplace").decode()
                raise Refused(
                    Problem("file.half_letter", {}, name, line, value=shown)
                ) from None
    return text


def _toml_rows(name: str, data: bytes) -> Table:
    if len(data) > SETTINGS_BYTES.most:
        raise beyond(SETTINGS_BYTES, len(data), name)
    found = read_toml(name, text_of(name, data), "file.not_toml")
    cells = {k: _plain(name, 1, k, v) for k, v in found.items()}
    return Table(1, tuple(cells), ((1, cells),))


_READERS = {".csv": _csv_rows, ".geojson": _geojson_rows, ".toml": _toml_rows}


def _check_header(name: str, sheet: Sheet, table: Table) -> None:
    line, header, _ = table
    accepted = ", ".join(sheet.accepted)
    times = Counter(header)
    wrong = [
        Problem("file.unknown_column", {"accepted": accepted}, name, line, h, h)
        for h in header
        if h not in sheet.accepted
    ]
    wrong += [
        Problem("file.missing_column", {"found": ", ".join(header)}, name, line, r)
        for r in sheet.required
        if r not in header
    ]
    wrong += [
        Problem("file.column_twice", {}, name, line, h, h)
        for h, count in times.items()
        if count > 1
    ]
    if wrong:
        raise Refused(wrong)
