"""A fingerprint names one state of a register: entry number and hash."""

import re

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import Problem, WrongUse
from jointmap.storage.schema import ENTRIES

_SHAPE = re.compile(r"([1-9][0-9]{0,17})-([0-9a-f]{64})")


def parsed(fingerprint: str) -> tuple[int, bytes]:
    """Return entry number and hash; raises ``WrongUse`` for what is no fingerprint."""
    found = _SHAPE.fullmatch(fingerprint.strip().lower())
    if found is None:
        raise WrongUse(Problem("verify.no_fingerprint", value=fingerprint))
    return int(found[1]), bytes.fromhex(found[2])


def difference(
    connection: Connection, site_id: int, fingerprint: str
) -> tuple[str, dict[str, object]] | None:
    """Return how the register differs from ``fingerprint``, None where it holds it.

    A register that ends before it lost its tail; one with another hash there was
    rewritten, or is another register.
    """
    number, digest = parsed(fingerprint)
    here = ENTRIES.c.site_id == site_id
    last = sa.select(sa.func.max(ENTRIES.c.entry)).where(here)
    found = sa.select(ENTRIES.c.hash).where(here, ENTRIES.c.entry == number)
    stored = connection.execute(found).scalar()
    if stored is None:
        facts = {"entry": number, "last": connection.execute(last).scalar() or 0}
        return "tail_cut", facts
    return None if stored == digest else ("rewritten", {"entry": number})
