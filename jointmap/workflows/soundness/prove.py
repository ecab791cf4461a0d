"""The proof that a record is in the register, as data that anyone can check."""

from jointmap.changes.rows.find_record import any_kind_called, key_of, record_called
from jointmap.errors import BrokenRegister, Problem
from jointmap.plain_text import json_text
from jointmap.register import FORMS
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage.known import Current
from jointmap.storage.verifying.proof import Proof, prove_record

_LEAD = ("kind", "form", "id", "revision")


def proof_text(
    site: SiteFolder, kind: str, key: str, revision: int | None = None
) -> str:
    """Return the proof of a record's newest revision, or of an earlier one, as JSON.

    Raises ``WrongUse`` for no such record or revision, ``BrokenRegister`` where the
    record is not what the chain says.
    """
    register, kind = site.register, any_kind_called(kind)
    with register.looking() as connection:
        known = Current(connection, register.site_id)
        id_ = record_called(known, kind, key)
        newest, record = known.known(kind).by_id[id_]
        number = newest if revision is None else revision
        whose = (register.site_id, register.site_code)
        proof = prove_record(connection, whose, kind, id_, number)
        facts = {
            "entry": proof.entry.entry,
            "kind": kind.replace("_", " "),
            "key": key_of(known, record),
            "revision": number,
        }
    if not proof.holds:
        raise BrokenRegister(Problem("verify.row", facts))
    return json_text(facts | _data(kind, proof), indent=1) + "\n"


def _data(kind: str, proof: Proof) -> dict[str, object]:
    columns = FORMS[kind].columns
    return {
        "columns": [*_LEAD, *(c.name for c in columns)],
        "salted": [c.name for c in columns if c.withheld],
        "record": proof.canonical.decode(),
        "position": proof.position,
        "path": [step.hex() for step in proof.path],
        "root": proof.entry.root.hex(),
        "chain": list(proof.lines),
        "fingerprint": proof.chain[-1].fingerprint,
    }
