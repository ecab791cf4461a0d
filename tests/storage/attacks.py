"""Designed attacks on a stored register by somebody with the database in hand.

Each is SQL that is run with the guard taken off and put back, and the name that must
stand among what ``verify`` says. The register is that of ``filled`` in
``test_attacks``: entry 1 a delivery, 2 and 3 corrections of joint 1, 4 a person.
"""

from typing import NamedTuple


class Attack(NamedTuple):
    """What is done, what must be named, and part of the name."""

    sql: str
    named: str
    part: str = ""


# Values, rows, marks.
ROWS = {
    "a text": Attack("UPDATE record_test SET remark = 'x' WHERE id = 2", "row", "IJ-2"),
    "a number by its last digit": Attack(
        "UPDATE record_test SET reading_ohm = 5000000.000000001 WHERE id = 1", "row"
    ),
    "nothing becomes something": Attack(
        "UPDATE record_joint SET post_kilometre = 0.0 WHERE id = 2", "row"
    ),
    "something becomes nothing": Attack(
        "UPDATE record_test SET reading_ohm = NULL WHERE id = 1", "row"
    ),
    "a day": Attack(
        "UPDATE record_test SET tested_on = '2026-07-01' WHERE id = 1", "row"
    ),
    "a name that may be left out": Attack(
        "UPDATE record_person SET full_name = 'Other' WHERE id = 1", "row", "P1"
    ),
    "a salt": Attack(
        "UPDATE record_person SET contact_salt = full_name_salt WHERE id = 1", "salt"
    ),
    "a leaf": Attack("UPDATE record_joint SET leaf = root FROM entry", "row"),
    "a row taken out": Attack("DELETE FROM record_structure WHERE id = 1", "position"),
    "the last row of an entry, and its count": Attack(
        "DELETE FROM record_person WHERE entry = 4;"
        " UPDATE entry SET row_count = 0 WHERE entry = 4",
        "entry_hash",
    ),
    "a row of no entry": Attack(
        "UPDATE record_person SET entry = 9 WHERE entry = 4", "no_entry"
    ),
    "a row moved to another entry": Attack(
        "UPDATE record_person SET entry = 3, position = 7 WHERE entry = 4", "position"
    ),
    "two rows change places": Attack(
        "UPDATE record_structure SET position = 99 WHERE position = 3;"
        " UPDATE record_structure SET position = 3 WHERE position = 4;"
        " UPDATE record_structure SET position = 4 WHERE position = 99",
        "entry_root",
    ),
    "another id": Attack("UPDATE record_device SET id = 9 WHERE id = 2", "row"),
    "another revision": Attack(
        "UPDATE record_device SET revision = 2 WHERE id = 2", "row"
    ),
    "a correction taken out": Attack(
        "DELETE FROM record_joint WHERE revision = 2", "entry_count"
    ),
    "a mark emptied": Attack(
        "UPDATE record_joint SET superseded_by = 9 WHERE revision = 3;"
        " UPDATE record_joint SET superseded_by = NULL WHERE revision = 1 AND id = 1",
        "mark",
    ),
    "a mark on what stands": Attack(
        "UPDATE record_device SET superseded_by = 2 WHERE id = 2", "mark"
    ),
    "a mark of another entry": Attack(
        "UPDATE record_joint SET superseded_by = 4 WHERE revision = 1 AND id = 1",
        "mark",
    ),
    "a row copied": Attack(
        "INSERT INTO record_boundary SELECT site_id, 7, 1, entry, position + 90, leaf,"
        " superseded_by, {own} FROM record_boundary",
        "position",
    ),
    "rows under another site number": Attack(
        "UPDATE record_boundary SET site_id = 7", "stray_rows", "record_boundary 7"
    ),
}

# What an entry says of itself.
ENTRIES = {
    f"{column} of an entry: {value}": Attack(
        f"UPDATE entry SET {column} = {value} WHERE entry = 2",  # noqa: S608
        named,
    )
    for column, value, named in (
        ("reason", "'another'", "entry_hash"),
        ("recorded_by", "'P2'", "entry_hash"),
        ("recorded_at", "'2026-01-02T12:00:00.000001Z'", "entry_hash"),
        ("machine_at", "'2026-01-01T12:00:00.000000Z'", "entry_hash"),
        ("training_on", "'2026-01-02'", "entry_training"),
        ("row_count", "2", "entry_count"),
        ("root", "previous", "entry_root"),
        ("previous", "root", "entry_previous"),
        ("hash", "root", "entry_hash"),
        ("forms", "'{{\"joint\":2}}'", "form"),
        ("forms", "'{{}}'", "form"),
        ("forms", "NULL", "entry_hash"),
    )
} | {
    "an entry stripped to the form before": Attack(
        "UPDATE entry SET forms = NULL, machine_at = NULL, training_on = NULL"
        " WHERE entry = 2",
        "entry_forms",
    ),
    "an entry taken out": Attack("DELETE FROM entry WHERE entry = 2", "entry_missing"),
    "two entries change numbers": Attack(
        "UPDATE entry SET entry = 9 WHERE entry = 2;"
        " UPDATE entry SET entry = 2 WHERE entry = 3;"
        " UPDATE entry SET entry = 3 WHERE entry = 9",
        "entry_previous",
    ),
    "an entry of no rows": Attack(
        "INSERT INTO entry SELECT site_id, 5, {entry} FROM entry WHERE entry = 4",
        "entry_count",
    ),
}

