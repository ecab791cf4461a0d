"""Copies that pages show: made from the file kept, believed by their seal only."""

import base64
import datetime as dt
import json
import os
from pathlib import Path

import pytest

from jointmap.changes.attach import attach
from jointmap.changes.change_joint import rename
from jointmap.storage.attachment_files import (
    path_of,
    shown_path_of,
)
from jointmap.workflows.learn import learn_text
from tests.attached_files import NOW, attached, change, shelf_of, sound_site, verified
from tests.pictures_made import PNG, photo


@pytest.fixture
def site(tmp_path):
    yield from sound_site(tmp_path)


def test_pages_show_copies_and_make_them_again(site, tmp_path):
    attached(site, tmp_path, "p.jpg", photo(), view="front")
    attached(site, tmp_path, "n.txt", b"a note", view="note")
    (note, front), pages = shelf_of(site)
    assert (note.small, note.page.text, bool(note.why)) == ("", "", True)
    assert front.small.startswith("data:image/jpeg;base64,")
    assert (front.is_taken, front.on) == (True, dt.date(2026, 4, 2))
    assert (note.is_taken, note.on) == (False, NOW.date())
    assert list(pages) == [front.page.href]
    copy = shown_path_of(site.path, front.sha256)
    spoilt = ["", "{", "[]", '{"form": 1}', '{"form": 0}', "[" * 10_000]
    html = copy.read_text().replace("image/jpeg", "text/html")
    for text in (*spoilt, html, copy.read_text().replace('"page": "', '"page": "<')):
        copy.write_text(text)
        assert shelf_of(site) == ((note, front), pages)
    copy.unlink()
    assert shelf_of(site) == ((note, front), pages)


def forged(copy, parts):
    """A copy with another picture in it, as somebody with the folder would make it."""
    seal, held = copy.read_text().split("\n", 1)
    held = json.dumps(json.loads(held) | parts)
    return f"{seal}\n{held}"


SCRIPT = base64.b64encode(b"<svg><script>alert(1)</script></svg>").decode()
FORGED = {
    "another page": {"page": base64.b64encode(PNG + b"0").decode()},
    "another small one": {"small": SCRIPT},
    "another drawing": {"page": SCRIPT, "media_type": "image/svg+xml"},
    "other notes": {"notes": ["nothing, and it was approved"]},
    "a reason": {"why": "nothing to see"},
}


@pytest.mark.parametrize("parts", FORGED.values(), ids=list(FORGED))
def test_a_forged_copy_is_named_and_not_shown(site, tmp_path, parts):
    attached(site, tmp_path, "p.png", PNG)
    before = shelf_of(site)
    copy = shown_path_of(site.path, before[0][0].sha256)
    copy.write_text(forged(copy, parts))
    report = verified(site)
    assert not report.is_sound
    assert f"{copy}: a copy for pages that this site did not make" in report.lines[0]
    assert shelf_of(site) == before
    assert verified(site).is_sound


def test_copies_of_two_files_do_not_change_places(site, tmp_path):
    attached(site, tmp_path, "p.png", PNG)
    attached(site, tmp_path, "p.jpg", photo())
    before = shelf_of(site)
    one, other = (shown_path_of(site.path, view.sha256) for view in before[0])
    first, second = one.read_bytes(), other.read_bytes()
    one.write_bytes(second)
    other.write_bytes(first)
    assert len(verified(site).lines) == 3
    assert shelf_of(site) == before


def test_a_copy_of_the_form_without_a_seal_is_told_and_made_again(site, tmp_path):
    attached(site, tmp_path, "p.png", PNG)
    before = shelf_of(site)
    copy = shown_path_of(site.path, before[0][0].sha256)
    parts = json.loads(copy.read_text().split("\n", 1)[1])
    copy.write_text(json.dumps({"form": 1} | parts | {"small": SCRIPT}))
    report = verified(site)
    assert report.is_sound
    assert f"{copy}: a copy for pages as older versions made it" in report.lines[0]
    assert shelf_of(site) == before
    assert len(verified(site).lines) == 1


@pytest.mark.parametrize(
    "make",
    [os.mkfifo, Path.mkdir, lambda p: p.symlink_to("/dev/zero")],
    ids=["a pipe", "a folder", "a link"],
)
def test_a_copy_that_is_no_plain_file_is_not_opened(site, tmp_path, make):
    attached(site, tmp_path, "p.png", PNG)
    before = shelf_of(site)
    copy = shown_path_of(site.path, before[0][0].sha256)
    copy.unlink()
    make(copy)
    assert any(str(copy) in line for line in verified(site).lines)
    assert shelf_of(site) == before


def test_a_file_that_is_gone_is_not_shown(site, tmp_path):
    attached(site, tmp_path, "p.png", PNG)
    (view,), _ = shelf_of(site)
    shown_path_of(site.path, view.sha256).unlink()
    path = path_of(site.path, view.sha256)
    path.write_bytes(PNG + b"changed")
    (view,), pages = shelf_of(site)
    assert "verify" in view.why
    assert pages == {}
    path.write_bytes(PNG)


def test_files_of_a_joints_devices_and_old_names_are_its_own(site, tmp_path):
    (tmp_path / "p").write_bytes(PNG)
    attach(site, tmp_path / "p", ("device", "J-1 2020-01-05"), "", change())
    attach(site, tmp_path / "p", ("joint", "J-1"), "", change())
    attach(site, tmp_path / "p", ("boundary", "B-1"), "", change())
    rename(site, "J-1", "J-5", change())
    assert len(shelf_of(site, "J-5")[0]) == 2
    assert shelf_of(site, "J-2")[0] == ()


def test_every_folder_of_a_site_is_its_owners(site, tmp_path):
    """Also where the mask of the user would let everybody look."""
    mask = os.umask(0)
    try:
        attached(site, tmp_path, "p.jpg", photo(), view="front")
        learn_text(site, on=NOW.date(), known=None)
    finally:
        os.umask(mask)
    names = ("attachments", "coming", "models", "shown", "templates")
    tops = [site.path / name for name in names]
    folders = [*tops, *(p for t in tops for p in t.rglob("*") if p.is_dir())]
    assert {p: oct(p.stat().st_mode & 0o777) for p in folders} == dict.fromkeys(
        folders, "0o700"
    )
