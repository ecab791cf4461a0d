"""Roots and inclusion proofs against published values and another library's."""

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.errors import WrongUse
from jointmap.register import Person
from jointmap.storage.chain.hash_tree import (
    GrowingTree,
    inclusion_proof,
    leaf_hash,
    root_by_proof,
    tree_root,
)
from jointmap.storage.verifying.proof import prove_record
from tests.storage.samples import DAY, NOON, fill, first_delivery, joint, unasked

VALUES = Path(__file__).parents[1] / "published_values"
INPUTS = [
    bytes.fromhex(h)
    for h in (
        "", "00", "10", "2021", "3031", "40414243", "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]  # fmt: skip


def rows_of(name):
    text = (VALUES / name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def path_in(row):
    return [bytes.fromhex(h) for h in row["path"].split(";") if h]


@pytest.mark.parametrize(
    "row", rows_of("inclusion_proofs.csv"), ids=lambda r: r["count"]
)
def test_published_proofs(row):
    position, count = int(row["position"]), int(row["count"])
    leaves = [leaf_hash(data) for data in INPUTS[:count]]
    assert inclusion_proof(leaves, position) == path_in(row)
    found = root_by_proof(leaves[position], position, count, path_in(row))
    assert found == tree_root(leaves)


def test_another_librarys_roots_and_proofs():
    for row in rows_of("merkle_library.csv"):
        position, count = int(row["position"]), int(row["count"])
        leaves = [leaf_hash(f"row {n}".encode()) for n in range(count)]
        assert tree_root(leaves).hex() == row["root"]
        # The library tells the hashes of a way up from left to right, we from the leaf.
        assert set(inclusion_proof(leaves, position)) == set(path_in(row))


@pytest.mark.parametrize("count", [0, 1, 2, 1023, 1024, 1025, 2047, 3072, 5000])
def test_a_growing_tree_has_the_same_root(count):
    leaves = [leaf_hash(bytes([n % 251, n // 251])) for n in range(count)]
    tree = GrowingTree()
    for leaf in leaves:
        tree.push(leaf)
    assert (tree.count, tree.root()) == (count, tree_root(leaves))


@given(st.integers(1, 90), st.data())
def test_every_proof_holds_for_its_leaf_alone(count, data):
    leaves = [leaf_hash(f"{n}".encode()) for n in range(count)]
    root = tree_root(leaves)
    position = data.draw(st.integers(0, count - 1))
    path = inclusion_proof(leaves, position)
    assert root_by_proof(leaves[position], position, count, path) == root
    other = data.draw(st.integers(0, count - 1))
    if other != position:
        assert root_by_proof(leaves[other], position, count, path) != root
        assert root_by_proof(leaves[position], other, count, path) != root
    assert root_by_proof(leaves[position], position, count, [*path, root]) is None
    if path:
        assert root_by_proof(leaves[position], position, count, path[:-1]) is None
    assert root_by_proof(leaves[position], count, count, path) is None


def test_no_proof_of_what_is_not_there():
    for position in (-1, 1):
        with pytest.raises(IndexError):
            inclusion_proof([leaf_hash(b"")], position)


def test_any_record_of_a_register_can_be_proved(register):
    fill(register, *first_delivery())
    with unasked(register, NOON + DAY, "P1", "correction") as job:
        job.revise(1, joint("IJ-1", remark="corrected"))
    site = (register.site_id, register.site_code)
    with register.read() as state:
        for kind, revision, entry in (
            ("joint", 2, 2),
            ("joint", 1, 1),
            ("person", 1, 1),
        ):
            proof = prove_record(state.connection, site, kind, 1, revision)
            assert proof.holds
            assert proof.entry == state.entries[entry - 1]
            spoilt = proof.canonical.replace(b"1", b"2")
            assert not replace(proof, canonical=spoilt).holds
            assert not replace(proof, site_code="Y").holds
        # A withheld value is not in what is handed over.
        name = state.records(Person)[1].full_name
        assert (
            name.encode()
            not in prove_record(state.connection, site, "person", 1, 1).canonical
        )
        with pytest.raises(WrongUse):
            prove_record(state.connection, site, "joint", 1, 9)