# The row of the site, and what the database says of itself.
SITES = {
    "the site renumbered": Attack("UPDATE register_site SET site_id = 2", "stray_rows"),
    "the site taken out": Attack("DELETE FROM register_site", "site_code", "X"),
    "the site's code": Attack("UPDATE register_site SET code = 'Y'", "site_code", "X"),
    "the site's key": Attack("UPDATE register_site SET key = {other_key}", "salt"),
    "no key": Attack("UPDATE register_site SET key = {short_key}", "site_key", "X"),
    "an older version": Attack(
        "UPDATE alembic_version SET version_num = '0001'", "version", "0001"
    ),
    "a newer version": Attack(
        "UPDATE alembic_version SET version_num = '9999'", "version", "9999"
    ),
    "a second version": Attack(
        "INSERT INTO alembic_version VALUES ('zzz')", "row_foreign", "zzz"
    ),
    "a second program": Attack("INSERT INTO about VALUES ('zzz')", "row_foreign"),
    "another program": Attack("UPDATE about SET program = 'stock'", "version", "none"),
}

# Objects of any database.
OBJECTS = {
    "a unique index dropped": Attack(
        "DROP INDEX ix_record_joint_tag", "object_missing", "ix_record_joint_tag"
    ),
    "an index that is no longer unique": Attack(
        "DROP INDEX ix_record_joint_tag;"
        " CREATE INDEX ix_record_joint_tag ON record_joint (site_id, tag)"
        " WHERE superseded_by IS NULL",
        "object_altered",
        "ix_record_joint_tag",
    ),
    "an index of other rows": Attack(
        "DROP INDEX ix_record_person_current;"
        " CREATE UNIQUE INDEX ix_record_person_current ON record_person (site_id, id)"
        " WHERE superseded_by IS NOT NULL",
        "object_altered",
        "ix_record_person_current",
    ),
    "an index that keeps rows out": Attack(
        "CREATE UNIQUE INDEX one ON record_held (site_id)", "object_foreign", "one"
    ),
    "a table more": Attack("CREATE TABLE more (x INTEGER)", "object_foreign", "more"),
    "a view": Attack(
        "CREATE VIEW seen AS SELECT * FROM record_test", "object_foreign", "seen"
    ),
    "a column more": Attack(
        "ALTER TABLE record_test ADD COLUMN more VARCHAR",
        "object_{changed}",
        "record_test",
    ),
    "a column with a value of its own": Attack(
        "ALTER TABLE entry ADD COLUMN more INTEGER NOT NULL DEFAULT 7",
        "object_{changed}",
        "entry",
    ),
    "a column taken out": Attack(
        "ALTER TABLE record_device DROP COLUMN batch", "object_missing", "batch"
    ),
    "a column renamed": Attack(
        "ALTER TABLE record_device RENAME COLUMN batch TO lot",
        "object_missing",
        "batch",
    ),
    "a table taken out": Attack(
        "DROP TABLE record_model", "object_missing", "record_model"
    ),
    "a table renamed": Attack(
        "ALTER TABLE record_test RENAME TO record_tests",
        "object_missing",
        "record_test",
    ),
    "a view in a table's place": Attack(
        "ALTER TABLE record_test RENAME TO hidden;"
        " CREATE VIEW record_test AS SELECT * FROM hidden WHERE reading_ohm > 6e6",
        "object_missing",
        "record_test",
    ),
}

ANYWHERE = ROWS | ENTRIES | SITES | OBJECTS

