"""Canonical bytes of a record, its leaf, and the hash tree over a transaction.

Tree hashing follows RFC 9162 section 2.1.1 (0x00 before a leaf, 0x01 before a node).
The bytes are made from the record, never from what a database driver returns.
"""

import datetime as dt
import hashlib
import hmac
import json
from collections.abc import Mapping, Sequence

from jointmap.register import Form

Plain = str | int | float | None


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


def canonical_bytes(
    form: Form, id: int, revision: int, values: Sequence[Plain]  # noqa: A002
) -> bytes:
    """Return the UTF-8 JSON array that a record's leaf is the hash of."""
    row = [form.kind, form.number, id, revision, *values]
    return json.dumps(row, ensure_ascii=False, separators=(",", ":")).encode()


def salt_of(key: bytes, kind: str, id: int, revision: int, field: str) -> str:  # noqa: A002
    """Return the salt (hex) under which one withheld value enters its leaf."""
    place = json.dumps([kind, id, revision, field], separators=(",", ":"))
    return hmac.new(key, place.encode(), hashlib.sha256).hexdigest()


def salted(salt: str, value: Plain) -> str:
    """Return what stands in the leaf for a withheld value: SHA-256(salt || value)."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(bytes.fromhex(salt) + text.encode()).hexdigest()


def leaf_values(
    form: Form, values: Sequence[Plain], salts: Mapping[str, str]
) -> list[Plain]:
    """Return ``values`` with each withheld one replaced by its salted hash."""
    return [
        salted(salts[c.name], v) if c.withheld else v
        for c, v in zip(form.columns, values, strict=True)
    ]


def leaf_hash(data: bytes) -> bytes:
    """Return the 32-byte hash of one leaf."""
    return hashlib.sha256(b"\x00" + data).digest()


def tree_root(leaves: Sequence[bytes]) -> bytes:
    """Return the root over ``leaves``; of none, the hash of nothing.

    The tree is built level by level: an odd last node moves up unchanged, which gives
    the same root as the recursive definition of RFC 9162.
    """
    level = list(leaves)
    if not level:
        return hashlib.sha256(b"").digest()
    while len(level) > 1:
        pairs = zip(level[::2], level[1::2], strict=False)
        above = [hashlib.sha256(b"\x01" + a + b).digest() for a, b in pairs]
        level = above + level[len(above) * 2 :]
    return level[0]


def entry_hash(values: Sequence[Plain], root: bytes, previous: bytes) -> bytes:
    """Return the hash that chains one entry to the one before."""
    row = [*values, root.hex(), previous.hex()]
    text = json.dumps(row, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).digest()
