"""Whatever was changed in a register is found, and the row is named."""

import io
import shutil

import pytest
import sqlalchemy as sa

from jointmap.errors import WrongUse
from jointmap.register import FORMS, Attachment
from jointmap.storage import Register
from jointmap.storage.attachment_files import keep, path_of, take
from jointmap.storage.chain import past_forms
from jointmap.storage.chain.canonical import canonical_of, plain, salt_of, salted
from jointmap.storage.chain.hash_tree import leaf_hash
from jointmap.storage.chain.past_forms import Stated
from jointmap.storage.database import trying, writing
from jointmap.storage.guard import put_guard, take_guard
from jointmap.storage.naming import key_text
from jointmap.storage.schema import ENTRIES, GUARDED, table_of
from jointmap.storage.verifying.checking import check_register
from jointmap.storage.verifying.row_checks import Checks
from jointmap.storage.verifying.verify import Verified, verify
from tests.storage.samples import (
    DAY,
    KEY,
    NOON,
    fill,
    first_delivery,
    joint,
    reading,
    site,
    unasked,
)
from tests.storage.tampering import apply, chosen, possible_edits


@pytest.fixture
def filled(register, tmp_path):
    """A register of four entries: corrections, withheld values, an attached file."""
    fill(register, *first_delivery())
    with unasked(register, NOON + DAY, "P1", "correction") as job:
        job.revise(1, joint("IJ-1", remark="corrected"))
    with unasked(register, NOON + 2 * DAY, "P2", "twice") as job:
        job.revise(1, joint("IJ-1", remark="corrected again"))
        job.revise(1, joint("IJ-1b", remark="corrected again"))
        job.add(reading(1, NOON.date(), 1e-300))
    with take(tmp_path, io.BytesIO(b"\xff\xd8\xff and so on"), "photo") as kept:
        keep(tmp_path, kept)
    facts = {"sha256": kept.sha256, "media_type": "image/jpeg"}
    photo = Attachment(
        **facts, size_bytes=kept.size_bytes, subject="joint", subject_key="IJ-1",
        original_name="photo",
    )  # fmt: skip
    fill(register, photo, now=NOON + 3 * DAY)
    return register


def ids_of(checked):
    return [problem.id.removeprefix("verify.") for problem in checked.problems]


def test_a_sound_register_is_sound(filled, tmp_path):
    with filled.read() as state:
        last, earlier = state.last.fingerprint, state.entries[1].fingerprint
    checked = check_register(filled, tmp_path)
    assert checked.problems == ()
    assert (checked.entries, checked.rows, checked.fingerprint) == (4, 17, last)
    for fingerprint in (last, earlier, f" {last.upper()}\n"):
        assert check_register(filled, tmp_path, fingerprint).problems == ()


def test_an_empty_register_is_sound(register):
    checked = check_register(register)
    assert (checked.entries, checked.fingerprint, checked.problems) == (0, "", ())


def test_single_edits_are_found_and_the_row_is_named(filled, url, count):
    with trying(filled.engine) as connection:
        edits = possible_edits(connection)
    sides = (filled.site_id, filled.site_code, filled.key)
    tried = 0
    for number, edit in chosen(edits, count(30, 1000), url[:6]):
        with trying(filled.engine) as connection:
            take_guard(connection, [edit.table])
            what = apply(connection, edit, number)
            put_guard(connection, [edit.table])
            faults = list(verify(connection, *sides, Verified()))
        assert faults, (edit, what)
        if edit.table is ENTRIES:
            entries = {edit.key["entry"], edit.key["entry"] + 1}
            assert any(f.entry in entries for f in faults), (edit, what, faults)
        else:
            assert any(f.kind == edit.kind for f in faults), (edit, what, faults)
        tried += 1
    assert tried == count(30, 1000)


@pytest.mark.full
def test_every_column_of_one_row_of_each_kind(filled):
    with trying(filled.engine) as connection:
        edits = possible_edits(connection)
    sides = (filled.site_id, filled.site_code, filled.key)
    one_each = {(e.table.name, e.column): e for e in edits}
    for number, edit in enumerate(one_each.values()):
        with trying(filled.engine) as connection:
            take_guard(connection, [edit.table])
            what = apply(connection, edit, number)
            put_guard(connection, [edit.table])
            assert list(verify(connection, *sides, Verified())), (edit, what)


def tamper(register, sql):
    with writing(register.engine) as connection:
        take_guard(connection, GUARDED)
        for statement in sql:
            connection.exec_driver_sql(statement)
        put_guard(connection, GUARDED)


