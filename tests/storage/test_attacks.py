"""Sixty and more designed attacks on each database: found, with the right name."""

import re
from dataclasses import replace

import pytest
import sqlalchemy as sa

from jointmap.errors import JointmapError
from jointmap.storage import Register
from jointmap.storage.database import trying
from jointmap.storage.guard import put_guard, take_guard
from jointmap.storage.schema import ENTRIES, GUARDED, SITES, table_of
from jointmap.storage.verifying.checking import check_seen, unreadable_site
from jointmap.wording.problems import line_of
from tests.storage import attacks
from tests.storage.samples import (
    DAY,
    KEY,
    NOON,
    fill,
    first_delivery,
    joint,
    person,
    reading,
)

pytestmark = pytest.mark.unmeasured

ON = {
    "sqlite": {
        "other_key": "x'" + "07" * 32 + "'",
        "short_key": "x'07'",
        "changed": "altered",
    },
    "postgresql": {
        "other_key": "decode(repeat('07', 32), 'hex')",
        "short_key": "decode('07', 'hex')",
        "changed": "foreign",
    },
}


_STATEMENTS = re.compile(r";\s+(?=[A-Z]{4})")  # not before END


def filled(register):
    """A register of four entries, as ``attacks`` speaks of it."""
    fill(register, *first_delivery())
    for number in (1, 2):
        with register.write(NOON + number * DAY, "P1", "correction") as job:
            job.revise(1, joint("IJ-1", remark=f"corrected {number}"))
    fill(register, person("P3", full_name="Third"), now=NOON + 3 * DAY)
    return register


def words_for(dialect):
    """What the SQL of an attack leaves open."""
    own = [c.name for c in table_of("boundary").columns][7:]
    entry = [c.name for c in ENTRIES.columns][2:]
    listed = {"own": own, "entry": entry}
    return ON[dialect] | {k: ", ".join(f'"{n}"' for n in v) for k, v in listed.items()}


def said_of(register, connection, against=None):
    """What ``verify`` would say, as one connection sees the register."""
    wrong = unreadable_site(connection, register.site_code)
    if wrong:
        return wrong
    row = connection.execute(sa.select(SITES).filter_by(code="X")).one()
    seen = replace(register, site_id=row.site_id, key=row.key)
    return check_seen(seen, connection, None, against).problems


def attacked(register, attack, words):
    """What is said after an attack, which is taken back afterwards."""
    with trying(register.engine) as connection:
        is_object = attack.named.startswith(("object", "guard"))
        # A table loses no column while a trigger speaks of it.
        tables = [t for t in GUARDED if t.name in attack.sql]
        if not is_object or "DROP COLUMN" in attack.sql:
            take_guard(connection, tables)
        for statement in _STATEMENTS.split(attack.sql.format(**words)):
            connection.exec_driver_sql(statement)
        if not is_object:
            put_guard(connection, tables)
        return said_of(register, connection)


def names(problems):
    return [problem.id.removeprefix("verify.") for problem in problems]


@pytest.fixture(scope="module")
def on_sqlite(tmp_path_factory):
    folder = tmp_path_factory.mktemp("attacked")
    made = filled(Register.create(f"sqlite:///{folder}/register.sqlite", "X", KEY))
    yield made
    made.close()


ON_SQLITE = attacks.ANYWHERE | attacks.SQLITE
ON_POSTGRES = attacks.ANYWHERE | attacks.POSTGRES


def missed(register, table):
    """Return the attacks that were not named as they should be, and what was said."""
    words = words_for(register.engine.dialect.name)
    found = {}
    for title, attack in table.items():
        try:
            problems = attacked(register, attack, words)
        except (JointmapError, sa.exc.SQLAlchemyError) as error:
            found[title] = [str(error)]
            continue
        named = attack.named.format(**words)
        lines = [line_of(p) for p in problems]
        if named not in names(problems) or not any(
            attack.part in line for line in lines
        ):
            found[title] = lines
    return found


def test_on_sqlite(on_sqlite):
    assert len(ON_SQLITE) >= 60
    assert missed(on_sqlite, ON_SQLITE) == {}
    with on_sqlite.looking() as connection:
        assert said_of(on_sqlite, connection) == ()


@pytest.mark.postgres
def test_on_postgres(postgres_url):
    register = filled(Register.create(postgres_url, "X", KEY))
    assert len(ON_POSTGRES) >= 60
    assert missed(register, ON_POSTGRES) == {}
    with register.looking() as connection:
        assert said_of(register, connection) == ()
    register.close()


def test_what_only_a_kept_fingerprint_finds(url, second_url):
    """As listed in docs/explanation/record_chain.md."""
    register = filled(Register.create(url, "X", KEY))
    with register.read() as state:
        kept, first = state.last.fingerprint, state.entries[0].fingerprint
    shorter = Register.create(second_url, "X", KEY)
    fill(shorter, *first_delivery())
    with shorter.looking() as connection:
        # The end cut off, or an older copy put in its place.
        assert said_of(shorter, connection) == ()
        assert names(said_of(shorter, connection, kept)) == ["tail_cut"]
        assert said_of(shorter, connection, first) == ()
    for number in range(3):
        fill(shorter, reading(1, NOON.date(), 7e6, line_id=f"{number}"))
    with shorter.looking() as connection:
        # Written anew from some entry on, by the program itself or one like it.
        assert said_of(shorter, connection) == ()
        assert names(said_of(shorter, connection, kept)) == ["rewritten"]
    for one in (register, shorter):
        one.close()
