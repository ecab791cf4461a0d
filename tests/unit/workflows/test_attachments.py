"""Files that come in: kept as sent, known by content, only those that are named."""

import datetime as dt
import hashlib
import os
import threading

import pytest

from jointmap.changes.attach import attach
from jointmap.changes.change import Change
from jointmap.changes.change_joint import rename
from jointmap.changes.load import load
from jointmap.errors import Refused, WrongUse
from jointmap.register import PhotoPlace
from jointmap.storage import attachment_files
from jointmap.storage.attachment_files import (
    fault_of,
    keep,
    path_of,
    take,
)
from jointmap.wording.problems import line_of
from jointmap.workflows.soundness.site_files import file_problems
from tests.attached_files import (
    NOW,
    attached,
    change,
    files,
    records,
    sound_site,
    told,
    verified,
)
from tests.opened_site import every_finding
from tests.pictures_made import ACCEPTED, CARRIERS, NOT_ACCEPTED, PNG, drawing, photo
from tests.small_site import write


@pytest.fixture
def site(tmp_path):
    yield from sound_site(tmp_path)


def test_one_file_for_many_records(site, tmp_path):
    for key in ("J-1", "J-2"):
        attached(site, tmp_path, "..strange $(name)", PNG, key)
    kept = records(site)
    assert [a.subject_key for a in kept] == ["J-1", "J-2"]
    assert files(site) == [path_of(site.path, kept[0].sha256)]
    assert files(site)[0].read_bytes() == PNG
    with pytest.raises(WrongUse, match=r"attach\.same"):
        attached(site, tmp_path, "..strange $(name)", PNG, "J-1")


TOLD = {
    "png": ["pages show a copy made anew"],
    "note": ["download only: files of this type"],
    "pdf": ["download only: files of this type"],
    "png of a bomb": ["download only: it has 3,600,000,000 dots"],
    "jpeg cut short": [
        "download only: taking it apart for a copy was stopped (OSError"
    ],
    "moving webp": ["only the first of its pictures"],
    "jpeg with a script": ["camera's own position is"],
}


@pytest.mark.parametrize("name", TOLD)
def test_attach_tells_what_it_kept_and_what_pages_show(site, tmp_path, name):
    data, media_type = ACCEPTED[name]
    lines = "\n".join(attached(site, tmp_path, "x", data))
    sha256 = hashlib.sha256(data).hexdigest()
    for words in (*TOLD[name], media_type, sha256, f"{len(data):,} bytes"):
        assert words in lines
    assert path_of(site.path, sha256).read_bytes() == data


def test_a_drawing_with_a_script_is_shown_without(site, tmp_path):
    lines = attached(site, tmp_path, "x.svg", CARRIERS["script"])
    assert any("shown without script" in line for line in lines)
    assert (
        path_of(site.path, records(site)[0].sha256).read_bytes() == CARRIERS["script"]
    )


@pytest.mark.parametrize("name", NOT_ACCEPTED)
def test_what_is_refused_leaves_nothing(site, tmp_path, name):
    with pytest.raises(Refused) as refused:
        attached(site, tmp_path, "x.png", NOT_ACCEPTED[name])
    assert "x.png" in told(refused)
    assert "accepted kinds" in told(refused) or "reads it" in told(refused)
    # A reader's own word for what went wrong is none of a person's.
    assert "Error" not in told(refused)
    assert (records(site), files(site)) == ([], [])


def test_what_is_no_file_or_too_large(site, tmp_path, monkeypatch):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "ln.txt").symlink_to("/etc/hostname")
    for name, says in (
        ("none", "no such file"),
        ("pipe", "this is a pipe, not a plain file"),
        (".", "this is a folder, not a plain file"),
        ("ln.txt", "this is a link to another file, which is not followed"),
    ):
        with pytest.raises(Refused) as refused:
            attach(site, tmp_path / name, ("joint", "J-1"), "", change())
        assert says in told(refused)
    with pytest.raises(Refused, match="unreadable"):
        attach(site, tmp_path / "\x00", ("joint", "J-1"), "", change())
    monkeypatch.setattr(attachment_files, "MOST_BYTES", 3)
    with pytest.raises(Refused, match="too_big"):
        attached(site, tmp_path, "x.png", PNG)
    with pytest.raises(ValueError, match=r"\.\."):
        path_of(site.path, "../../x")


def test_what_it_shows_is_no_longer_than_a_cell(site, tmp_path):
    with pytest.raises(Refused) as refused:
        attached(site, tmp_path, "p.png", PNG, view="v" * 50_000)
    assert "--view" in told(refused)
    assert (records(site), files(site)) == ([], [])


def test_an_unknown_record_or_person_leaves_nothing(site, tmp_path):
    with pytest.raises(WrongUse, match="unknown"):
        attached(site, tmp_path, "x", PNG, "J-7")
    with pytest.raises(WrongUse, match="unknown_person"):
        attach(site, tmp_path / "x", ("joint", "J-1"), "", Change(
            NOW.date(), NOW, "T9", "a reason"))  # fmt: skip
    assert (records(site), files(site)) == ([], [])


