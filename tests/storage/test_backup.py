"""A backup is the register of one moment; restored it is the same, byte for byte."""

import json
import shutil
import sqlite3
import zipfile
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from jointmap.changes.attach import attach
from jointmap.changes.change import Change
from jointmap.errors import BrokenRegister, Refused, WrongUse
from jointmap.register import Attachment, Site
from jointmap.storage.attachment_files import path_of
from jointmap.storage.database import writing
from jointmap.storage.guard import put_guard, take_guard
from jointmap.storage.schema import GUARDED
from jointmap.storage.verifying.checking import check_register
from jointmap.wording.problems import line_of
from jointmap.workflows.opening import new_site, open_site
from jointmap.workflows.soundness.backup import backup, restore
from tests.pictures_made import JPEG
from tests.storage.samples import DAY, KEY, NOON, fill, first_delivery, joint, unasked

PHOTO = JPEG


def change(**more):
    facts = {"on": NOON.date(), "now": NOON + DAY, "by": "P1", "reason": "why"}
    return Change(**{**facts, **more})


@pytest.fixture
def site(url, tmp_path):
    """A site folder with two entries and one attached file, on either database."""
    made = new_site(tmp_path / "site", "X", KEY, NOON.date(), url)
    fill(made.register, *first_delivery())
    (tmp_path / "photo.jpg").write_bytes(PHOTO)
    attach(made, tmp_path / "photo.jpg", ("joint", "IJ-1"), "front", change())
    yield made
    made.register.close()


def test_restored_is_the_same(site, tmp_path):
    kept = backup(site, tmp_path / "out" / "b.zip")
    assert (kept.files, kept.checked.problems) == (1, ())
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == ["b.zip"]
    again = restore(tmp_path / "out" / "b.zip", tmp_path / "again")
    assert again.checked == kept.checked
    opened = open_site(tmp_path / "again")
    assert opened.fixed_day == NOON.date()
    with opened.register.read() as new, site.register.read() as old:
        assert new.entries == old.entries
        stored = new.records(Attachment)[1]
    assert path_of(opened.path, stored.sha256).read_bytes() == PHOTO
    # It goes on from there: the next transaction on both gives the same fingerprint.
    for register in (opened.register, site.register):
        with unasked(register, NOON + 2 * DAY, "P1", "next") as job:
            job.revise(1, joint("IJ-1", remark="next"))
    with opened.register.read() as new, site.register.read() as old:
        assert new.last.fingerprint == old.last.fingerprint
    opened.register.close()


def test_the_same_register_gives_the_same_file(site, tmp_path):
    for name in ("one", "two"):
        backup(site, tmp_path / name)
    assert (tmp_path / "one").read_bytes() == (tmp_path / "two").read_bytes()


def test_a_backup_moves_to_the_other_database(site, tmp_path, postgres_url):
    backup(site, tmp_path / "b.zip")
    kept = restore(tmp_path / "b.zip", tmp_path / "moved", postgres_url)
    moved = open_site(tmp_path / "moved")
    assert not (tmp_path / "moved" / "register.sqlite").exists()
    checked = check_register(moved.register, moved.path)
    assert checked == kept.checked
    with pytest.raises(WrongUse, match="site_there"):
        restore(tmp_path / "b.zip", tmp_path / "twice", postgres_url)
    assert not (tmp_path / "twice").exists()
    moved.register.close()


@pytest.mark.usefixtures("site")
def test_one_of_several_sites_is_copied_alone(url, tmp_path):
    other = new_site(tmp_path / "other", "Y", KEY, None, url)
    fill(other.register, Site(**{**site_facts(), "code": "Y"}))
    backup(other, tmp_path / "y.zip")
    with zipfile.ZipFile(tmp_path / "y.zip") as archive:
        assert json.loads(archive.read("backup.json"))["code"] == "Y"
    restore(tmp_path / "y.zip", tmp_path / "again")
    opened = open_site(tmp_path / "again")
    assert check_register(opened.register).rows == 1
    for one in (other, opened):
        one.register.close()


