"""Tables made step by step are those that the program makes at once."""

import csv
import hashlib
from pathlib import Path

import pytest
import sqlalchemy as sa

from jointmap.errors import BrokenRegister, WrongUse
from jointmap.storage import Register, migrations
from jointmap.storage.database import open_engine, sqlite_url, writing
from jointmap.storage.guard import missing, present
from jointmap.storage.migrations import migrate
from jointmap.storage.migrations.frozen import read_tables, table_rows
from jointmap.storage.objects.compared import object_faults
from jointmap.storage.opening import upgrade_tables
from jointmap.storage.schema import GUARDED, SCHEMA_VERSION, SITES
from jointmap.storage.verifying.checking import check_register
from tests.storage.samples import KEY, fill, first_delivery

VERSIONS = Path(migrations.__file__).parent / "versions"
FIRST = VERSIONS / "v0001_first_release.csv"
FIRST_SHA256 = "0cea909831a5297d7f0a69c1c11f382019ffe98fd4befb24259984a318fe7412"
BEFORE = ["0003", "0004", "0005", "0006"]  # indexes, columns, a table since
STEP = f"""
import sqlalchemy as sa
from alembic import op
from jointmap.storage.guard import put_guard, take_guard

revision, down_revision = "9999", "{SCHEMA_VERSION}"


def upgrade():
    connection = op.get_bind()
    metadata = sa.MetaData()
    metadata.reflect(connection, only=["record_person"])
    table = metadata.tables["record_person"]
    take_guard(connection, [table])
    op.add_column("record_person", sa.Column("nickname", sa.String()))
    table.append_column(sa.Column("nickname", sa.String()))
    put_guard(connection, [table])
"""


def shape_of(connection):
    """Return columns, keys, indexes and triggers, whatever order they were made in."""
    inspector = sa.inspect(connection)
    found = {}
    for name in inspector.get_table_names():
        columns = inspector.get_columns(name)
        found[name] = (
            sorted((c["name"], str(c["type"]), c["nullable"]) for c in columns),
            inspector.get_pk_constraint(name)["constrained_columns"],
            sorted(map(_index, inspector.get_indexes(name))),
            sorted(map(str, inspector.get_unique_constraints(name))),
        )
    return found, present(connection)


def _index(index):
    where = [
        str(v) for k, v in index.get("dialect_options", {}).items() if "where" in k
    ]
    return index["name"], index["column_names"], bool(index["unique"]), where


def test_the_first_release_never_changes():
    """What a register was made with is as it was; a later step adds to it."""
    assert hashlib.sha256(FIRST.read_bytes()).hexdigest() == FIRST_SHA256


def test_tables_written_as_data_read_back_the_same(tmp_path):
    """What a step that adds tables is made with."""
    with (tmp_path / "tables.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(table_rows(list(GUARDED)))
    shapes = []
    for name, tables in (("a", GUARDED), ("b", read_tables(tmp_path / "tables.csv"))):
        engine = open_engine(sqlite_url(tmp_path / name))
        with writing(engine) as connection:
            for table in tables:
                table.create(connection)
            shapes.append(shape_of(connection))
        engine.dispose()
    assert shapes[0] == shapes[1]


def test_steps_give_what_is_made_at_once(url, second_url):
    at_once = Register.create(url, "X", b"k" * 32)
    by_steps = open_engine(second_url)
    with writing(by_steps) as connection:
        migrate(connection)
        assert missing(connection, GUARDED) == []
        stepwise = shape_of(connection)
    with writing(at_once.engine) as connection:
        assert shape_of(connection) == stepwise
    assert Register.create(second_url, "Y", b"k" * 32).site_id == 1
    by_steps.dispose()
    at_once.close()


def test_the_newest_step_is_the_programs_version():
    numbers = [p.stem[1:5] for p in VERSIONS.glob("v[0-9]*.py")]
    assert max(numbers) == SCHEMA_VERSION
    assert read_tables(FIRST)[0].name == "about"


def test_a_later_step_keeps_rows_and_guard(register, tmp_path):
    fill(register, *first_delivery())
    (tmp_path / "more").mkdir()
    (tmp_path / "more" / "v9999_nickname.py").write_text(STEP)
    with writing(register.engine) as connection:
        before = connection.exec_driver_sql("SELECT leaf FROM record_person").all()
        migrate(connection, more=tmp_path / "more")
        assert (
            connection.exec_driver_sql("SELECT leaf FROM record_person").all() == before
        )
        metadata = sa.MetaData()
        metadata.reflect(connection)
        tables = [metadata.tables[t.name] for t in GUARDED]
        assert missing(connection, tables) == []
    with register.engine.begin() as connection:
        with pytest.raises(sa.exc.DBAPIError, match="jointmap: nothing"):
            connection.exec_driver_sql("UPDATE record_person SET nickname = 'x'")
        connection.rollback()
    with pytest.raises(WrongUse, match="newer"):
        Register.open(register.engine.url.render_as_string(False), "X")
    with pytest.raises(WrongUse, match="newer"):
        upgrade_tables(register.engine)


@pytest.mark.parametrize("before", BEFORE)
def test_a_register_of_the_version_before_is_brought_along_and_verifies(url, before):
    engine = open_engine(url)
    with writing(engine) as connection:
        migrate(connection, before)
        connection.execute(SITES.insert().values(site_id=1, code="X", key=KEY))
    fill(Register(engine, 1, "X", KEY), *first_delivery())
    with writing(engine) as connection:
        assert not any(object_faults(connection, before))
        wanting = [*object_faults(connection)]
    # The rules have learned since from when a law binds; a table came, with its guard.
    since = ("record_rule", "record_altered")
    older = [f for f in wanting if not any(name in f.called for name in since)]
    indexes = set() if before in {"0005", "0006"} else {("object_missing", "index")}
    assert {(f.name, f.what) for f in older} == indexes
    assert len(older) < len(wanting)
    assert upgrade_tables(engine) == (before, SCHEMA_VERSION)
    register = Register.open(url, "X")
    assert check_register(register).problems == ()
    register.close()
    engine.dispose()


def test_upgrading_what_is_up_to_date_changes_nothing(register):
    assert upgrade_tables(register.engine) == (SCHEMA_VERSION, SCHEMA_VERSION)


def test_upgrading_without_a_guard_is_refused(register, outside):
    on = "" if outside.dialect.name == "sqlite" else " ON entry"
    outside.exec_driver_sql(f"DROP TRIGGER guard_entry_delete{on}")
    with pytest.raises(BrokenRegister, match="no_guard"):
        upgrade_tables(register.engine)


def test_a_database_of_another_program_is_refused(url, outside):
    outside.exec_driver_sql("CREATE TABLE stock (item INTEGER)")
    with pytest.raises(BrokenRegister, match="not_a_register"):
        Register.create(url, "X", b"k" * 32)
    with pytest.raises(BrokenRegister, match="not_a_register"):
        Register.open(url, "X")
    with pytest.raises(BrokenRegister, match="not_a_register"):
        upgrade_tables(open_engine(url))


def test_tables_of_our_names_by_another_program_are_refused(url, outside):
    outside.exec_driver_sql("CREATE TABLE about (program VARCHAR, more INTEGER)")
    outside.exec_driver_sql("CREATE TABLE alembic_version (version_num VARCHAR)")
    outside.exec_driver_sql("CREATE TABLE register_site (code VARCHAR)")
    for _ in range(2):
        with pytest.raises(BrokenRegister, match="not_a_register"):
            Register.open(url, "X")
        outside.exec_driver_sql("INSERT INTO about VALUES ('stock', 1)")