def test_nothing_is_locked_while_a_file_is_taken_apart(site, tmp_path, monkeypatch):
    from jointmap.attached import receiving

    looked, go_on = threading.Event(), threading.Event()
    first = receiving.answers

    def slow(*args, **more):
        looked.set()
        assert go_on.wait(20)
        return first(*args, **more)

    monkeypatch.setattr(receiving, "answers", slow)
    done = []
    worker = threading.Thread(
        target=lambda: done.append(attached(site, tmp_path, "x", b"a note"))
    )
    worker.start()
    assert looked.wait(20)
    now = NOW + dt.timedelta(seconds=1)
    rename(site, "J-2", "J-9", Change(NOW.date(), now, "T1", "meanwhile"))
    go_on.set()
    worker.join(20)
    assert done


def test_a_spoilt_file_in_the_store_is_put_right(site, tmp_path):
    for _ in range(2):
        with (tmp_path / "x").open("w+b") as source:
            source.write(PNG)
            source.seek(0)
            with take(site.path, source, "x") as taken:
                keep(site.path, taken)
        path = path_of(site.path, taken.sha256)
        assert fault_of(path, taken.sha256, len(PNG)) == ""
        path.write_bytes(b"spoilt")
    path.unlink()


def test_what_a_kill_left_on_its_way_in_goes(site, tmp_path):
    attached(site, tmp_path, "x", b"a note")
    (site.path / "coming" / "left").write_bytes(b"half a picture")
    with (tmp_path / "x").open("rb") as first, take(site.path, first, "x") as one:
        assert one.half.exists()
        with (tmp_path / "x").open("rb") as second, take(site.path, second, "x"):
            assert one.half.exists(), "another's is not taken for litter"
            assert len(list((site.path / "coming").iterdir())) == 2


def test_a_pipe_among_files_on_their_way_in_is_not_waited_for(site, tmp_path):
    attached(site, tmp_path, "x", b"a note")
    pipe = site.path / "coming" / "pipe"
    os.mkfifo(pipe)
    attached(site, tmp_path, "y", b"another note")
    assert f"{pipe}: no part of this site" in verified(site).lines[0]
    pipe.unlink()


def test_verify_names_what_nobody_attached(site, tmp_path):
    attached(site, tmp_path, "p.png", PNG)
    stray = {
        "shown/x": "file_foreign",
        "shown/ab/x.json": "file_foreign",
        f"shown/ab/{'ab' * 32}.json": "file_left",
        f"shown/cd/{'ab' * 32}.txt": "file_foreign",
        "coming/x": "file_left",
    }
    for name in stray:
        write((site.path / name).parent, {name.rsplit("/", 1)[1]: "x"})
    (sha256,) = {a.sha256 for a in records(site)}
    told_ = list(file_problems(site.path, site.path / "register.sqlite", {sha256}))
    found = {p.values["place"]: p.id for p in told_}
    wanted = {str(site.path / n): f"verify.{id_}" for n, id_ in stray.items()}
    assert {p: i for p, i in found.items() if "sent-" not in p} == wanted
    for name in stray:
        (site.path / name).unlink()


HEAD = "file,sha256,media_type,size_bytes,subject,subject_key"


def row(file="photos/p.png", data=PNG, media_type="image/png", to="joint,J-1", sha=""):
    sha = sha or hashlib.sha256(data).hexdigest()
    return f"{file},{sha},{media_type},{len(data)},{to}\n"


def delivered(site, folder, text, sent=None, *, head=HEAD, dry_run=False):
    sheet = write(folder, {"attachments.csv": f"{head}\n{text}"}) / "attachments.csv"
    for name, data in ({"photos/p.png": PNG} if sent is None else sent).items():
        write((folder / name).parent, {(folder / name).name: data})
    now = change().now
    return load(site, [sheet], now=now, by="T1", reason="sent", dry_run=dry_run)


def test_a_delivery_brings_the_files_it_names(site, tmp_path):
    assert delivered(site, tmp_path / "dry", row(), dry_run=True).is_clean
    assert files(site) == []
    assert delivered(site, tmp_path / "sent", row() + row(to="joint,J-2")).is_clean
    kept = records(site)
    assert [a.subject_key for a in kept] == ["J-1", "J-2"]
    assert files(site) == [path_of(site.path, kept[0].sha256)]
    # Once kept it need not be sent again.
    more = row(file="", to="boundary,B-1")
    assert delivered(site, tmp_path / "again", more, {}).is_clean


