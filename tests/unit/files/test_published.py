"""A published folder changes over whole, keeps what is not ours, and waits its turn."""

import errno
import os
import threading
import time

import pytest

from jointmap.errors import WrongUse
from jointmap.files import locks, publishing, turns
from jointmap.files.manifest import read_manifest
from jointmap.files.names import LOCK, MANIFEST, NEW, OLD, beside
from jointmap.files.turns import turn
from tests.published_folders import (
    NEW_PAGES,
    OLD_PAGES,
    OURS,
    alone,
    as_bytes,
    put,
    tree,
)


@pytest.fixture(params=["exchange", "two renames"])
def out(request, tmp_path, monkeypatch):
    """A published folder, where folders can change places at once and where not."""
    if request.param == "two renames":
        monkeypatch.setattr(turns, "exchanged", lambda *_: False)
    elif not turns.exchanged(tmp_path, tmp_path):
        pytest.skip("no exchange of folders here: the other way was tried")
    assert put(tmp_path / "out" / "pages", OLD_PAGES) == []
    return tmp_path / "out" / "pages"


def test_old_is_gone_and_unchanged_stays_the_same_file(out):
    before = (out / "deep/a.html").stat()
    assert put(out, NEW_PAGES, state="2-y") == []
    assert tree(out) == as_bytes(NEW_PAGES)
    after = (out / "deep/a.html").stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    assert read_manifest(out).state == "2-y"
    alone(out)


def test_the_same_pages_give_the_same_bytes(out, tmp_path):
    put(tmp_path / "again", OLD_PAGES)
    assert (tmp_path / "again" / MANIFEST).read_bytes() == (out / MANIFEST).read_bytes()


def test_what_others_laid_there_is_carried_over_and_told(out):
    (out / "deep/note.txt").write_text("mine")
    (out / "empty").mkdir()
    (out / "link").symlink_to("deep/note.txt")
    with publishing(out, "pages", OURS) as folder:
        (out / "late.txt").write_text("laid there meanwhile")
        folder.put(NEW_PAGES.items(), "2-y")
    assert [p.values["names"] for p in folder.told] == [
        "deep/note.txt, link",
        "late.txt",
    ]
    assert (out / "empty").is_dir()
    assert (out / "link").readlink().as_posix() == "deep/note.txt"
    own = {"deep/note.txt": b"mine", "link": b"mine"}
    assert tree(out) == as_bytes(NEW_PAGES) | own | {
        "late.txt": b"laid there meanwhile"
    }
    alone(out)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda out: (out / "index.html").write_text("by hand"),
        lambda out: (out / "deep/gone.html").write_text("by hand"),
        lambda out: (out / "more").mkdir() or (out / "more/b.html").write_text("x"),
        lambda out: (
            (out / "index.html").unlink()
            or (out / "index.html").symlink_to("deep/a.html")
        ),
    ],
)
def test_what_was_changed_by_hand_is_asked(out, spoil):
    spoil(out)
    before = tree(out)
    with pytest.raises(WrongUse, match=r"output\.edited"):
        put(out, NEW_PAGES)
    assert tree(out) == before
    alone(out)
    assert put(out, NEW_PAGES, force=True) == ["output.replaced_page"]
    assert tree(out) == as_bytes(NEW_PAGES)


def test_folders_published_within_stay_as_they_are(out):
    put(out / "months" / "2026-06", {"index.html": "june"}, "month", state="1-x")
    with publishing(out, "pages", OURS) as folder:
        assert folder.nested("months", "month") == {"2026-06": "1-x"}
        folder.put(NEW_PAGES.items(), "2-y")
    assert folder.told == []
    month = as_bytes({"months/2026-06/index.html": "june"})
    assert tree(out) == as_bytes(NEW_PAGES) | month
    # What is no longer planned goes from the month, and nothing else.
    put(out / "months" / "2026-06", {"other.html": "july"}, "month")
    month = as_bytes({"months/2026-06/other.html": "july"})
    assert tree(out) == as_bytes(NEW_PAGES) | month


def test_a_month_may_come_before_the_pages(tmp_path):
    put(tmp_path / "p" / "months" / "2026-06", {"index.html": "june"}, "month")
    put(tmp_path / "p", OLD_PAGES)
    assert "months/2026-06/index.html" in tree(tmp_path / "p")


def laid(folder, name, text="mine"):
    (folder / name).parent.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text(text)
    return folder


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda p: laid(p / "out", "letter.txt"), "folder_not_ours"),
        (lambda p: laid(p / "out", MANIFEST, "{}"), "folder_not_ours"),
        (lambda p: laid(p / "out", MANIFEST, "[" * 99_999), "folder_not_ours"),
        (lambda p: laid(p / "out", "deep/site.toml"), "holds_site"),
        (lambda p: laid(p / "out", "site.toml"), "in_site"),
        (lambda p: laid(p, "out") / "out", "is_file"),
        (lambda p: put(p / "out", OLD_PAGES, "month") or p / "out", "other_kind"),
        (lambda p: laid(p, "s/site.toml") / "s" / "new", "in_site"),
    ],
)
def test_a_folder_of_others_is_refused(tmp_path, make, says):
    out = make(tmp_path)
    before = sorted(tmp_path.rglob("*"))
    for force in (False, True):
        with pytest.raises(WrongUse, match=f"output.{says}"):
            put(out, OLD_PAGES, force=force)
    assert sorted(tmp_path.rglob("*")) == before


def test_a_folder_of_many_strangers_is_not_gone_through(tmp_path):
    for number in range(30):
        laid(tmp_path / "home", f"{number:02}.txt")
    (tmp_path / "home" / "99.txt").symlink_to("nowhere")
    with pytest.raises(WrongUse, match=r"00\.txt, 01\.txt, 02\.txt"):
        put(tmp_path / "home", OLD_PAGES)


