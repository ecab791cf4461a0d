"""Opening a sender's file: is it text, is it a table, what sheet is it."""

import csv
import io
import json
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jointmap.errors import Problem, Refused
from jointmap.exchange.sheets import SHEETS, Sheet
from jointmap.plain_text import as_typed

Row = tuple[int, Mapping[str, str]]
# Bytes that open files which are no text: zip (xlsx, docx), pdf, png, jpeg, sqlite.
_BINARY_STARTS = (
    b"PK\x03\x04",
    b"%PDF",
    b"\x89PNG",
    b"\xff\xd8\xff",
    b"SQLite format 3",
)


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
    text = text_of(name, data)
    reader = {".csv": _csv_rows, ".geojson": _geojson_rows, ".toml": _toml_rows}
    header, rows = reader[sheet.suffix](name, text)
    _check_header(name, sheet, header)
    return SentFile(name, sheet, header, rows)


def text_of(name: str, data: bytes) -> str:
    """Return what a file says; raises ``Refused`` for one that is no UTF-8 text."""
    if not data.strip():
        raise Refused(Problem("file.empty", file=name))
    if data.startswith(_BINARY_STARTS) or b"\x00" in data:
        raise Refused(Problem("file.binary", file=name))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        shown = data[error.start : error.start + 4].hex(" ")
        raise Refused(
            Problem(
                "file.encoding", {"bytes": shown}, file=name, line=line, value=shown
            )
        ) from None


def _csv_rows(name: str, text: str) -> tuple[tuple[str, ...], tuple[Row, ...]]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        header = tuple(h.strip() for h in next(reader, []))
        _check_commas(name, header)
        rows = [(reader.line_num, r) for r in reader if any(c.strip() for c in r)]
    except csv.Error as error:
        line = reader.line_num
        facts = {"error": str(error)}
        raise Refused(Problem("file.not_csv", facts, file=name, line=line)) from None
    for line, row in rows:
        if len(row) != len(header):
            counts = {"found": len(row), "expected": len(header)}
            raise Refused(Problem("file.cells", counts, file=name, line=line))
    cells = ((n, map(as_typed, r)) for n, r in rows)
    return header, tuple((n, dict(zip(header, r, strict=True))) for n, r in cells)


def _check_commas(name: str, header: tuple[str, ...]) -> None:
    """Refuse a table that some office programs write: other marks between cells."""
    for mark, words in ((";", "semicolons"), ("\t", "tabs")):
        if len(header) == 1 and mark in header[0]:
            facts = {"found": words}
            raise Refused(Problem("file.not_commas", facts, file=name, line=1))


def _geojson_rows(name: str, text: str) -> tuple[tuple[str, ...], tuple[Row, ...]]:
    try:
        found = json.loads(text)
        features = [_feature(f) for f in found["features"]]
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        facts = {"error": str(error)}
        raise Refused(Problem("file.not_geojson", facts, file=name)) from None
    header = tuple(dict.fromkeys(k for f in features for k in f))
    return header, tuple(enumerate(features, start=1))


def _feature(feature: Mapping[str, Any]) -> dict[str, str]:
    geometry = feature["geometry"]
    if geometry["type"] != "LineString":
        raise ValueError(f"geometry is {geometry['type']}, LineString is accepted")
    pairs = [[float(x), float(y)] for x, y, *_ in geometry["coordinates"]]
    if not pairs[1:] or not all(math.isfinite(v) for p in pairs for v in p):
        raise ValueError("a line has two points or more, each of two plain numbers")
    given = feature["properties"] or {}
    cells = {k: str(v) for k, v in given.items() if v is not None}
    return {**cells, "coordinates": json.dumps(pairs, separators=(",", ":"))}


def _toml_rows(name: str, text: str) -> tuple[tuple[str, ...], tuple[Row, ...]]:
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        facts = {"error": str(error)}
        raise Refused(Problem("file.not_toml", facts, file=name)) from None
    cells = {k: str(v) for k, v in found.items()}
    return tuple(cells), ((1, cells),)


def _check_header(name: str, sheet: Sheet, header: tuple[str, ...]) -> None:
    accepted = ", ".join(sheet.accepted)
    wrong = [
        Problem("file.unknown_column", {"accepted": accepted}, name, 1, h, h)
        for h in header
        if h not in sheet.accepted
    ]
    wrong += [
        Problem("file.missing_column", {"found": ", ".join(header)}, name, 1, r)
        for r in sheet.required
        if r not in header
    ]
    wrong += [
        Problem("file.column_twice", {}, name, 1, h, h)
        for h in dict.fromkeys(header)
        if header.count(h) > 1
    ]
    if wrong:
        raise Refused(wrong)
