"""Nothing in a register is overwritten or deleted, by whatever program."""

import pytest
import sqlalchemy as sa

from jointmap.storage.database import writing
from jointmap.storage.guard import missing, put_guard, take_guard
from jointmap.storage.schema import ABOUT, ENTRIES, GUARDED, SITES, table_of
from tests.storage.samples import DAY, NOON, fill, first_delivery, joint, unasked

TESTS = table_of("test")
TOLD = "jointmap: nothing in the register is overwritten or deleted"
ONLY_SQLITE = pytest.mark.parametrize("url", ["sqlite"], indirect=True)
ONLY_POSTGRES = pytest.mark.parametrize("url", ["postgresql"], indirect=True)


@pytest.fixture
def filled(register):
    """A register of two entries in which the joint IJ-1 has two revisions."""
    fill(register, *first_delivery())
    with unasked(register, NOON + DAY, "P1", "correction") as job:
        job.revise(1, joint("IJ-1", remark="corrected"))
    return register


def rows_of(outside):
    return {t.name: outside.execute(sa.select(t)).all() for t in GUARDED}


@pytest.mark.usefixtures("filled")
def test_delete_is_refused(outside):
    for table in (TESTS, ENTRIES, SITES, ABOUT):
        with pytest.raises(sa.exc.DBAPIError, match=TOLD):
            outside.execute(sa.delete(table))


@pytest.mark.usefixtures("filled")
def test_every_update_is_refused(outside):
    before = rows_of(outside)
    for table in (table_of("person"), table_of("joint"), ENTRIES, SITES, ABOUT):
        for column in table.columns:
            new = {"VARCHAR": "x", "BLOB": b"x"}.get(str(column.type), 77)
            change = sa.update(table).values({column.name: new})
            if column.name == "superseded_by":
                continue  # the one that may be filled; see below
            with pytest.raises(sa.exc.DBAPIError, match=TOLD):
                outside.execute(change)
    assert rows_of(outside) == before


@pytest.mark.usefixtures("filled")
def test_the_mark_is_filled_once_and_alone(outside):
    this = sa.update(TESTS).where(TESTS.c.id == 1)
    with pytest.raises(sa.exc.DBAPIError, match=TOLD):
        outside.execute(this.values(superseded_by=3, remark="changed too"))
    with pytest.raises(sa.exc.DBAPIError, match=TOLD):
        outside.execute(this.values(superseded_by=None))
    outside.execute(this.values(superseded_by=3))
    with pytest.raises(sa.exc.DBAPIError, match=TOLD):
        outside.execute(this.values(superseded_by=4))
    with pytest.raises(sa.exc.DBAPIError, match=TOLD):
        outside.execute(this.values(superseded_by=None))


# What of the new row is that of a row which is there: each is a unique index.
SAME = {
    "key": ("id", "revision"),
    "current row": ("id",),
    "place in an entry": ("entry", "position"),
    "tag": ("tag",),
}


@ONLY_SQLITE  # the only one with INSERT OR REPLACE
@pytest.mark.parametrize("same", SAME.values(), ids=list(SAME))
@pytest.mark.usefixtures("filled")
def test_replace_is_refused(outside, same):
    table = table_of("joint")
    before = rows_of(outside)
    row = outside.execute(sa.select(table).where(table.c.id == 2)).mappings().one()
    fresh = {"id": 99, "revision": 7, "entry": 3, "position": 0, "tag": "other"}
    values = {**row, **{k: v for k, v in fresh.items() if k not in same}}
    with pytest.raises(sa.exc.DBAPIError, match=TOLD):
        outside.execute(table.insert().prefix_with("OR REPLACE").values(values))
    assert rows_of(outside) == before


@ONLY_SQLITE
@pytest.mark.parametrize(
    ("table", "same"),
    [(SITES, "code"), (SITES, "site_id"), (ENTRIES, "entry"), (ABOUT, "program")],
    ids=str,
)
@pytest.mark.usefixtures("filled")
def test_replace_of_site_and_entry_is_refused(outside, table, same):
    row = dict(outside.execute(sa.select(table)).mappings().first())
    fresh = {"code": "Y", "site_id": 9} if table is SITES else {}
    values = {**row, **fresh, same: row[same]}
    with pytest.raises(sa.exc.DBAPIError, match=TOLD):
        outside.execute(table.insert().prefix_with("OR REPLACE").values(values))


@ONLY_POSTGRES
@pytest.mark.postgres
@pytest.mark.usefixtures("filled")
def test_truncate_is_refused(outside):
    for table in GUARDED:
        with pytest.raises(sa.exc.DBAPIError, match=TOLD):
            outside.exec_driver_sql(f"TRUNCATE {table.name}")
    # Replication's way around triggers is shut too.
    outside.exec_driver_sql("SET session_replication_role = replica")
    with pytest.raises(sa.exc.DBAPIError, match=TOLD):
        outside.exec_driver_sql("DELETE FROM entry")


@pytest.mark.postgres
def test_an_owner_who_is_no_superuser_has_no_right_either(postgres_url):
    from jointmap.storage import Register

    engine = sa.create_engine(postgres_url, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql("DROP ROLE IF EXISTS keeper")
        connection.exec_driver_sql("CREATE ROLE keeper LOGIN")
        connection.exec_driver_sql("GRANT CREATE ON SCHEMA public TO keeper")
    keeper = postgres_url.replace("jointmap@", "keeper@")
    register = Register.create(keeper, "X", b"k" * 32)
    fill(register, *first_delivery())
    with unasked(register, NOON + DAY, "P1", "correction") as job:
        job.revise(1, joint("IJ-1", remark="corrected"))
    with register.engine.connect() as connection:
        for sql in (
            "DELETE FROM record_test", "UPDATE record_test SET remark = ''",
            "UPDATE entry SET reason = ''", "TRUNCATE record_test",
        ):  # fmt: skip
            with pytest.raises(sa.exc.ProgrammingError, match="permission denied"):
                connection.exec_driver_sql(sql)
            connection.rollback()
    register.close()
    engine.dispose()


def test_a_missing_or_changed_trigger_is_named(register):
    with writing(register.engine) as connection:
        assert missing(connection, GUARDED) == []
        take_guard(connection, [TESTS])
        gone = missing(connection, GUARDED)
        assert len(gone) == 3
        assert all(name.startswith("guard_record_test_") for name in gone)
        put_guard(connection, [TESTS])
        assert missing(connection, GUARDED) == []


@ONLY_POSTGRES
@pytest.mark.postgres
@pytest.mark.usefixtures("register")
def test_a_trigger_switched_off_or_hollowed_out_is_named(outside):
    name = "guard_record_test_delete"
    outside.exec_driver_sql(f"ALTER TABLE record_test DISABLE TRIGGER {name}")
    assert missing(outside, GUARDED) == [name]
    outside.exec_driver_sql(
        "CREATE OR REPLACE FUNCTION jointmap_refuse() RETURNS trigger"
        " LANGUAGE plpgsql AS $$BEGIN RETURN OLD; END$$"
    )
    assert missing(outside, GUARDED) == [name, "jointmap_refuse"]