ROWS = {
    "another type": (row(media_type="image/jpeg"), "the file itself says image/png"),
    "another hash": (row(sha="ab" * 32), "the file itself says"),
    "no hash": (row(sha="../../etc"), "the file itself says"),
    "not there": (row(file="photos/q.png"), "there is no such file"),
    "no name": (row(file=""), "in the column file"),
    "no name or hash": (row(file="", sha="../../etc"), "in the column file"),
    "out": (row(file="../secret"), "inside the folder"),
    "out and in": (row(file="photos/../../secret"), "inside the folder"),
    "absolute": (row(file="/etc/passwd"), "inside the folder"),
    "of a drive": (row(file="C:/x"), "inside the folder"),
    "backwards": (row(file="photos\\p.png"), "inside the folder"),
    "a folder": (row(file="photos"), "plain file"),
    "a link": (row(file="link.png"), "this is a link"),
    "through a link": (row(file="linked/p.png"), "this is a link"),
    "a pipe": (row(file="pipe"), "plain file"),
    "a page": (row(file="page.png", data=b"<p/>"), "its root is p"),
    "no kind": (row(to="gasket,J-1"), "accepted: site, person"),
    "no record": (row(to="joint,J-7"), "nearest: J-"),
    "no key": (row(to="device,J-1"), "nearest: J-1 2020-01-05"),
    "a held value": (row(to="held,J-1"), "no such kind of record"),
}


@pytest.mark.parametrize("name", ROWS)
def test_a_row_that_is_refused_brings_nothing(site, tmp_path, name):
    text, says = ROWS[name]
    folder = tmp_path / "sent"
    write(folder / "photos", {"p.png": PNG})
    write(tmp_path, {"secret": PNG})
    (folder / "link.png").symlink_to(tmp_path / "secret")
    (folder / "linked").symlink_to(folder / "photos")
    os.mkfifo(folder / "pipe")
    report = delivered(site, folder, text, {"page.png": b"<p/>"})
    line = line_of(report.refused[0])
    assert says in line
    assert line.startswith("attachments.csv, line 2, column ")
    assert (records(site), files(site)) == ([], [])


@pytest.mark.parametrize(
    "to", ["joint,OLD", "device,J-1 2020-01-05", "site,SML", "boundary,B-1"]
)
def test_what_a_file_may_be_attached_to(site, tmp_path, to):
    rename(site, "J-2", "J-3", change())
    report = delivered(site, tmp_path / "sent", row(to=to.replace("OLD", "J-2")))
    assert report.is_clean, report


def test_older_deliveries_name_a_file_by_its_own_name(site, tmp_path):
    head = "sha256,media_type,size_bytes,subject,subject_key,original_name"
    sha = hashlib.sha256(PNG).hexdigest()
    text = f"{sha},image/png,{len(PNG)},joint,J-1,p.png\n"
    # Another file of that name is not taken for it; a deeper one is not looked for.
    deep = {"a/p.png": drawing(), "a/b/p.png": PNG}
    assert delivered(site, tmp_path / "deep", text, deep, head=head).refused
    own = {"a/p.png": drawing(), "photos/p.png": PNG}
    assert delivered(site, tmp_path / "own", text, own, head=head).is_clean
    for name in ("../p.png", "..", "a/p.png"):
        other = text.replace("p.png", name).replace("J-1", "J-2").replace(sha, "a" * 64)
        assert delivered(site, tmp_path / "odd", other, own, head=head).refused


def test_only_named_files_are_read(site, tmp_path, monkeypatch):
    opened_ = []
    first = os.open
    monkeypatch.setattr(
        os,
        "open",
        lambda path, *more, **most: (
            opened_.append(str(path)) or first(path, *more, **most)
        ),
    )
    sent = {f"photos/other{n}.png": PNG + bytes([n]) for n in range(5)}
    delivered(site, tmp_path / "sent", row(), {**sent, "photos/p.png": PNG})
    assert any(p.endswith("p.png") for p in opened_)
    assert not any("other" in p for p in opened_)


def test_a_whole_delivery_refused_leaves_no_file(site, tmp_path):
    folder = tmp_path / "sent"
    write(folder / "photos", {"p.png": PNG})
    write(folder, {"attachments.csv": f"{HEAD}\n{row()}"})
    with pytest.raises(WrongUse, match="unknown_person"):
        load(site, [folder], now=change().now, by="T9", reason="sent")
    assert files(site) == []


def test_a_cameras_place_is_kept_apart(site, tmp_path):
    near = photo(latitude=(31, 24, 1), longitude=(41, 54, 0))
    lines = attached(site, tmp_path, "near.jpg", near, view="front")
    assert any("is 30.8 m from joint 'J-1'" in line for line in lines), lines
    far = photo(latitude=(31, 26, 0))
    attached(site, tmp_path, "far.jpg", far, view="<b>behind")
    attached(site, tmp_path, "far.jpg", far, "J-2")
    places = records(site, PhotoPlace)
    assert [p.taken_on for p in places] == [dt.date(2026, 4, 2)] * 2
    found = [f for f in every_finding(site) if f.kind == "photo_far"]
    assert [f.subject.text for f in found] == ["J-1", "J-2"]
    assert "'<b>behind' says it was 3.7 km from the joint" in found[0].sentence


def test_a_delivery_brings_the_places_of_its_photos(site, tmp_path):
    data = photo()
    text = row("photos/p.jpg", data, "image/jpeg")
    assert delivered(site, tmp_path / "sent", text, {"photos/p.jpg": data}).is_clean
    assert [p.latitude_deg for p in records(site, PhotoPlace)] == [31.4]
