"""Deliveries of the sample, changed at random: a change knows what a file is made of.

Chance comes from a seed: the same seed and number give the same bytes.
"""

import json
import random
import re
from collections.abc import Callable, Mapping
from pathlib import PurePosixPath

from tests.fuzz.cut_sample import rows_of, text_of

MOST_ROWS = 8
SOUND_SHARE = 0.75
NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?![0-9-])")
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
VALUES = (
    "", " ", "0", "-1", "1e308", "-1e308", "1e-320", "NaN", "inf", "-0.0", "9" * 30,
    "9" * 4301, "1_000", "\u0661\u0662", "0x10", "1e7 km", "1e300 km", "-5 m",
    "> 999 Mohm", "< 1 ohm", "5 ohm", "1/0 in", "1/3 in", "OL", "100000",
    "0001-01-01", "9999-12-31",
    "2026-02-30", "1900-01-01", "2126-01-01", "0001-01-01T00:00:00Z",
    "9999-12-31T23:59:59-14:00", "2025-03-01T09:00:00Z", "yes", "no", "YES", "J-1",
    "IJ-001", "ij-001", "IJ-00\u200b1", "\u0399J-001", "IJ-001\u202e", "\x1b[2J",
    "\x07", "'", '"', "a,b", "a\nb", "=1+1", "{{7*191}}", "{% raw %}", "<script>",
    "%s%n", "\\",
    "EPSG:4326", "EPSG:99999", "EPSG:5773", "+proj=longlat", "IAU_2015:49900", "\ufeff",
    "x" * 5000, "x" * 10_001, "#REF!", "n/a", "-", "None", "null", "[]", "{}", "true",
    "mon-fri", "25:00", "24:00", "02-30", "in duty", "removed", "../../etc/passwd",
)  # fmt: skip
Rows = list[list[str]]


def _anywhere(chance: random.Random, rows: Rows) -> tuple[int, int]:
    row = chance.randrange(len(rows) > 1, len(rows))
    return row, chance.randrange(len(rows[row])) if rows[row] else 0


def poison(chance: random.Random, rows: Rows) -> None:
    row, cell = _anywhere(chance, rows)
    if rows[row]:
        rows[row][cell] = chance.choice(VALUES)


def digit(chance: random.Random, rows: Rows) -> None:
    row, cell = _anywhere(chance, rows)
    places = [n for n, c in enumerate(rows[row][cell]) if c.isdigit()]
    if places:
        text, at = rows[row][cell], chance.choice(places)
        rows[row][cell] = text[:at] + chance.choice("0123456789.-e ") + text[at + 1 :]


def exchanged(chance: random.Random, rows: Rows) -> None:
    (a, b), (c, d) = _anywhere(chance, rows), _anywhere(chance, rows)
    rows[a][b], rows[c][d] = rows[c][d], rows[a][b]


def row_twice(chance: random.Random, rows: Rows) -> None:
    rows.append(list(chance.choice(rows)))


def of_the_column(chance: random.Random, rows: Rows) -> None:
    row, cell = _anywhere(chance, rows)
    other = chance.choice(rows[1:] or rows)
    if cell < min(len(rows[row]), len(other)):
        rows[row][cell] = other[cell]


def scaled(chance: random.Random, rows: Rows) -> None:
    filled = [
        (n, m)
        for n, row in enumerate(rows[1:], start=1)
        for m, text in enumerate(row)
        if NUMBER.match(text)
    ]
    if filled:
        row, cell = chance.choice(filled)
        found = NUMBER.match(rows[row][cell])
        value = float(found[0]) * chance.choice((-1, 0, 10, 1e-3, 1e3, 1e6, 1e12, 2))
        rows[row][cell] = f"{value:.10g}{rows[row][cell][found.end() :]}"


def row_like_another(chance: random.Random, rows: Rows) -> None:
    if rows[1:]:
        rows.append(list(chance.choice(rows[1:])))
        last = [[], rows[-1]]
        for change in chance.sample((named_anew, digit, scaled, day_moved), 2):
            change(chance, last)


def named_anew(chance: random.Random, rows: Rows) -> None:
    rows[-1][0] += chance.choice("'7x-")


def day_moved(chance: random.Random, rows: Rows) -> None:
    for row in rows[1:]:
        for cell, text in enumerate(row):
            if DAY.fullmatch(text) and chance.random() < 0.5:
                row[cell] = (
                    text[:5] + f"{chance.randint(1, 12):02}-{chance.randint(1, 28):02}"
                )


def row_gone(chance: random.Random, rows: Rows) -> None:
    if len(rows) > 1:
        del rows[chance.randrange(len(rows))]


def row_short(chance: random.Random, rows: Rows) -> None:
    del chance.choice(rows)[-1:]


def column_twice(chance: random.Random, rows: Rows) -> None:
    at = chance.randrange(len(rows[0]))
    for row in rows:
        row.append(row[at] if at < len(row) else "")


def column_gone(chance: random.Random, rows: Rows) -> None:
    at = chance.randrange(len(rows[0]))
    for row in rows:
        del row[at : at + 1]


def column_blank(chance: random.Random, rows: Rows) -> None:
    at = chance.randrange(len(rows[0]))
    for row in rows[1:]:
        row[at : at + 1] = [chance.choice(("", *VALUES))]