SQLITE = {
    "a trigger that swallows bad tests": Attack(
        "CREATE TRIGGER x BEFORE INSERT ON record_test WHEN NEW.reading_ohm < 1000"
        " BEGIN SELECT RAISE(IGNORE); END",
        "object_foreign",
        "x",
    ),
    "a trigger that writes on": Attack(
        "CREATE TRIGGER x AFTER INSERT ON entry BEGIN"
        " UPDATE record_held SET remark = 'x'; END",
        "object_foreign",
        "x",
    ),
    "a guard dropped": Attack(
        "DROP TRIGGER guard_entry_delete", "guard", "guard_entry_delete"
    ),
    "a guard that never fires": Attack(
        "DROP TRIGGER guard_entry_delete; CREATE TRIGGER guard_entry_delete"
        " BEFORE DELETE ON entry WHEN 0 BEGIN SELECT RAISE(ABORT, 'no'); END",
        "guard",
        "guard_entry_delete",
    ),
    "a guard on another table": Attack(
        "DROP TRIGGER guard_entry_delete; CREATE TRIGGER guard_entry_delete"
        " BEFORE DELETE ON record_held BEGIN SELECT RAISE(ABORT, 'no'); END",
        "guard",
        "guard_entry_delete",
    ),
    "the list of objects edited: a check put in": Attack(
        "PRAGMA writable_schema = 1; UPDATE sqlite_master SET sql = replace(sql,"
        " 'reading_ohm DOUBLE', 'reading_ohm DOUBLE CHECK (reading_ohm > 1000)')"
        " WHERE name = 'record_test'",
        "object_altered",
        "record_test",
    ),
    "the list of objects edited: a key made loose": Attack(
        "PRAGMA writable_schema = 1; UPDATE sqlite_master SET sql = replace(sql,"
        " 'tag VARCHAR NOT NULL', 'tag VARCHAR COLLATE NOCASE NOT NULL')"
        " WHERE name = 'record_joint'",
        "object_altered",
        "record_joint",
    ),
    "the list of objects edited: a guard's text": Attack(
        "PRAGMA writable_schema = 1; UPDATE sqlite_master SET sql = replace(sql,"
        " 'BEFORE DELETE', 'AFTER DELETE') WHERE name = 'guard_entry_delete'",
        "guard",
        "guard_entry_delete",
    ),
    "the same program twice": Attack(
        "DROP TABLE about; CREATE TABLE about (program VARCHAR);"
        " INSERT INTO about VALUES ('jointmap'), ('jointmap')",
        "row_count",
        "about",
    ),
    "a site of nobody": Attack(
        "INSERT INTO register_site (site_id, code, key)"
        " SELECT 9, 'ZZ', key FROM register_site",
        "row_foreign",
        "ZZ",
    ),
    "a table of a module": Attack(
        "CREATE VIRTUAL TABLE words USING fts5(x)", "object_foreign", "words"
    ),
    "user_version": Attack("PRAGMA user_version = 7", "object_altered", "user_version"),
    "application_id": Attack(
        "PRAGMA application_id = 7", "object_altered", "application_id"
    ),
    "a site number that is text": Attack(
        "UPDATE record_boundary SET site_id = 'one'", "stray_rows", "one"
    ),
    "a key that is text": Attack("UPDATE register_site SET key = 'abc'", "site_key"),
    "a key that is a number": Attack("UPDATE register_site SET key = 7", "site_key"),
    "a code that is no text": Attack(
        "UPDATE register_site SET code = x'58'", "site_code", "X"
    ),
    "a hash that is text": Attack(
        "UPDATE entry SET hash = 'abc' WHERE entry = 4", "entry_hash"
    ),
    "a hash that is a number": Attack(
        "UPDATE entry SET hash = 7 WHERE entry = 2", "entry_hash"
    ),
    "a hash before that is text": Attack(
        "UPDATE entry SET previous = 'abc' WHERE entry = 2", "entry_previous"
    ),
    "a time that is no text": Attack(
        "UPDATE entry SET machine_at = x'00' WHERE entry = 2", "entry_hash"
    ),
    "forms that are no text": Attack(
        "UPDATE entry SET forms = x'00' WHERE entry = 2", "form"
    ),
}

