"""Site folders and handed-over backups that are not as they were made."""

import hashlib
import os
import shutil
import sqlite3
from pathlib import Path

import pytest

from jointmap.errors import BrokenRegister, Refused
from jointmap.storage import database
from jointmap.wording.problems import line_of
from jointmap.workflows.opening import open_site
from jointmap.workflows.soundness.verify import verify_site
from tests.storage.made_site import PHOTO, made_site


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return made_site(tmp_path_factory.mktemp("made"))


@pytest.fixture
def site(made, tmp_path):
    shutil.copytree(made / "site", tmp_path / "site")
    return tmp_path / "site"


def photo(site: Path) -> Path:
    return next(p for p in (site / "attachments").glob("*/*"))


def settings(old: str, new: str):
    def change(site: Path) -> None:
        path = site / "site.toml"
        text = path.read_text()
        assert old in text
        path.write_text(text.replace(old, new))

    return change


def put(name: str, data: str = "x"):
    def change(site: Path) -> None:
        path = site / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(data)

    return change


def instead(make):
    def change(site: Path) -> None:
        path = photo(site)
        path.unlink()
        make(path)

    return change


def moved_and_linked(name: str):
    def change(site: Path) -> None:
        (site / name).rename(site.parent / name)
        (site / name).symlink_to(site.parent / name)

    return change


def in_the_head(site: Path) -> None:
    with (site / "register.sqlite").open("r+b") as file:
        file.seek(72)
        file.write(b"hidden words")


def named_twice(name: str):
    def change(site: Path) -> None:
        os.link(site / name, site.parent / "other name")

    return change


def longer(site: Path) -> None:
    with (site / "register.sqlite").open("ab") as file:
        file.write(bytes(4096))


CHANGED = {
    "an attached file changed": (
        instead(lambda p: p.write_bytes(PHOTO + b".")), "was changed",
    ),
    "an attached file gone": (instead(lambda _: None), "is gone"),
    "a folder in its place": (instead(Path.mkdir), "a folder, a link"),
    "a pipe in its place": (instead(os.mkfifo), "a folder, a link"),
    "a link in its place": (
        instead(lambda p: p.symlink_to("/dev/zero")), "a folder, a link",
    ),
    "a stranger's file": (put("attachments/c5/other"), "c5/other: no part"),
    "a stranger's folder": (put("attachments/zz/other"), "attachments/zz: no part"),
    "a file beside the places": (put("attachments/other"), "other: no part"),
    "a folder in a place": (put("attachments/c5/deep/other"), "c5/deep: no part"),
    "another's name": (put("attachments/c5/c5" + "0" * 62), "c5000"),
    "a half-written file": (put("attachments/c5/x.123.half"), "x.123.half: no part"),
    "a file in the folder": (put("notes.txt"), "notes.txt: no part"),
    "another register": (put("other.sqlite"), "other.sqlite: no part"),
    "a hidden file": (put(".hidden"), ".hidden: no part"),
    "settings that are a link": (moved_and_linked("site.toml"), "site.toml: a link"),
    "a register that is a link": (
        moved_and_linked("register.sqlite"), "register.sqlite: a link",
    ),
    "a store that is a link": (moved_and_linked("attachments"), "attachments: a link"),
    "a pipe among the templates": (
        lambda s: os.mkfifo(s / "templates" / "x.csv"), "x.csv: a folder, a pipe",
    ),
    "a link among the templates": (
        lambda s: (s / "templates" / "x.csv").symlink_to("/etc/hostname"),
        "x.csv: a link",
    ),
    "a folder among the models": (put("models/deep/x"), "models/deep: a folder"),
    "something in the head of the register": (
        in_the_head, "bytes 72 to 91 of the file are kept empty, and 68696464656e",
    ),
    "a register that is there twice": (
        named_twice("register.sqlite"), "register.sqlite: the file has 2 names",
    ),
    "settings that are there twice": (
        named_twice("site.toml"), "site.toml: the file has 2 names",
    ),
    "something behind the register": (longer, "something was put behind them"),
    "another training day": (
        settings("2026-01-01", "2020-01-01"), "fixed_day 2020-01-01, the chain 2026-01",
    ),
    "the training day taken out": (
        settings("fixed_day", "# fixed_day"), "fixed_day none, the chain 2026-01-01",
    ),
    "a setting that nobody knows": (
        settings("code =", "reach = 9\ncode ="), "there is no setting reach",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("change", "told"), CHANGED.values(), ids=list(CHANGED))
def test_what_was_changed_is_named(site, change, told):
    change(site)
    report = verify_site(site)
    assert not report.is_sound
    assert any(told in line for line in report.lines), report.lines


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ([put("templates/deep/x")], "none of them in the register itself"),
        ([put("shown/x.png")], "none of them in the register itself"),
        ([put("notes.txt"), longer], "restore the last backup"),
        ([in_the_head], "restore the last backup"),
        ([moved_and_linked("site.toml")], "none of them in the register itself"),
    ],
)
def test_the_last_line_is_of_the_kind_of_fault(site, changes, says):
    for change in changes:
        change(site)
    *_, last = verify_site(site).lines
    assert says in last
    assert ("Do what each line says" in last) == ("none of them" in says)


