"""Proof that one record is in a register: its leaf, the way up, the entry it reaches.

Who holds the proof and a fingerprint of that entry needs nothing else to check it.
"""

from dataclasses import dataclass

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import Problem, WrongUse
from jointmap.register import FORMS
from jointmap.storage.canonical import canonical_bytes, entry_hash, leaf_values, plain
from jointmap.storage.entries import Entry, entry_values, read_entry
from jointmap.storage.hash_tree import inclusion_proof, leaf_hash, root_by_proof
from jointmap.storage.schema import table_of


@dataclass(frozen=True, slots=True)
class Proof:
    """What the leaf was made from, where it stands, the hashes beside its way up."""

    site_code: str
    canonical: bytes
    position: int
    path: tuple[bytes, ...]
    entry: Entry

    @property
    def holds(self) -> bool:
        """Whether the record leads to the entry's root, and that to its hash."""
        entry = self.entry
        leaf = leaf_hash(self.canonical)
        root = root_by_proof(leaf, self.position, entry.row_count, self.path)
        facts = (plain(entry.recorded_at), entry.recorded_by, entry.reason)
        values = entry_values(self.site_code, entry.entry, *facts, entry.row_count)
        made = entry_hash(values, entry.root, entry.previous)
        return root == entry.root and made == entry.hash


def prove_record(
    connection: Connection, site: tuple[int, str], kind: str, id_: int, revision: int
) -> Proof:
    """Return the proof of one revision of a record; withheld values stay salted hashes.

    ``site`` is its id and code. Raises ``WrongUse`` where there is no such revision.
    """
    site_id, code = site
    table, form = table_of(kind), FORMS[kind]
    this = (table.c.site_id == site_id) & (table.c.id == id_)
    row = (
        connection.execute(sa.select(table).where(this, table.c.revision == revision))
        .mappings()
        .first()
    )
    if row is None:
        raise WrongUse(Problem("storage.no_record", {"kind": kind}))
    values = [row[c.name] for c in form.columns]
    salts = {c.name: row[f"{c.name}_salt"] for c in form.columns if c.withheld}
    data = canonical_bytes(form, id_, revision, leaf_values(form, values, salts))
    leaves = _leaves_of(connection, site_id, row["entry"])
    path = tuple(inclusion_proof(leaves, row["position"]))
    entry = read_entry(connection, site_id, row["entry"])
    return Proof(code, data, row["position"], path, entry)


def _leaves_of(connection: Connection, site_id: int, entry: int) -> list[bytes]:
    found: dict[int, bytes] = {}
    for kind in FORMS:
        table = table_of(kind)
        here = (table.c.site_id == site_id) & (table.c.entry == entry)
        rows = connection.execute(sa.select(table.c.position, table.c.leaf).where(here))
        found.update({position: bytes(leaf) for position, leaf in rows})
    return [found[position] for position in sorted(found)]