TOLD = {
    "a value": (
        "UPDATE record_test SET remark = 'x' WHERE id = 2",
        "entry 1: test 'joint IJ-2 2025-07-01 radio-frequency routine', revision 1:"
        " the values are not those that were recorded",
    ),
    "a chain row": (
        "UPDATE entry SET reason = 'other' WHERE entry = 2",
        "entry 2: what it says of itself was changed (time, person, reason, count,"
        " training day or forms)",
    ),
    "a row taken out": (
        "DELETE FROM record_structure WHERE id = 1",
        "entry 1: structure 'plant', revision 1: a row before this one is missing, or"
        " this one was moved",
    ),
    "a mark": (
        "UPDATE record_device SET superseded_by = 2 WHERE id = 2",
        "entry 1: device 'IJ-2 2025-06-01', revision 1: the mark of what replaced it is"
        " not that of the next revision",
    ),
    "a revision taken out": (
        "DELETE FROM record_joint WHERE revision = 2",
        "entry 2 holds another number of rows than it was recorded with",
    ),
}


@pytest.mark.parametrize(("sql", "told"), TOLD.values(), ids=list(TOLD))
def test_what_is_told(filled, sql, told):
    from jointmap.wording.problems import line_of

    tamper(filled, [sql])
    first = line_of(check_register(filled).problems[0])
    assert first == told


def test_a_cut_tail_shows_by_the_fingerprint_only(filled):
    with filled.read() as state:
        last = state.last.fingerprint
    cut = [f"DELETE FROM record_{k} WHERE entry = 4" for k in FORMS]  # noqa: S608
    tamper(filled, [*cut, "DELETE FROM entry WHERE entry = 4"])
    assert check_register(filled).problems == ()
    assert ids_of(check_register(filled, None, last)) == ["tail_cut"]


def test_a_rewritten_register_shows_by_the_fingerprint_only(filled, second_url):
    with filled.read() as state:
        last = state.last.fingerprint
    rewritten = Register.create(second_url, "X", KEY)
    fill(rewritten, *first_delivery()[:-1])
    for _ in range(3):
        fill(rewritten, reading(1, NOON.date(), 7e6, line_id=f"{_}"))
    assert check_register(rewritten).problems == ()
    assert ids_of(check_register(rewritten, None, last)) == ["rewritten"]
    rewritten.close()


def test_a_fingerprint_that_is_none(register):
    for text in ("", "7", "0-" + "0" * 64, "1-xyz", "1-" + "0" * 63):
        with pytest.raises(WrongUse, match="no_fingerprint"):
            check_register(register, None, text)


def test_only_the_first_faults_are_named(filled, monkeypatch):
    monkeypatch.setattr("jointmap.storage.verifying.checking.MOST", 1)
    tamper(filled, ["UPDATE record_person SET role = 'x'"])
    assert ids_of(check_register(filled)) == ["row"]


def test_another_key_of_the_site_shows_in_the_salts(filled):
    change = sa.update(table_of("person")).values(full_name_salt="ab" * 32)
    with writing(filled.engine) as connection:
        take_guard(connection, GUARDED)
        connection.execute(change)
        put_guard(connection, GUARDED)
    assert ids_of(check_register(filled))[0] == "salt"


def test_a_guard_taken_off_is_told(filled):
    with writing(filled.engine) as connection:
        take_guard(connection, [ENTRIES])
    assert set(ids_of(check_register(filled))) == {"guard"}


def test_attached_files_gone_or_changed(filled, tmp_path):
    with filled.read() as state:
        kept = state.records(Attachment)[1]
    path = path_of(tmp_path, kept.sha256)
    path.write_bytes(b"\xff\xd8\xff and so off")
    assert ids_of(check_register(filled, tmp_path)) == ["file_changed"]
    shutil.rmtree(path.parent)
    (problem,) = check_register(filled, tmp_path).problems
    assert problem.id == "verify.file_gone"
    assert problem.values["key"] == f"{kept.sha256} joint IJ-1"


