"""A register of very many joints, put into SQLite without the chain of a real one.

One made-up site is written as the program writes it; then the database copies it,
moved aside, as often as asked. Only for reading at size: the chain does not verify.
"""

import json
import sqlite3

from jointmap.acceptance import limit_in_force
from jointmap.hazard.failure_model import default_prior, to_json
from jointmap.intervals import rule_in_force
from jointmap.register import FORMS, Model
from jointmap.register.codes import Mark
from jointmap.storage import Register
from jointmap.storage.chain.canonical import plain
from jointmap.storage.schema import table_of
from jointmap.tables import LIMITS
from jointmap.tables.interval_rules import RULES
from tests.storage.samples import KEY, NOON, unasked
from tests.synthetic import FIRST_FITTED, synthetic_site

COPIED = (
    "structure", "source", "boundary", "joint", "position", "device", "installation",
    "path", "test",
)  # fmt: skip
NAMED = ("name", "tag")
# Further apart than any two places of one site.
ASIDE_DEG = 0.05


def large_register(path, joints, tests_each, copies, *, model=False, line=None):
    """Make a register of ``joints * copies`` joints; returns it opened.

    All joints lie on the line of the site if ``line``, its points, is given.
    """
    site = synthetic_site(joints, tests_each, 7)
    if line is not None:
        site.columns["line"]["coordinates"] = [json.dumps(line)]
        site.columns["joint"]["line_id"] = [1] * joints
    register = Register.create(f"sqlite:///{path}", "SYN", KEY)
    with unasked(register, NOON, "T1", "made up") as job:
        for kind in FORMS:
            if kind in site.columns:
                own = ([plain(v) for v in row] for row in site.rows(kind))
                job.add_plain(kind, map(tuple, own))
    since = FIRST_FITTED.astype(object)
    with unasked(register, NOON, "T1", "rules") as job:
        for name, rule in RULES.items():
            if rule.subject != "site" and not name.startswith("ccr"):
                job.add(rule_in_force(name, since))
        for name in LIMITS:
            job.add(limit_in_force(name, since))
        if model:
            numbers = to_json(default_prior())
            facts = {"source": "made up", "mark": Mark.OWNER_CHOICE}
            job.add(Model(name="prior", from_on=since, numbers=numbers, **facts))
    register.close()
    _copied(path, site.counts, copies)
    return Register.open(f"sqlite:///{path}", "SYN")


def _copied(path, counts, copies):
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA synchronous = off")
    triggers = connection.execute(
        "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
    )
    for name, _ in triggers.fetchall():
        connection.execute(f'DROP TRIGGER "{name}"')
    for kind in COPIED:
        for copy in range(1, copies):
            connection.execute(_copy_of(kind, counts, copy))
    connection.commit()
    connection.execute("ANALYZE")
    connection.close()


def _copy_of(kind, counts, copy):
    table = table_of(kind)
    refers = {c.name: c.refers for c in FORMS[kind].columns}
    names = [c.name for c in table.columns]
    own = [_moved(kind, n, refers.get(n, ""), counts, copy) for n in names]
    quoted = ", ".join(f'"{n}"' for n in names)
    return (
        f"INSERT INTO {table.name} ({quoted}) "  # noqa: S608
        f"SELECT {', '.join(own)} FROM {table.name} WHERE id <= {counts[kind]}"
    )


def _moved(kind, name, refers, counts, copy):
    column = f'"{name}"'
    if name in ("id", "position"):
        return f"{column} + {copy * counts[kind]}"
    if name in NAMED:
        return f"{column} || '/{copy}'"
    if name == "latitude_deg":
        return f"{column} + {copy * ASIDE_DEG}"
    if refers in COPIED or name == "subject_id":
        return f"{column} + {copy * counts[refers or 'joint']}"
    return column
