"""A stranger's checker, written from ``docs/reference/chain_bytes.md`` alone.

Nothing of the program is imported: only what any language has (SHA-256, HMAC, SQLite,
text). Numbers and text are written out by the page's own rules, not by ``json``.

``python -m tests.storage.stranger PAGE REGISTER``
"""

import hashlib
import hmac
import json
import re
import sqlite3
import struct
import sys
from collections.abc import Iterator
from pathlib import Path

_ROW = re.compile(r"\| `(?P<kind>\w+)` \| (?P<form>\d+) \| `(?P<columns>[^`]+)` \|")
_ESCAPES = {
    '"': '\\"', "\\": "\\\\", "\b": "\\b", "\f": "\\f", "\n": "\\n", "\r": "\\r",
    "\t": "\\t",
}  # fmt: skip

Forms = dict[tuple[str, int], list[str]]


def forms_on(page: str) -> Forms:
    """Return the column lists that the page tells, by kind and form."""
    rows = (m for m in _ROW.finditer(page))
    return {(m["kind"], int(m["form"])): m["columns"].split() for m in rows}


def written(value: object) -> str:
    """Return a value as the page says it is written."""
    if value is None:
        return "null"
    if isinstance(value, str):
        return '"' + "".join(map(_character, value)) + '"'
    if isinstance(value, list):
        return "[" + ",".join(map(written, value)) + "]"
    if isinstance(value, int):
        return "%d" % value  # noqa: UP031
    return _number(value)


def _character(c: str) -> str:
    return _ESCAPES.get(c) or (f"\\u{ord(c):04x}" if c < " " else c)


def _digits(value: float, count: int) -> tuple[str, int] | None:
    """Return ``count`` digits that give the double again, and the first one's power."""
    mantissa, _, exponent = f"{value:.{count - 1}e}".partition("e")
    nearest, n = int(mantissa.replace(".", "")), int(exponent)
    # At a power of two the nearest may be another double, and the next not.
    for whole in (nearest, nearest + 1, nearest - 1):
        if whole >= 0 and float(f"{whole}e{n - count + 1}") == value:
            n += len(str(whole)) - count
            return str(whole).rstrip("0") or "0", n
    return None


def _number(value: float) -> str:
    """Write the fewest digits that give the same double, found by trying."""
    sign = "-" if struct.pack(">d", value)[0] & 0x80 else ""
    digits, n = next(filter(None, (_digits(abs(value), c) for c in range(1, 18))))
    if not -4 <= n <= 15:
        rest = f".{digits[1:]}" if digits[1:] else ""
        return f"{sign}{digits[0]}{rest}e{'-' if n < 0 else '+'}{abs(n):02d}"
    if n < 0:
        return f"{sign}0.{'0' * (-n - 1)}{digits}"
    digits = digits.ljust(n + 1, "0")
    return f"{sign}{digits[: n + 1]}.{digits[n + 1 :] or '0'}"


