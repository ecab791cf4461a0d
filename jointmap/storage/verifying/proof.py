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
from jointmap.storage.chain.canonical import canonical_of, leaf_values
from jointmap.storage.chain.entries import Entry, read_entries_from
from jointmap.storage.chain.hash_tree import inclusion_proof, leaf_hash, root_by_proof
from jointmap.storage.chain.past_forms import columns_then, forms_in
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
        return tuple(e.line(self.site_code) for e in self.chain)

    @property
    def holds(self) -> bool:
        """Whether the record leads to its entry's root, and that to the last hash."""
        leaf, count = leaf_hash(self.canonical), self.entry.row_count
        if root_by_proof(leaf, self.position, count, self.path) != self.entry.root:
            return False
        made = [hashlib.sha256(line.encode()).digest() for line in self.lines]
        follow = all(a.hash == b.previous for a, b in pairwise(self.chain))
        return follow and made == [e.hash for e in self.chain]


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
    number = forms_in(chain[0].forms).get(kind, 0)
    data = _canonical(FORMS[kind], number, row)
    return Proof(code, data, row["position"], path, chain)


def _canonical(form: Form, number: int, row: sa.RowMapping) -> bytes:
    """Return the bytes that the row's leaf must be the hash of, by its entry's form."""
    names = columns_then(form, number) or ()
    columns = [c for c in form.columns if c.name in names]
    salts = {c.name: row[f"{c.name}_salt"] for c in columns if c.withheld}
    values = leaf_values(columns, [row[c.name] for c in columns], salts)
    by_name = dict(zip((c.name for c in columns), values, strict=True))
    inside = [by_name[name] for name in names]
    return canonical_of(form.kind, number, row["id"], row["revision"], inside)


def _leaves_of(connection: Connection, site_id: int, entry: int) -> list[bytes]:
    found: dict[int, bytes] = {}
    for kind in FORMS:
        table = table_of(kind)
        here = (table.c.site_id == site_id) & (table.c.entry == entry)
        rows = connection.execute(sa.select(table.c.position, table.c.leaf).where(here))
        found.update({position: bytes(leaf) for position, leaf in rows})
    return [found[position] for position in sorted(found)]
