"""Proof that one record is in a register: its leaf, the way up, the entry it reaches.

Who holds the proof and a fingerprint of that entry, or of any later one, needs nothing
else to check it.
"""

import hashlib
from dataclasses import dataclass
from itertools import pairwise

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import Problem, WrongUse
from jointmap.register import FORMS, Form
from jointmap.storage.canonical import (
    Plain,
    canonical_bytes,
    entry_line,
    leaf_values,
    plain,
)
from jointmap.storage.entries import Entry, entry_values, read_entries_from
from jointmap.storage.hash_tree import inclusion_proof, leaf_hash, root_by_proof
from jointmap.storage.past_forms import older_bytes
from jointmap.storage.schema import table_of


@dataclass(frozen=True, slots=True)
class Proof:
    """What the leaf was made from, where it stands, the hashes beside its way up.

    ``chain`` runs from the entry that holds the record to the last one, so that any
    fingerprint taken since will do.
    """

    site_code: str
    canonical: bytes
    position: int
    path: tuple[bytes, ...]
    chain: tuple[Entry, ...]

    @property
    def entry(self) -> Entry:
        """The entry that holds the record."""
        return self.chain[0]

    @property
    def lines(self) -> tuple[str, ...]:
        """What the hash of each entry is made of, in order."""
        return tuple(
            entry_line(_facts(self.site_code, e), e.root, e.previous)
            for e in self.chain
        )

    @property
    def holds(self) -> bool:
        """Whether the record leads to its entry's root, and that to the last hash."""
        leaf, count = leaf_hash(self.canonical), self.entry.row_count
        if root_by_proof(leaf, self.position, count, self.path) != self.entry.root:
            return False
        made = [hashlib.sha256(line.encode()).digest() for line in self.lines]
        follow = all(a.hash == b.previous for a, b in pairwise(self.chain))
        return follow and made == [e.hash for e in self.chain]


def _facts(site_code: str, entry: Entry) -> list[Plain]:
    facts = (plain(entry.recorded_at), entry.recorded_by, entry.reason)
    return entry_values(site_code, entry.entry, *facts, entry.row_count)


def prove_record(
    connection: Connection, site: tuple[int, str], kind: str, id_: int, revision: int
) -> Proof:
    """Return the proof of one revision of a record; withheld values stay salted hashes.

    ``site`` is its id and code. Raises ``WrongUse`` where there is no such revision.
    """
    site_id, code = site
    table = table_of(kind)
    this = (table.c.site_id == site_id) & (table.c.id == id_)
    query = sa.select(table).where(this, table.c.revision == revision)
    row = connection.execute(query).mappings().first()
    if row is None:
        raise WrongUse(Problem("storage.no_revision", {"revision": revision}))
    leaves = _leaves_of(connection, site_id, row["entry"])
    path = tuple(inclusion_proof(leaves, row["position"]))
    chain = tuple(read_entries_from(connection, site_id, row["entry"]))
    return Proof(code, _canonical(FORMS[kind], row), row["position"], path, chain)


def _canonical(form: Form, row: sa.RowMapping) -> bytes:
    """Return the bytes that the row's leaf is the hash of, if any are."""
    salts = {c.name: row[f"{c.name}_salt"] for c in form.columns if c.withheld}
    values = leaf_values(form, [row[c.name] for c in form.columns], salts)
    which = row["id"], row["revision"]
    newest = canonical_bytes(form, *which, values)
    older = older_bytes(form, which, values)
    made = (data for data in older if leaf_hash(data) == row["leaf"])
    return newest if leaf_hash(newest) == row["leaf"] else next(made, newest)


def _leaves_of(connection: Connection, site_id: int, entry: int) -> list[bytes]:
    found: dict[int, bytes] = {}
    for kind in FORMS:
        table = table_of(kind)
        here = (table.c.site_id == site_id) & (table.c.entry == entry)
        rows = connection.execute(sa.select(table.c.position, table.c.leaf).where(here))
        found.update({position: bytes(leaf) for position, leaf in rows})
    return [found[position] for position in sorted(found)]