POSTGRES = {
    "a trigger that swallows bad tests": Attack(
        "CREATE FUNCTION swallow() RETURNS trigger LANGUAGE plpgsql AS"
        " 'BEGIN RETURN NULL; END';"
        " CREATE TRIGGER x BEFORE INSERT ON record_test FOR EACH ROW"
        " EXECUTE FUNCTION swallow()",
        "object_foreign",
        "x",
    ),
    "a trigger of a function from elsewhere": Attack(
        "CREATE TRIGGER x BEFORE UPDATE ON record_test FOR EACH ROW"
        " EXECUTE FUNCTION suppress_redundant_updates_trigger()",
        "object_foreign",
        "x",
    ),
    "a guard dropped": Attack(
        "DROP TRIGGER guard_entry_delete ON entry", "guard", "guard_entry_delete"
    ),
    "a guard switched off": Attack(
        "ALTER TABLE entry DISABLE TRIGGER guard_entry_delete", "guard", "entry_delete"
    ),
    "a guard that a replica need not mind": Attack(
        "ALTER TABLE entry ENABLE TRIGGER guard_entry_delete", "guard", "entry_delete"
    ),
    "a guard's name on another table as well": Attack(
        "CREATE TRIGGER guard_entry_delete BEFORE DELETE ON alembic_version"
        " FOR EACH ROW EXECUTE FUNCTION jointmap_refuse()",
        "guard",
        "guard_entry_delete",
    ),
    "a guard's function emptied": Attack(
        "CREATE OR REPLACE FUNCTION jointmap_refuse() RETURNS trigger LANGUAGE plpgsql"
        " AS 'BEGIN RETURN OLD; END'",
        "guard",
        "jointmap_refuse",
    ),
    "a guard's function with settings": Attack(
        "ALTER FUNCTION jointmap_supersede() SET search_path = pg_temp",
        "guard",
        "jointmap_supersede",
    ),
    "a function of the guard's name": Attack(
        "CREATE FUNCTION jointmap_refuse(x integer) RETURNS integer LANGUAGE sql"
        " AS 'SELECT 1'",
        "object_foreign",
        "jointmap_refuse(x integer)",
    ),
    "a rule that swallows": Attack(
        "CREATE RULE quiet AS ON INSERT TO record_held DO INSTEAD NOTHING",
        "object_foreign",
        "record_held.quiet",
    ),
    "rows that not everybody sees": Attack(
        "ALTER TABLE record_test ENABLE ROW LEVEL SECURITY",
        "object_altered",
        "record_test",
    ),
    "a policy": Attack(
        "CREATE POLICY few ON record_test USING (reading_ohm > 1000)",
        "object_foreign",
        "record_test.few",
    ),
    "a table that is lost in a crash": Attack(
        "ALTER TABLE record_held SET UNLOGGED", "object_altered", "record_held"
    ),
    "a value put in by itself": Attack(
        "ALTER TABLE record_test ALTER COLUMN remark SET DEFAULT 'x'",
        "object_altered",
        "record_test.remark",
    ),
    "a column of another type": Attack(
        "ALTER TABLE record_device ALTER COLUMN batch TYPE varchar(3)"
        " USING left(batch, 3)",
        "object_altered",
        "record_device.batch",
    ),
    "a column that sorts in another way": Attack(
        'ALTER TABLE record_device ALTER COLUMN batch TYPE varchar COLLATE "C"',
        "object_altered",
        "record_device.batch",
    ),
    "a column that may be empty": Attack(
        "ALTER TABLE entry ALTER COLUMN reason DROP NOT NULL",
        "object_altered",
        "entry.reason",
    ),
    "a check": Attack(
        "ALTER TABLE record_held ADD CHECK (is_open = 0) NOT VALID",
        "object_foreign",
        "record_held CHECK",
    ),
    "a primary key dropped": Attack(
        "ALTER TABLE record_held DROP CONSTRAINT pk_record_held",
        "object_missing",
        "record_held PRIMARY KEY",
    ),
    "a table that hands rows on": Attack(
        "CREATE SCHEMA aside; CREATE TABLE aside.more () INHERITS (record_test)",
        "object_foreign",
        "aside.more",
    ),
    "everybody may delete": Attack(
        "GRANT DELETE ON record_test TO PUBLIC",
        "object_foreign",
        "DELETE on record_test for everybody",
    ),
    "everybody may change a column": Attack(
        "GRANT UPDATE (remark) ON record_test TO PUBLIC",
        "object_foreign",
        "UPDATE on record_test.remark for everybody",
    ),
    "a sequence": Attack("CREATE SEQUENCE counts", "object_foreign", "counts"),
    "a type": Attack("CREATE DOMAIN word AS text", "object_foreign", "word"),
    "an operator": Attack(
        "CREATE OPERATOR === (LEFTARG = text, RIGHTARG = text, FUNCTION = texteq)",
        "object_foreign",
        "===",
    ),
    "a watcher of the whole database": Attack(
        "CREATE FUNCTION watch() RETURNS event_trigger LANGUAGE plpgsql AS"
        " 'BEGIN END'; CREATE EVENT TRIGGER watcher ON sql_drop"
        " EXECUTE FUNCTION watch()",
        "object_foreign",
        "watcher",
    ),
}
