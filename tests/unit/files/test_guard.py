"""Single files: where they may go, over what, and with which rights."""

import os
import zipfile
from pathlib import Path

import pytest

import jointmap
from jointmap.errors import WrongUse
from jointmap.files import check_new_place, check_output, publishing, put_file
from jointmap.files.manifest import SiteMark
from jointmap.files.marks import GENERATOR, JOINTS_HEADING
from jointmap.files.single import put_private

SPECIAL = ("/dev/null", "pipe", "linked")
PAGE = f"<html>{GENERATOR}"
SQLITE = b"SQLite format 3\0" + bytes(84)


@pytest.fixture
def place(tmp_path):
    """A folder with a site, a register elsewhere, a backup, pages and a letter."""
    site = tmp_path / "site"
    (site / "attachments").mkdir(parents=True)
    (site / "site.toml").write_text('code = "X"')
    (site / "register.sqlite").write_bytes(SQLITE)
    (tmp_path / "away.sqlite").write_bytes(SQLITE)
    with zipfile.ZipFile(tmp_path / "backup.zip", "w") as archive:
        archive.writestr("backup.json", "{}")
    with publishing(tmp_path / "pages", "pages", SiteMark("X", "1-aa")) as folder:
        folder.put([("index.html", PAGE)], "1-x")
    (tmp_path / "letter.txt").write_text("mine")
    (tmp_path / "ours.html").write_text(PAGE)
    (tmp_path / "empty").write_text("")
    (tmp_path / "to_site").symlink_to(site)
    (tmp_path / "to_register").symlink_to(site / "register.sqlite")
    (tmp_path / "to_nothing").symlink_to(site / "new")
    (tmp_path / "same_register").hardlink_to(site / "register.sqlite")
    os.mkfifo(tmp_path / "pipe")
    return tmp_path


ALWAYS = [
    ("site/register.sqlite", "in_site"),
    ("site/REGISTER.SQLITE", "in_site"),
    ("site/new.html", "in_site"),
    ("site/attachments/../site.toml", "in_site"),
    ("pages/../site/attachments/x", "in_site"),
    ("site", "in_site"),
    ("to_site/x.html", "in_site"),
    ("to_register", "in_site"),
    ("to_nothing", "in_site"),
    ("same_register", "record"),
    ("away.sqlite", "record"),
    ("away.sqlite-journal", "record"),
    ("away.sqlite-WAL", "record"),
    ("backup.zip", "record"),
    ("pages/index.html", "page"),
    ("pages", "is_folder"),
    ("none/x.html", "no_folder"),
    ("letter.txt/x.html", "no_folder"),
    ("pipe", "no_file"),
    ("/dev/null", "no_file"),
    ("/", "mount"),
    (str(jointmap.__file__), "in_program"),
]


@pytest.mark.parametrize(("name", "says"), ALWAYS)
def test_never(place, name, says):
    before = sorted((p, p.lstat().st_mtime_ns) for p in place.rglob("*"))
    for force in (False, True):
        with pytest.raises(WrongUse, match=f"output.{says}"):
            put_file(place / name, "new", force=force)
    assert sorted((p, p.lstat().st_mtime_ns) for p in place.rglob("*")) == before


def test_over_what_others_wrote_only_by_force(place):
    letter = place / "letter.txt"
    with pytest.raises(WrongUse, match=r"output\.not_ours"):
        put_file(letter, "new")
    assert letter.read_text() == "mine"
    told = put_file(letter, "new", force=True)
    assert [(t.id, t.values["size"]) for t in told] == [("output.replaced", 4)]
    assert letter.read_text() == "new"


@pytest.mark.parametrize("name", ["ours.html", "empty", "new.html", "pages/own.html"])
def test_over_our_own_and_in_a_new_place(place, name):
    assert put_file(place / name, "new") == []
    assert (place / name).read_text() == "new"
    assert not list(place.rglob(".*"))


@pytest.mark.parametrize(
    ("data", "is_ours"),
    [
        (f"{JOINTS_HEADING}due\n".encode(), True),
        (b"tag,boundary\n", False),
        (b'{"type": "x",\n"description": "jointmap joints",', True),
        (b'<?xml?><gpx version="1.1" creator="jointmap">', True),
        (b'<?xml?><gpx version="1.1" creator="other">', False),
        (b"%PDF-1.7 <</Keywords(jointmap)>>", True),
        (b"%PDF-1.7 <</Keywords(other)>>", False),
        (SQLITE[:68] + b"GPKG" + b"jointmap joints", True),
        (SQLITE[:68] + b"GPKG" + b"other", False),
        (b"<html>jointmap", False),
    ],
)
def test_our_own_is_known_by_its_content(tmp_path, data, is_ours):
    file = tmp_path / "any name"
    file.write_bytes(data)
    if is_ours:
        assert check_output(file) == file
    else:
        with pytest.raises(WrongUse, match=r"output\.not_ours"):
            check_output(file)


@pytest.mark.parametrize(
    ("name", "says"),
    [("site/x", "in_site"), ("pages/x", "in_pages"), ("away.sqlite-shm", "record")],
)
def test_what_must_be_new_stands_apart(place, name, says):
    with pytest.raises(WrongUse, match=f"output.{says}"):
        check_new_place(place / name)


def test_a_fault_while_writing_leaves_the_old(place):
    def fails(path):
        path.write_text("half")
        raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space"):
        put_file(place / "ours.html", fails)
    assert (place / "ours.html").read_text() == PAGE
    assert not list(place.rglob(".*"))


def test_a_file_of_a_site_is_private_whatever_the_mask(tmp_path):
    mask = os.umask(0)
    try:
        put_private(tmp_path / "model.json", b"{}")
        put_file(tmp_path / "page.html", PAGE)
    finally:
        os.umask(mask)
    assert (tmp_path / "model.json").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "page.html").stat().st_mode & 0o777 == 0o666


def test_rights_of_a_replaced_file_stay(tmp_path):
    put_file(tmp_path / "page.html", PAGE)
    (tmp_path / "page.html").chmod(0o600)
    put_file(tmp_path / "page.html", f"{PAGE}x")
    assert (tmp_path / "page.html").stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("name", SPECIAL)
@pytest.mark.parametrize("check", [check_output, check_new_place])
def test_a_device_or_a_pipe_is_told_as_what_it_is(tmp_path, name, check):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "linked").symlink_to(tmp_path / "pipe")
    with pytest.raises(WrongUse, match=r"output\.no_file") as refused:
        check(tmp_path / name)
    assert refused.value.problems[0].values["place"] == str(tmp_path / name)


def test_what_an_open_pipe_is_called_by_the_system_is_no_place():
    """It has no name under which a file could be put: no folder is looked for."""
    reader, writer = os.pipe()
    try:
        with pytest.raises(WrongUse, match=r"output\.no_file"):
            check_output(Path(f"/proc/self/fd/{writer}"))
    finally:
        os.close(reader)
        os.close(writer)
