"""Canonical bytes, leaves, salts and roots."""

import csv
import datetime as dt
import hashlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.register import Boundary, Position, form_of
from jointmap.register.codes import Purpose, Subject
from jointmap.storage.chain.canonical import (
    canonical_bytes,
    leaf_values,
    plain,
    salt_of,
    salted,
)
from jointmap.storage.chain.hash_tree import leaf_hash, tree_root

ROOTS = Path(__file__).parents[2] / "published_values" / "merkle_roots.csv"
# The eight inputs that published trees over 1 to 8 leaves are made from.
INPUTS = [
    bytes.fromhex(h)
    for h in (
        "", "00", "10", "2021", "3031", "40414243", "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]  # fmt: skip


def rows_of(path):
    """Return the rows of a table of published values."""
    return list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", rows_of(ROOTS), ids=lambda r: r["leaves"])
def test_published_roots(row):
    leaves = [leaf_hash(data) for data in INPUTS[: int(row["leaves"])]]
    assert tree_root(leaves).hex() == row["root"]


def recursive_root(leaves):
    """The definition of RFC 9162 2.1.1, word for word."""
    if not leaves:
        return hashlib.sha256(b"").digest()
    if len(leaves) == 1:
        return leaves[0]
    split = 1
    while split * 2 < len(leaves):
        split *= 2
    left, right = recursive_root(leaves[:split]), recursive_root(leaves[split:])
    return hashlib.sha256(b"\x01" + left + right).digest()


@given(st.lists(st.binary(min_size=32, max_size=32), max_size=70))
def test_root_by_levels_equals_the_recursive_definition(leaves):
    assert tree_root(leaves) == recursive_root(leaves)


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (None, None),
        (True, 1),
        (False, 0),
        (3, 3),
        (1e16, 1e16),
        (dt.date(2026, 5, 15), "2026-05-15"),
        (dt.datetime(2026, 5, 15, 9, tzinfo=dt.UTC), "2026-05-15T09:00:00.000000Z"),
        (Purpose.SHIP_SHORE, "ship/shore"),
    ],
)
def test_plain_values(value, expected):
    found = plain(value)
    assert found == expected
    assert type(found) is type(expected)


def test_canonical_bytes_are_one_json_array():
    record = Boundary(
        name="Kp-ü", structure_a_id=1, structure_b_id=2, purpose=Purpose.PROTECTION
    )
    form = form_of(Boundary)
    data = canonical_bytes(form, 7, 2, [plain(v) for v in record.values()])
    expected = '["boundary",1,7,2,"Kp-ü",1,2,"protection","",null,null,"","","",""]'
    assert data == expected.encode()


def test_withheld_values_stand_salted_in_the_leaf():
    form = form_of(Position)
    record = Position(
        subject=Subject.JOINT, subject_id=1, captured_crs="EPSG:4326", latitude_deg=31.5
    )
    names = [c.name for c in form.columns if c.withheld]
    salts = {n: salt_of(b"k" * 32, "position", 1, 1, n) for n in names}
    values = leaf_values(form.columns, [plain(v) for v in record.values()], salts)
    place = [c.name for c in form.columns].index("latitude_deg")
    assert names == ["latitude_deg", "longitude_deg", "captured_x", "captured_y"]
    assert len(set(salts.values())) == len(names)
    assert values[place] == salted(salts["latitude_deg"], 31.5)
    assert 31.5 not in values
    wanted = hashlib.sha256(bytes.fromhex(salts["latitude_deg"]) + b"31.5").hexdigest()
    assert values[place] == wanted