def in_place_of_the_register(site: Path) -> Path:
    (site / "register.sqlite").unlink()
    return site / "register.sqlite"


def behind_a_link(site: Path) -> Path:
    """A journal that SQLite looks for where a link leads to."""
    moved_and_linked("register.sqlite")(site)
    return site.parent / "register.sqlite-journal"


PLACES = {
    "the register": in_place_of_the_register,
    "behind a link": behind_a_link,
    "its journal": lambda s: s / "register.sqlite-journal",
    "a wal": lambda s: s / "register.sqlite-wal",
    "a shm": lambda s: s / "register.sqlite-shm",
}
ODD = {
    "a pipe": os.mkfifo,
    "a folder": Path.mkdir,
    "a link to nothing": lambda p: p.symlink_to(p.parent / "none"),
}


# A link in the register's own place is followed; that it leads to nothing is said.
BOTH = [
    (p, o) for p in PLACES for o in ODD if (p[-8:], o[:6]) != ("register", "a link")
]


@pytest.mark.parametrize(("place", "make"), BOTH)
def test_no_register_is_opened_beside_what_is_no_plain_file(site, place, make):
    """A pipe under the name of a journal was waited for without end."""
    path = PLACES[place](site)
    ODD[make](path)
    for command in (verify_site, open_site):
        with pytest.raises(BrokenRegister, match=r"storage\.not_plain") as refused:
            command(site)
        assert refused.value.problems[0].values["place"] == str(path)


@pytest.mark.parametrize("lock", ["EXCLUSIVE", "IMMEDIATE"])
def test_a_reader_waits_for_a_writer_and_then_tells(site, monkeypatch, lock):
    monkeypatch.setattr(database, "READ_SECONDS", 0.1)
    other = sqlite3.connect(site / "register.sqlite", isolation_level=None)
    other.execute(f"BEGIN {lock}")
    try:
        if lock == "IMMEDIATE":
            assert verify_site(site).is_sound
            return
        with pytest.raises(Refused, match=r"storage\.busy") as refused:
            open_site(site)
    finally:
        other.close()
    assert "30 seconds to read and 5 minutes to write" in line_of(
        refused.value.problems[0]
    )
    monkeypatch.undo()
    assert (database.READ_SECONDS, database.WAIT_SECONDS) == (30, 300)


def test_sound_is_said_with_what_it_was_compared_with(site):
    report = verify_site(site)
    assert report.is_sound
    assert "agrees with itself; compared with nothing outside" in report.lines[0]
    fingerprint = report.lines[0].split()[-1]
    held = verify_site(site, fingerprint)
    assert "nothing outside" not in held.lines[0]
    assert fingerprint in held.lines[1]


RIGHTS = [
    ("register.sqlite", 0o604, True),
    ("register.sqlite", 0o602, True),
    ("register.sqlite", 0o660, False),
    ("site.toml", 0o646, True),
    ("site.toml", 0o664, False),
]


@pytest.mark.parametrize(("name", "mode", "is_told"), RIGHTS)
def test_rights_of_everybody_are_told_and_sound(site, name, mode, is_told):
    """What a group may do is for whoever keeps the site to say."""
    (site / name).chmod(mode)
    report = verify_site(site)
    assert report.is_sound
    told = f"{name}: everybody on this machine may read or change it"
    assert any(told in line for line in report.lines) == is_told


def test_what_is_the_users_own_is_not_named(site):
    put("templates/my_joints.csv")(site)
    put("models/learned.json")(site)
    assert verify_site(site).is_sound


def test_what_an_unfinished_load_left_is_told_and_sound(site):
    left = "a2/a2" + "0" * 62
    digest = hashlib.sha256(b"left").hexdigest()
    put(f"attachments/{digest[:2]}/{digest}", "left")(site)
    report = verify_site(site)
    assert report.is_sound
    assert "no record names it" in report.lines[0]
    put(f"attachments/{left}")(site)
    assert not verify_site(site).is_sound