@pytest.mark.parametrize("url", ["sqlite"], indirect=True)
@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE record_person SET entry = 'none' WHERE id = 1",
        "UPDATE record_person SET position = x'00' WHERE id = 1",
        "UPDATE record_person SET leaf = 'text' WHERE id = 1",
        "UPDATE record_person SET code = x'0102' WHERE id = 1",
        "UPDATE record_person SET full_name = x'0102' WHERE id = 1",
        "UPDATE record_person SET id = x'0102' WHERE id = 1",
        "UPDATE record_structure SET name = x'0102' WHERE id = 1",
        "UPDATE entry SET entry = 'none' WHERE entry = 2",
        "UPDATE entry SET root = 'text' WHERE entry = 2",
        "UPDATE entry SET reason = x'01' WHERE entry = 2",
        "UPDATE record_attachment SET sha256 = '../../x'",
        "UPDATE record_joint SET remark = CAST(x'ff41' AS TEXT)",
        "UPDATE record_joint SET area = CAST(x'80' AS TEXT) WHERE id = 2",
        "UPDATE entry SET reason = CAST(x'ff' AS TEXT) WHERE entry = 2",
    ],
)
def test_values_of_the_wrong_type(filled, tmp_path, sql):
    tamper(filled, [sql])
    assert check_register(filled, tmp_path).problems


@pytest.mark.parametrize("url", ["sqlite"], indirect=True)
@pytest.mark.parametrize(
    "name", ["record_test", "ix_record_test_entry", "ix_record_joint_current", "entry"]
)
def test_a_damaged_page_is_named(filled, tmp_path, name):
    """Also of an index by which no row is read here."""
    path = tmp_path / "register.sqlite"
    query = f"SELECT rootpage FROM sqlite_master WHERE name = '{name}'"  # noqa: S608
    with filled.looking() as connection:
        page = connection.exec_driver_sql(query).scalar_one()
    spoilt = bytearray(path.read_bytes())
    start = (page - 1) * 4096
    spoilt[start : start + 8] = b"\xff" * 8
    path.write_bytes(spoilt)
    assert set(ids_of(check_register(filled))) == {"pages"}


def test_names_of_rows_whose_references_are_gone(filled):
    with filled.looking() as connection:
        gone = key_text(connection, 1, "position", ("joint", 99))
        assert gone == "joint unknown joint"
        assert key_text(connection, 1, "position", ("moon", 9)) == "moon 9"


def test_two_sites_in_one_database(url):
    first, second = (Register.create(url, code, KEY) for code in ("X", "Y"))
    with pytest.raises(WrongUse, match="site_there"):
        Register.create(url, "X", KEY)
    fill(first, *first_delivery())
    fill(second, site("Y"), *first_delivery()[1:])
    tamper(first, ["UPDATE record_test SET remark = 'x' WHERE site_id = 2"])
    assert check_register(first).problems == ()
    assert set(ids_of(check_register(second))) == {"row"}
    for one in (first, second):
        one.close()


def test_a_row_is_checked_under_the_form_its_entry_states_and_no_other(monkeypatch):
    form, new = FORMS["structure"], "design_current_ampere"
    names = tuple(c.name for c in form.columns if c.name != new)
    monkeypatch.setattr(past_forms, "PAST_FORMS", {"structure": {0: names}})
    record = first_delivery()[3]
    then = [plain(getattr(record, name)) for name in names]
    leaf = leaf_hash(canonical_of("structure", 0, 1, 1, then))
    stated = Stated(iter([(1, '{"structure":0}'), (2, '{"structure":1}'), (3, None)]))
    checks = Checks(form, KEY, stated)
    values = [plain(v) for v in record.values()]
    found = [checks.of(n)(leaf, 1, 1, values) for n in (1, 2, 3, 4)]
    assert found == ["", "row", "row", "form"]
    # A row of that form holds nothing that it did not know.
    values[[c.name for c in form.columns].index(new)] = 1.5
    assert checks.of(1)(leaf, 1, 1, values) == "row"


def test_a_form_that_did_not_know_a_salted_value(monkeypatch):
    form, record = FORMS["person"], first_delivery()[1]
    names = tuple(c.name for c in form.columns if c.name != "contact")
    monkeypatch.setattr(past_forms, "PAST_FORMS", {"person": {0: names}})
    salt = salt_of(KEY, "person", 1, 1, "full_name")
    then = [
        salted(salt, v) if n == "full_name" else v
        for n, v in ((n, plain(getattr(record, n))) for n in names)
    ]
    leaf = leaf_hash(canonical_of("person", 0, 1, 1, then))
    check = Checks(form, KEY, Stated(iter([(1, '{"person":0}')]))).of(1)
    values = [plain(v) for v in record.values()]
    assert check(leaf, 1, 1, [*values, salt, None]) == ""
    assert check(leaf, 1, 1, [*values, salt, "00"]) == "salt"


@pytest.mark.parametrize(
    "text", ["", "[1]", "{", "[" * 100_000, '{"joint": 1}', '{"b":1,"a":1}', b"x", 7]
)
def test_odd_text_states_no_form(text):
    assert Stated(iter([(1, text)])).number(1, "joint") is None
