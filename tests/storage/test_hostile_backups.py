"""Handed-over backups that are not as they were made."""

import json
import os
import shutil
import sqlite3
import zipfile
from pathlib import Path

import pytest

from jointmap.errors import BrokenRegister, JointmapError, Refused
from jointmap.workflows.soundness.backup import restore
from jointmap.workflows.soundness.verify import verify_site
from tests.storage.made_site import made_site


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return made_site(tmp_path_factory.mktemp("made"))


ABOUT = {"form": 1, "code": "X", "fixed_day": "2026-01-01", "fingerprint": None}


def rewritten(source: Path, target: Path, parts: dict[str, bytes | None]) -> None:
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for name in {**dict.fromkeys(old.namelist()), **parts}:
            data = parts.get(name, b"")
            if data is not None:
                new.writestr(name, data if name in parts else old.read(name))


def about(**more) -> dict[str, bytes | None]:
    return {"backup.json": json.dumps({**ABOUT, **more}).encode()}


def moved(data: bytes) -> bytes:
    """Return a zip file whose members begin before it, by its own list."""
    at = data.rfind(b"PK\x05\x06") + 16
    start = int.from_bytes(data[at : at + 4], "little") + 4
    return data[:at] + start.to_bytes(4, "little") + data[at + 4 :]


def flagged(data: bytes) -> bytes:
    """Return a zip file whose members say that they are encrypted."""
    spoilt, at = bytearray(data), 0
    while (at := spoilt.find(b"PK\x01\x02", at)) >= 0:
        spoilt[at + 8] |= 1
        at += 4
    return bytes(spoilt)


WORDS = {
    "nested": {"backup.json": b"[" * 60_000},
    "too long": {"backup.json": b" " * 70_000},
    "a list": {"backup.json": b"[]"},
    "a number of many digits": {"backup.json": b"9" * 5_000},
    "no UTF-8": {"backup.json": b"\xff\xfe"},
    "half a character": about(code="\ud800"),
    "a day that is a number": about(fixed_day=7),
    "a day that is none": about(fixed_day="soon"),
    "another day": about(fixed_day="2020-01-01"),
    "no day": about(fixed_day=None),
    "a code that is a number": about(code=7),
    "a code of another site": about(code="Y"),
    "a fingerprint that is a number": about(fingerprint=7),
    "a fingerprint that is none": about(fingerprint="soon"),
    "another form": about(form=2),
    "one key more": about(more=1),
    "a way out": {"../evil": b"x"},
    "a way out below": {"attachments/../../evil": b"x"},
    "from the root": {"/tmp/evil": b"x"},  # noqa: S108
    "a file that nobody asked for": {"site.toml": b"code = 'X'"},
    "an attached file too many": {"attachments/" + "0" * 64: b"x"},
    "no register": {"register.sqlite": None},
    "a register of zeros": {"register.sqlite": bytes(100_000)},
    "an empty register": {"register.sqlite": b""},
}  # fmt: skip


@pytest.mark.parametrize("parts", WORDS.values(), ids=list(WORDS))
def test_hostile_words_in_a_backup(made, tmp_path, parts):
    rewritten(made / "b.zip", tmp_path / "c.zip", parts)
    with pytest.raises(JointmapError):
        restore(tmp_path / "c.zip", tmp_path / "new")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["c.zip"]


def bomb(target: Path, _source: Path) -> None:
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("backup.json", json.dumps(ABOUT))
        archive.writestr("register.sqlite", bytes(2**25))


def twice(target: Path, source: Path) -> None:
    shutil.copy(source, target)
    with (
        pytest.warns(UserWarning, match="Duplicate name"),
        zipfile.ZipFile(target, "a") as archive,
    ):
        archive.writestr("backup.json", json.dumps(ABOUT))


def link(target: Path, source: Path) -> None:
    rewritten(source, target, {"backup.json": None})
    info = zipfile.ZipInfo("backup.json")
    info.external_attr = 0o120777 << 16
    with zipfile.ZipFile(target, "a") as archive:
        archive.writestr(info, "/etc/hostname")


def otherwise_packed(target: Path, _source: Path) -> None:
    with zipfile.ZipFile(target, "w", zipfile.ZIP_BZIP2) as archive:
        archive.writestr("backup.json", json.dumps(ABOUT))


FILES = {
    "a bomb": bomb,
    "a name twice": twice,
    "a link": link,
    "packed in another way": otherwise_packed,
    "members before its begin": lambda t, s: t.write_bytes(moved(s.read_bytes())),
    "encrypted": lambda t, s: t.write_bytes(flagged(s.read_bytes())),
    "cut short": lambda t, s: t.write_bytes(s.read_bytes()[:-30]),
    "text": lambda t, _: t.write_text("PK\x03\x04"),
    "a folder": lambda t, _: t.mkdir(),
    "a pipe": lambda t, _: os.mkfifo(t),
}


@pytest.mark.parametrize("make", FILES.values(), ids=list(FILES))
def test_hostile_backup_files(made, tmp_path, make):
    make(tmp_path / "c.zip", made / "b.zip")
    with pytest.raises(Refused, match="no_backup"):
        restore(tmp_path / "c.zip", tmp_path / "new")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["c.zip"]


REGISTERS = {
    "a foreign trigger": "CREATE TRIGGER x AFTER UPDATE ON alembic_version BEGIN"
    " SELECT 1; END",
    "a table of a module": "CREATE VIRTUAL TABLE w USING fts5(x)",
    "a dropped guard": "DROP TRIGGER guard_entry_delete",
    "an index dropped": "DROP INDEX ix_record_joint_tag",
    "an endless view in a table's place": "DROP TABLE record_held; CREATE VIEW"
    " record_held AS WITH RECURSIVE n(id) AS (SELECT 1 UNION ALL SELECT id + 1 FROM n)"
    " SELECT id FROM n",
}


@pytest.mark.parametrize("sql", REGISTERS.values(), ids=list(REGISTERS))
@pytest.mark.parametrize("version", ["this", "older"])
def test_hostile_registers_in_a_backup(made, tmp_path, sql, version):
    """Also of an older version, before a step runs on it."""
    old = Path(__file__).parent / "registers" / "e99a33d.zip"
    source = made / "b.zip" if version == "this" else old
    with zipfile.ZipFile(source) as archive:
        archive.extract("register.sqlite", tmp_path)
    connection = sqlite3.connect(tmp_path / "register.sqlite")
    connection.executescript(sql)
    connection.close()
    spoilt = {"register.sqlite": (tmp_path / "register.sqlite").read_bytes()}
    rewritten(source, tmp_path / "c.zip", spoilt)
    with pytest.raises(BrokenRegister):
        restore(tmp_path / "c.zip", tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_a_backup_of_the_commit_before_restores_and_verifies(tmp_path):
    old = Path(__file__).parent / "registers" / "e99a33d.zip"
    kept = restore(old, tmp_path / "site")
    assert kept.checked.problems == ()
    assert verify_site(tmp_path / "site", kept.checked.fingerprint).is_sound