def site_facts():
    first = first_delivery()[0]
    return {c: getattr(replace(first), c) for c in ("name", "time_zone", "working_crs")}


def test_what_is_refused(site, tmp_path):
    backup(site, tmp_path / "b.zip")
    with pytest.raises(WrongUse, match=r"backup\.there"):
        backup(site, tmp_path / "b.zip")
    with pytest.raises(WrongUse, match="not_empty"):
        restore(tmp_path / "b.zip", tmp_path / "site")
    with pytest.raises(WrongUse, match="not_empty"):
        restore(tmp_path / "b.zip", tmp_path / "b.zip")
    with pytest.raises(Refused, match="not_found"):
        restore(tmp_path / "none.zip", tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_an_empty_folder_may_be_restored_into(site, tmp_path):
    backup(site, tmp_path / "b.zip")
    (tmp_path / "empty").mkdir()
    restore(tmp_path / "b.zip", tmp_path / "empty")
    assert open_site(tmp_path / "empty").register.site_code == "X"


def test_a_damaged_backup_leaves_nothing(site, tmp_path):
    backup(site, tmp_path / "b.zip")
    data = (tmp_path / "b.zip").read_bytes()
    for spoilt in (data[: len(data) // 2], b"", b"text"):
        (tmp_path / "c.zip").write_bytes(spoilt)
        with pytest.raises((Refused, BrokenRegister)):
            restore(tmp_path / "c.zip", tmp_path / "new")
        assert not any(p.name.startswith("new") for p in tmp_path.iterdir())


def test_a_single_bit_is_refused_or_changes_nothing(site, tmp_path, count):
    """Of a run of zeros, several lengths and distances unpack to the same bytes."""
    kept = backup(site, tmp_path / "b.zip")
    data, refused = (tmp_path / "b.zip").read_bytes(), 0
    tried = range(0, len(data), len(data) // count(12, 200))
    for number, place in enumerate(tried):
        flipped = bytearray(data)
        flipped[place] ^= 1 << number % 8
        (tmp_path / "c.zip").write_bytes(flipped)
        try:
            assert restore(tmp_path / "c.zip", tmp_path / "new").checked == kept.checked
            shutil.rmtree(tmp_path / "new")
        except (Refused, BrokenRegister):
            refused += 1
        assert not any(p.name.startswith("new") for p in tmp_path.iterdir())
    assert refused > len(tried) / 2


def rewritten(source, target, **parts):
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            if parts.get(name) is not None or name not in parts:
                new.writestr(name, parts.get(name, old.read(name)))


def test_a_backup_that_was_changed_is_refused(site, tmp_path):
    backup(site, tmp_path / "b.zip")
    about = {"form": 1, "code": "X", "fixed_day": None, "fingerprint": "2-" + "0" * 64}
    photo = next(n for n in zipfile.ZipFile(tmp_path / "b.zip").namelist() if "/" in n)
    for parts in (
        {"backup.json": json.dumps(about)},
        {"backup.json": json.dumps({**about, "form": 2})},
        {"backup.json": None},
        {photo: b"another"},
        {photo: None},
        {"register.sqlite": b"no database" * 100},
    ):
        rewritten(tmp_path / "b.zip", tmp_path / "c.zip", **parts)
        with pytest.raises((Refused, BrokenRegister)):
            restore(tmp_path / "c.zip", tmp_path / "new")
        assert not (tmp_path / "new").exists()


def register_made_otherwise(statement):
    """What changes the register of a backup."""

    def change(data, folder):
        (folder / "changed.sqlite").write_bytes(data)
        with closing(sqlite3.connect(folder / "changed.sqlite")) as connection:
            connection.execute(statement)
            connection.commit()
        return (folder / "changed.sqlite").read_bytes()

    return change


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda data, _: data[:-5], "the register in it is damaged or cut short"),
        (lambda data, _: data[:4096] + bytes(len(data) - 4096), "in it is damaged"),
        (lambda _, __: b"no database" * 100, "the register in it is damaged"),
        (register_made_otherwise("DROP TABLE about"), "is of no version of jointmap"),
        (register_made_otherwise("PRAGMA journal_mode = WAL"), "set to write ahead"),
        (
            register_made_otherwise("UPDATE alembic_version SET version_num = '9999'"),
            "c.zip was written by a newer jointmap",
        ),
        (register_made_otherwise("CREATE TABLE x (y)"), "c.zip: the table x of the"),
    ],
)
def test_a_refused_backup_is_named_and_no_draft(folder_of_backup, change, says):
    here = folder_of_backup
    with zipfile.ZipFile(here / "b.zip") as archive:
        data = change(archive.read("register.sqlite"), here)
    rewritten(here / "b.zip", here / "c.zip", **{"register.sqlite": data})
    with pytest.raises((Refused, BrokenRegister, WrongUse)) as refused:
        restore(here / "c.zip", here / "R15")
    told = [line_of(p) for p in refused.value.problems]
    assert says in told[0]
    for line in told:
        assert str(here / "c.zip") in line
        assert "jointmap/new" not in line
        assert "jointmap restore" not in line
    assert not (here / "R15").exists()


@pytest.fixture
def folder_of_backup(tmp_path):
    made = new_site(tmp_path / "site", "X", KEY, NOON.date())
    fill(made.register, *first_delivery())
    backup(made, tmp_path / "b.zip")
    made.register.close()
    return tmp_path


def test_pages_that_cannot_be_read_are_told_of_the_register(folder_of_backup):
    """Not of the backup, which is not there."""
    here, file = folder_of_backup, folder_of_backup / "site" / "register.sqlite"
    with closing(sqlite3.connect(file)) as connection:
        listed = "SELECT rootpage FROM sqlite_master WHERE tbl_name = ? AND rootpage"
        roots = connection.execute(listed, ("record_attachment",)).fetchall()
        size = connection.execute("PRAGMA page_size").fetchone()[0]
    starts = [(root - 1) * size for (root,) in roots]
    sound, told = file.read_bytes(), set()
    for start in starts:
        file.write_bytes(sound[:start] + bytes(size) + sound[start + size :])
        try:
            backup(open_site(here / "site"), here / f"{start}.zip")
        except BrokenRegister as error:
            told |= {line_of(p).partition(" is damaged")[0] for p in error.problems}
    assert told == {str(file)}


def test_a_folder_is_no_backup(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Refused, match="no plain file") as refused:
        restore(Path(), tmp_path / "new")
    assert line_of(refused.value.problems[0]).startswith(".: this is no jointmap")


def test_a_broken_register_is_copied_and_told(site, tmp_path):
    with writing(site.register.engine) as connection:
        take_guard(connection, GUARDED)
        connection.exec_driver_sql("UPDATE record_test SET remark = 'x' WHERE id = 1")
        put_guard(connection, GUARDED)
    kept = backup(site, tmp_path / "b.zip")
    assert kept.checked.problems[0].id == "verify.row"
    with pytest.raises(BrokenRegister):
        restore(tmp_path / "b.zip", tmp_path / "new")


def test_a_password_is_kept_nowhere(tmp_path, postgres_url, capfd):
    address = postgres_url.replace("jointmap@", "jointmap:secret-word@")
    made = new_site(tmp_path / "site", "X", KEY, None, address)
    made.register.close()
    assert "secret-word" not in (tmp_path / "site" / "site.toml").read_text()
    with pytest.raises(WrongUse) as refused:
        new_site(tmp_path / "again", "X", KEY, None, address)
    assert "secret-word" not in str(refused.value)
    wrong = address.replace("?host=", "?host=/nowhere")
    with pytest.raises(Refused) as refused:
        new_site(tmp_path / "other", "X", KEY, None, wrong)
    assert "secret-word" not in str(refused.value)
    assert "secret-word" not in "".join(capfd.readouterr())
