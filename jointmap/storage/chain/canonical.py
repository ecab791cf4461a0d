"""Canonical bytes of a record and of an entry.

The bytes are made from the record, never from what a database driver returns.
"""

import datetime as dt
import hashlib
import hmac
import json
from collections.abc import Mapping, Sequence

from jointmap.register import Column, Form

Plain = str | int | float | None

_json = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode


def plain(value: object) -> Plain:
    """Return a field's value as it is written in canonical form and in SQL."""
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, dt.datetime):
        return value.strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    if isinstance(value, dt.date):
        return value.isoformat()
    if value is None or isinstance(value, int | float):
        return value
    return str(value)


def canonical_of(
    kind: str, form: int, id_: int, revision: int, values: Sequence[Plain]
) -> bytes:
    """Return the UTF-8 JSON array that a record's leaf is the hash of."""
    return _json((kind, form, id_, revision, *values)).encode()


def canonical_bytes(
    form: Form, id_: int, revision: int, values: Sequence[Plain]
) -> bytes:
    """Return the canonical bytes of a record of the newest ``form``."""
    return canonical_of(form.kind, form.number, id_, revision, values)


def salt_of(key: bytes, kind: str, id: int, revision: int, field: str) -> str:  # noqa: A002
    """Return the salt (hex) under which one withheld value enters its leaf."""
    place = json.dumps([kind, id, revision, field], separators=(",", ":"))
    return hmac.new(key, place.encode(), hashlib.sha256).hexdigest()


def salted(salt: str, value: Plain) -> str:
    """Return what stands in the leaf for a withheld value: SHA-256(salt || value)."""
    return hashlib.sha256(bytes.fromhex(salt) + _json(value).encode()).hexdigest()


def leaf_values(
    columns: Sequence[Column], values: Sequence[Plain], salts: Mapping[str, str]
) -> list[Plain]:
    """Return ``values`` with each withheld one replaced by its salted hash."""
    return [
        salted(salts[c.name], v) if c.withheld else v
        for c, v in zip(columns, values, strict=True)
    ]


def entry_line(values: Sequence[Plain], root: bytes, previous: bytes) -> str:
    """Return the JSON array that an entry's hash is made of."""
    return _json([*values, root.hex(), previous.hex()])


def entry_hash(values: Sequence[Plain], root: bytes, previous: bytes) -> bytes:
    """Return the hash that chains one entry to the one before."""
    return hashlib.sha256(entry_line(values, root, previous).encode()).digest()
