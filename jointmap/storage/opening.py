"""Making a register's tables, knowing them again, bringing older ones up to date."""

import sqlalchemy as sa
from sqlalchemy.engine import Connection, Engine

from jointmap.errors import BrokenRegister, JointmapError, Problem, WrongUse
from jointmap.storage.database import open_engine, reading, writing
from jointmap.storage.guard import missing, put_guard
from jointmap.storage.place_named import place_of
from jointmap.storage.schema import (
    ABOUT,
    PROGRAM,
    SCHEMA_VERSION,
    SITES,
    VERSION,
)

# Any number will do, as long as it is always the same one.
_MAKING = 0x6A6D61
_MOST = 20  # objects that are named


def add_site(connection: Connection, code: str, key: bytes) -> int:
    """Add an empty site and return its id; makes the tables in an empty database.

    Raises ``WrongUse`` where a site has this code, ``BrokenRegister`` where the
    database holds something else.
    """
    if connection.dialect.name == "postgresql":
        lock = sa.func.pg_advisory_xact_lock(_MAKING)
        connection.execute(sa.select(lock))
    if sa.inspect(connection).get_table_names():
        check_tables(connection)
    else:
        _create_tables(connection)
    codes = connection.execute(sa.select(SITES.c.site_id, SITES.c.code)).all()
    if code in [row.code for row in codes]:
        facts = {"code": code, "place": place_of(connection.engine.url)}
        raise WrongUse(Problem("storage.site_there", facts))
    site_id = max((row.site_id for row in codes), default=0) + 1
    values = {"site_id": site_id, "code": code, "key": key}
    connection.execute(SITES.insert().values(values))
    return int(site_id)


def _create_tables(connection: Connection) -> None:
    from jointmap.storage.schema import GUARDED, METADATA

    METADATA.create_all(connection)
    connection.execute(ABOUT.insert().values(program=PROGRAM))
    connection.execute(VERSION.insert().values(version_num=SCHEMA_VERSION))
    put_guard(connection, GUARDED)


def check_schema(engine: Engine) -> None:
    """Refuse a database that is not a register of this program and version."""
    with reading(engine) as connection:
        check_tables(connection)


def codes_in(url: str) -> list[str]:
    """Return the codes of all sites in a database."""
    with reading(open_engine(url)) as connection:
        return list(connection.execute(sa.select(SITES.c.code)).scalars())


def check_tables(connection: Connection) -> None:
    """Refuse tables of another program, or of another version of this one."""
    place = place_of(connection.engine.url)
    found = version_of(connection)
    if found == SCHEMA_VERSION:
        return
    facts = {"place": place, "found": found, "known": SCHEMA_VERSION}
    refusals: tuple[str, type[JointmapError]]
    if not found:
        refusals = "storage.not_a_register", BrokenRegister
    elif found > SCHEMA_VERSION:
        refusals = "storage.newer", WrongUse
    else:
        refusals = "storage.older", WrongUse
    name, kind = refusals
    raise kind(Problem(name, facts))


def version_of(connection: Connection) -> str:
    """Return the number of the last migration, or nothing where this is no register."""
    names = set(sa.inspect(connection).get_table_names())
    if not {ABOUT.name, VERSION.name, SITES.name} <= names:
        return ""
    about = connection.execute(sa.text("SELECT * FROM about")).mappings().first()
    if about is None or about.get("program") != PROGRAM:
        return ""
    return str(connection.execute(sa.select(VERSION.c.version_num)).scalar() or "")


def upgrade_tables(engine: Engine) -> tuple[str, str]:
    """Bring an older register up to date; return the versions before and after.

    Raises ``BrokenRegister`` for what is no register, ``WrongUse`` for a newer.
    """
    # What only reads rows needs neither indexes nor what objects are compared with.
    from jointmap.storage.objects.compared import object_faults
    from jointmap.storage.schema import GUARDED

    with writing(engine) as connection:
        before = version_of(connection)
        if before and before < SCHEMA_VERSION:
            wrong = [*object_faults(connection, before)]
            if wrong:
                raise BrokenRegister([fault.problem for fault in wrong[:_MOST]])
            # Alembic takes long to load, and only this needs it.
            from jointmap.storage.migrations import migrate

            migrate(connection)
        check_tables(connection)
        gone = missing(connection, GUARDED)
        if gone:
            facts = {"place": place_of(engine.url), "name": gone[0]}
            raise BrokenRegister(Problem("storage.no_guard", facts))
    return before, SCHEMA_VERSION