def sha256(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()


def root_of(leaves: list[bytes]) -> bytes:
    if len(leaves) == 1:
        return leaves[0]
    half = 1
    while half * 2 < len(leaves):
        half *= 2
    return sha256(b"\x01" + root_of(leaves[:half]) + root_of(leaves[half:]))


def check(path: Path, page: str) -> tuple[list[str], list[str]]:
    """Return what is wrong with a register, and the fingerprint of each site."""
    db = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    db.row_factory = sqlite3.Row
    sites = db.execute("SELECT * FROM register_site ORDER BY site_id").fetchall()
    forms = forms_on(page)
    wrong = [fault for site in sites for fault in _told(db, site, forms)]
    newest = "SELECT max(entry), hash FROM entry WHERE site_id = ?"
    heads = [db.execute(newest, (site["site_id"],)).fetchone() for site in sites]
    prints = [f"{entry}-{digest.hex()}" for entry, digest in heads if entry]
    db.close()
    return wrong, prints


def _told(db: sqlite3.Connection, site: sqlite3.Row, forms: Forms) -> Iterator[str]:
    """Yield the faults of a site; a value of no such type or form is one, too."""
    try:
        yield from _site_faults(db, site, forms)
    except (AttributeError, TypeError, ValueError) as odd:
        yield f"a value that is none: {odd}"


def _site_faults(
    db: sqlite3.Connection, site: sqlite3.Row, forms: Forms
) -> Iterator[str]:
    own = "SELECT * FROM {} WHERE site_id = ?"
    number = (site["site_id"],)
    tables = {r["name"] for r in db.execute("SELECT name FROM sqlite_master")}
    rows: dict[int, list[tuple[str, sqlite3.Row]]] = {}
    for kind in {kind for kind, _ in forms}:
        if f"record_{kind}" not in tables:
            continue
        found = db.execute(own.format(f"record_{kind}"), number).fetchall()
        yield from _mark_faults(kind, found)
        for row in found:
            rows.setdefault(row["entry"], []).append((kind, row))
    previous, before, stated_before = bytes(32), 0, False
    for entry in db.execute(own.format("entry") + " ORDER BY entry", number):
        name = f"entry {entry['entry']}"
        held = rows.pop(entry["entry"], [])
        if entry["entry"] != before + 1 or entry["previous"] != previous:
            yield f"{name}: does not follow"
        if sha256(_line(site["code"], entry).encode()) != entry["hash"]:
            yield f"{name}: hash"
        if stated_before and _of(entry, "forms") is None:
            yield f"{name}: states no forms"
        yield from _row_faults(name, site["key"], entry, held, forms)
        previous, before = entry["hash"], entry["entry"]
        stated_before = stated_before or _of(entry, "forms") is not None
    yield from (f"entry {number}: is not there" for number in rows)


def _line(code: str, entry: sqlite3.Row) -> str:
    added = [_of(entry, n) for n in ("machine_at", "training_on", "forms")]
    form = 1 if added == [None, None, None] else 2
    names = ("entry", "recorded_at", "recorded_by", "reason", "row_count")
    facts = ["entry", form, code, *(entry[n] for n in names)]
    ends = [entry["root"].hex(), entry["previous"].hex()]
    return written([*facts, *(added if form == 2 else []), *ends])


def _of(row: sqlite3.Row, name: str) -> object:
    return row[name] if name in row.keys() else None  # noqa: SIM118


def _row_faults(
    name: str,
    key: bytes,
    entry: sqlite3.Row,
    held: list[tuple[str, sqlite3.Row]],
    forms: Forms,
) -> Iterator[str]:
    held.sort(key=lambda pair: pair[1]["position"])
    kinds = sorted({kind for kind, _ in held})
    stated = dict.fromkeys(kinds, 1)
    if _of(entry, "forms") is not None:
        stated = json.loads(entry["forms"])
        if sorted(stated) != kinds:
            yield f"{name}: kinds"
    for place, (kind, row) in enumerate(held):
        if row["position"] != place:
            yield f"{name}: position {place}"
        columns = forms.get((kind, stated.get(kind, 0)))
        if columns is None or _leaf(kind, stated[kind], columns, key, row) is None:
            yield f"{name}: {kind} {row['id']}: not of its form"
        elif _leaf(kind, stated[kind], columns, key, row) != row["leaf"]:
            yield f"{name}: {kind} {row['id']} revision {row['revision']}: leaf"
    if len(held) != entry["row_count"]:
        yield f"{name}: row count"
    elif root_of([row["leaf"] for _, row in held]) != entry["root"]:
        yield f"{name}: root"


def _leaf(
    kind: str, form: int, columns: list[str], key: bytes, row: sqlite3.Row
) -> bytes | None:
    """Return the leaf of a row; None where it holds what its form does not know."""
    lead = {"site_id", "id", "revision", "entry", "position", "leaf", "superseded_by"}
    known = lead | {c.rstrip("*") for c in columns}
    known |= {f"{c[:-1]}_salt" for c in columns if c.endswith("*")}
    if any(row[n] is not None for n in set(row.keys()) - known):
        return None
    values: list[object] = []
    for column in columns:
        name = column.rstrip("*")
        value = row[name]
        if column.endswith("*"):
            place = written([kind, row["id"], row["revision"], name]).encode()
            salt = hmac.new(key, place, hashlib.sha256)
            if salt.hexdigest() != row[f"{name}_salt"]:
                return b""
            value = sha256(salt.digest() + written(value).encode()).hex()
        values.append(value)
    line = written([kind, form, row["id"], row["revision"], *values])
    return sha256(b"\x00" + line.encode())


def _mark_faults(kind: str, rows: list[sqlite3.Row]) -> Iterator[str]:
    by_revision = {(row["id"], row["revision"]): row for row in rows}
    for (id_, revision), row in by_revision.items():
        following = by_revision.get((id_, revision + 1))
        if row["superseded_by"] != (following and following["entry"]):
            yield f"{kind} {id_} revision {revision}: mark"
        if revision > 1 and (id_, revision - 1) not in by_revision:
            yield f"{kind} {id_} revision {revision}: the one before is missing"


if __name__ == "__main__":
    found, fingerprints = check(Path(sys.argv[2]), Path(sys.argv[1]).read_text("utf-8"))
    print("\n".join(found + fingerprints))  # noqa: T201
    sys.exit(4 if found else 0)
