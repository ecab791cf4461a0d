"""Going through a whole register, and telling in a person's words what is wrong."""

import itertools
import sqlite3
from collections.abc import Generator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import Problem
from jointmap.storage.fingerprints import difference
from jointmap.storage.naming import key_text
from jointmap.storage.pages import page_faults, read_any_text
from jointmap.storage.register_file import Register
from jointmap.storage.verify import Fault, Verified, attachment_faults, verify

MOST = 20  # faults that are named; the first ones tell the story


@dataclass(frozen=True, slots=True)
class Checked:
    """How much was gone through, the head of the chain, and what is wrong."""

    entries: int
    rows: int
    fingerprint: str
    problems: tuple[Problem, ...]


def check_register(
    register: Register, folder: Path | None = None, against: str | None = None
) -> Checked:
    """Return what is wrong with a register: guard, chain, marks, files, fingerprint.

    ``folder`` is the site folder that holds the attached files. At most ``MOST``
    problems are named. Raises ``WrongUse`` for a fingerprint that is none.
    """
    done = Verified()
    with register.looking() as connection:
        read_any_text(connection)
        with closing(_problems(register, connection, folder, done)) as told:
            problems = [*itertools.islice(told, MOST)]
        if against is not None:
            found = difference(connection, register.site_id, against)
            if found is not None:
                problems.insert(0, Problem(f"verify.{found[0]}", found[1]))
    fingerprint = f"{done.number}-{done.hash.hex()}" if done.number else ""
    return Checked(done.entries, done.rows, fingerprint, tuple(problems))


def _problems(
    register: Register, connection: Connection, folder: Path | None, done: Verified
) -> Generator[Problem]:
    said = [*page_faults(connection)]
    yield from (Problem("verify.pages", {"said": line}) for line in said)
    site = (register.site_id, register.site_code, register.key)
    try:
        for fault in verify(connection, *site, done):
            yield _told(register, connection, fault)
    except (sqlite3.DatabaseError, sa.exc.DatabaseError):
        if not said:
            raise
        return  # the pages that cannot be read are named already
    if folder is not None:
        for fault in attachment_faults(connection, register.site_id, folder):
            yield _told(register, connection, fault)


def _told(register: Register, connection: Connection, fault: Fault) -> Problem:
    key = " ".join(map(str, fault.key))
    if fault.kind:
        key = key_text(connection, register.site_id, fault.kind, fault.key)
    facts = {
        "entry": fault.entry,
        "kind": fault.kind.replace("_", " "),
        "key": key,
        "revision": fault.revision,
    }
    return Problem(f"verify.{fault.name}", facts)