def test_pipes_and_the_folder_one_is_in_are_refused(out, monkeypatch):
    os.mkfifo(out / "pipe")
    with pytest.raises(WrongUse, match=r"output\.special"):
        put(out, NEW_PAGES)
    (out / "pipe").unlink()
    monkeypatch.chdir(out / "deep")
    with pytest.raises(WrongUse, match=r"output\.inside"):
        put(out, NEW_PAGES)


def test_a_link_to_the_folder_stays_a_link(out, tmp_path):
    (tmp_path / "link").symlink_to(out)
    put(tmp_path / "link", NEW_PAGES)
    assert (tmp_path / "link").is_symlink()
    assert tree(out) == as_bytes(NEW_PAGES)
    alone(out)


def test_rights_of_folder_and_pages_stay(out):
    out.chmod(0o750)
    (out / "index.html").chmod(0o640)
    put(out, NEW_PAGES)
    assert out.stat().st_mode & 0o777 == 0o750
    assert (out / "index.html").stat().st_mode & 0o777 == 0o640


def test_a_full_disk_leaves_the_old(out, monkeypatch):
    def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("pathlib.Path.write_bytes", full)
    with pytest.raises(OSError, match="No space left") as refused:
        put(out, NEW_PAGES)
    assert refused.value.filename == str(out)
    assert tree(out) == as_bytes(OLD_PAGES)
    alone(out)


def test_what_stopped_between_two_renames_is_put_back(out):
    """The pages were away and the new ones not there yet."""
    left = beside(out)
    (left / NEW).mkdir(parents=True)
    (left / OLD).parent.mkdir(exist_ok=True)
    out.rename(left / OLD)
    # Another run in the same folder puts them back and clears away.
    put(out.parent / "other", NEW_PAGES)
    assert tree(out) == as_bytes(OLD_PAGES)
    assert sorted(p.name for p in out.parent.iterdir()) == ["other", "pages"]


def test_a_second_rename_that_fails_is_undone(out, monkeypatch):
    monkeypatch.setattr(turns, "exchanged", lambda *_: False)
    replace, calls = type(out).replace, []

    def fails_once(self, target):
        calls.append(target)
        if len(calls) == 2:
            raise OSError(errno.EIO, "Input/output error", str(target))
        return replace(self, target)

    monkeypatch.setattr("pathlib.Path.replace", fails_once)
    with pytest.raises(OSError, match="Input/output"):
        put(out, NEW_PAGES)
    assert tree(out) == as_bytes(OLD_PAGES)
    alone(out)


def test_many_at_once_come_one_after_the_other(tmp_path):
    """Whoever opens the folder sees the pages of one run, whole."""
    out, mixed, done = tmp_path / "pages", [], threading.Event()
    names = [f"{n}.html" for n in range(20)]
    put(out, dict.fromkeys(names, "0"))

    def look():
        while not done.is_set():
            folder = os.open(out, os.O_DIRECTORY)
            seen = set()
            for name in names:
                try:
                    file = os.open(name, os.O_RDONLY, dir_fd=folder)
                except FileNotFoundError:  # the old folder is being cleared away
                    continue
                seen.add(os.read(file, 9))
                os.close(file)
            os.close(folder)
            mixed.extend([seen] if len(seen) > 1 else [])

    def write(number):
        for _ in range(5):
            put(out, dict.fromkeys(names, str(number)))

    writers = [threading.Thread(target=write, args=(n,)) for n in range(4)]
    reader = threading.Thread(target=look)
    reader.start()
    for thread in writers:
        thread.start()
    for thread in writers:
        thread.join()
    done.set()
    reader.join()
    assert mixed == []
    assert len(set(tree(out).values())) == 1
    assert len(tree(out)) == len(names)
    alone(out)


def test_the_one_before_takes_its_folder_away_as_the_next_one_comes(
    tmp_path, monkeypatch
):
    """Between "it is there already" and the look at it, it can be gone."""
    folder, make = tmp_path / "drafts", os.mkdir
    folder.mkdir()

    def gone_at_once(path, *rest):
        monkeypatch.setattr(os, "mkdir", make)
        try:
            make(path, *rest)
        finally:
            folder.rmdir()

    monkeypatch.setattr(os, "mkdir", gone_at_once)
    monkeypatch.setattr(locks, "_PAUSE_SECOND", 0)
    lock = locks.take(folder, tries=2)
    assert lock is not None
    locks.give_back(lock, folder)
    assert not folder.exists()


def test_a_second_run_waits_and_one_that_died_is_not_waited_for(tmp_path, monkeypatch):
    out = tmp_path / "pages"
    with turn(out):
        monkeypatch.setattr(locks, "MOST_TRIES", 2)
        assert locks.take(beside(out), tries=2) is None
        # What another place's run clears away is not what is in use.
        put(tmp_path / "other", OLD_PAGES)
        assert beside(out).is_dir()
    (beside(out) / NEW / "pages").mkdir(parents=True)
    (beside(out) / LOCK).write_bytes(b"")
    start = time.monotonic()
    put(out, OLD_PAGES)
    assert time.monotonic() - start < 2
    assert sorted(p.name for p in tmp_path.iterdir()) == ["other", "pages"]


def test_a_folder_of_drafts_laid_by_others_is_not_used(tmp_path):
    (tmp_path / "elsewhere").mkdir()
    beside(tmp_path / "pages").symlink_to(tmp_path / "elsewhere")
    with pytest.raises((WrongUse, OSError)):
        put(tmp_path / "pages", OLD_PAGES)
    assert list((tmp_path / "elsewhere").iterdir()) == []