def heading_other(chance: random.Random, rows: Rows) -> None:
    at = chance.randrange(len(rows[0]))
    words = ("colour", "", rows[0][at].upper(), f" {rows[0][at]} ", "correction_reason")
    rows[0][at] = chance.choice(words)


def reason(_: random.Random, rows: Rows) -> None:
    if "correction_reason" not in rows[0]:
        for number, row in enumerate(rows):
            row.append("tried" if number else "correction_reason")


# What leaves a table a table: most of it gets to the register.
SOUND = (
    poison, digit, of_the_column, of_the_column, scaled, scaled, row_like_another,
    row_like_another, row_gone, day_moved,
)  # fmt: skip
OF_ROWS = (
    *SOUND, exchanged, row_twice, row_short, column_twice, column_gone, column_blank,
    heading_other,
)  # fmt: skip


def truncated(chance: random.Random, data: bytes) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def flipped(chance: random.Random, data: bytes) -> bytes:
    at = chance.randrange(len(data) or 1)
    return data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]


def inserted(chance: random.Random, data: bytes) -> bytes:
    at = chance.randrange(len(data) + 1)
    pieces = (
        b'"', b"\x00", b"\xff", b"\r", b"\n", b"\xef\xbb\xbf", b",", b";", b"\t",
        b"[" * 99, b"{" * 1200, b"1" * 4301, b"NaN", b'"\\ud800"',
        b"a.b.c.d.e.f.g.h.i.j.k=1\n",
        b"'''", b"\\", b"\xed\xa0\x80", b"=" * 9, b"-Infinity", b"1e999",
    )  # fmt: skip
    return data[:at] + chance.choice(pieces) + data[at:]


def encoded(chance: random.Random, data: bytes) -> bytes:
    text = data.decode("utf-8", "replace")
    codec = chance.choice(("utf-16", "utf-16-be", "utf-8-sig", "cp1252", "utf-7"))
    return text.encode(codec, "replace")


def other_ends(chance: random.Random, data: bytes) -> bytes:
    return data.replace(b"\n", chance.choice((b"\r\n", b"\r", b"\n\n", b"\n\r")))


def other_marks(chance: random.Random, data: bytes) -> bytes:
    return data.replace(b",", chance.choice((b";", b"\t", b", ", b'","')))


OF_BYTES = (truncated, flipped, inserted, encoded, other_ends, other_marks)


def _odd_value(chance: random.Random) -> object:
    plain = (None, True, 0, -1, 1e308, 10**60, [], {}, [[1, 2]], {"a": [1]})
    return chance.choice((*plain, *VALUES))


def _changed(chance: random.Random, value: object, depth: int = 0) -> object:
    """Return JSON with one node replaced, doubled or taken out."""
    if (
        isinstance(value, dict | list)
        and value
        and (depth < 2 or chance.random() < 0.7)
    ):
        keys = list(value) if isinstance(value, dict) else list(range(len(value)))
        key = chance.choice(keys)
        found = value.copy()
        if chance.random() < 0.08:
            del found[key]  # type: ignore[arg-type]
        elif isinstance(found, list) and chance.random() < 0.08:
            found.append(found[key])  # type: ignore[index]
        else:
            found[key] = _changed(chance, found[key], depth + 1)  # type: ignore[index]
        return found
    return _odd_value(chance)


def _of_json(chance: random.Random, data: bytes) -> bytes:
    found = json.loads(data)
    for _ in range(chance.randint(1, 3)):
        found = _changed(chance, found)
    return json.dumps(found, ensure_ascii=chance.random() < 0.5).encode()


def _of_toml(chance: random.Random, data: bytes) -> bytes:
    lines = data.decode().splitlines()
    at = chance.randrange(len(lines))
    key = lines[at].partition("=")[0]
    values = (
        '"x"',
        "1",
        "1e400",
        "nan",
        "[1]",
        "{a=1}",
        "2026-01-01",
        "true",
        '"""',
        "",
    )
    lines[at] = f"{key}= {chance.choice((*values, json.dumps(chance.choice(VALUES))))}"
    if chance.random() < 0.2:
        lines.append(lines[at])
    return ("\n".join(lines) + "\n").encode()


def _of_table(chance: random.Random, data: bytes) -> bytes:
    head, *rows = rows_of(data)
    chance.shuffle(rows)
    table = [head, *rows[: chance.randint(1, MOST_ROWS)]]
    ways = SOUND if chance.random() < SOUND_SHARE else OF_ROWS
    for _ in range(chance.randint(1, 4)):
        if all(table):
            chance.choice(ways)(chance, table)
    if chance.random() < SOUND_SHARE:
        reason(chance, table)
    return text_of(table)


_BY_END: dict[str, Callable[[random.Random, bytes], bytes]] = {
    ".csv": _of_table,
    ".geojson": _of_json,
    ".toml": _of_toml,
}


def delivery(files: Mapping[str, bytes], seed: int, number: int) -> dict[str, bytes]:
    """Return one changed delivery: names and bytes of one file, or of two."""
    chance = random.Random(f"{seed}:{number}")  # noqa: S311
    names = sorted(files)
    made = {}
    for name in chance.sample(names, chance.choice((1, 1, 1, 2))):
        path = PurePosixPath(name)
        data = _BY_END[path.suffix](chance, files[name])
        if chance.random() > SOUND_SHARE:
            data = chance.choice(OF_BYTES)(chance, data)
        made[path.name] = data
    return made
