"""Deliveries that no register may trust: refused by name, nothing else touched."""

import datetime as dt
import hashlib
import os
import sqlite3
import time
from contextlib import closing

import pytest

from jointmap.changes.load import load
from jointmap.changes.sent.sent_sheets import paths_of, read_sheets
from jointmap.errors import Refused, WrongUse
from jointmap.sites.site_folder import read_settings
from jointmap.wording.problems import line_of
from jointmap.workflows.learn import OwnTables
from tests.opened_site import FIRST, opened, sent
from tests.small_site import SHEETS, write

JOINTS = "tag,boundary,area,state\n"
PLACED = "tag,boundary,area,state,easting,northing,crs\n"
READ = "joint,J-1,2025-03-02,,ohmmeter,routine,measured,"
TESTS = "scope,joint,tested_on,tested_at,method,stage,outcome,reading\n"
LATER = FIRST + dt.timedelta(days=90)
NINES = "9" * 4301


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    made = opened(tmp_path_factory.mktemp("brought"))
    yield made
    made.register.close()


def joint(tag):
    return {"joints.csv": f"{JOINTS}{tag},B-1,East,in duty\n"}


def placed(crs, x="500000"):
    tag = hashlib.sha256(f"{crs} {x}".encode()).hexdigest()[:6]
    return {"joints.csv": f"{PLACED}{tag},B-1,East,in duty,{x},3400000,{crs}\n"}


def instant(at):
    row = f"joint,J-1,2025-03-02,{at},ohmmeter,routine,measured,1 ohm\n"
    return {"tests.csv": TESTS + row}


REFUSED = {
    "case": (joint("j-1"), "row.same_letters", "J-1"),
    "Cyrillic": (joint("\u0408-1"), "row.same_letters", "J-1"),
    "full width": (joint("\uff2a-1"), "row.same_letters", "J-1"),
    "zero width": (joint("J\u200b-1"), "row.odd_mark", "U+200B"),
    "turned": (joint("J-1\u202e7"), "row.odd_mark", "U+202E"),
    "escape": (joint("J\x1b[2J"), "row.odd_mark", "U+001B"),
    "person": ({"people.csv": "code,role\nt1,planner\n"}, "row.same_letters", "T1"),
    "twice in a delivery": (
        {"people.csv": "code,role\nZ9,field technician\n\uff3a9,field technician\n"},
        "row.same_letters_sent",
        "people.csv:2",
    ),
    "year 1": (instant("0001-01-01T00:00:00+14:00"), "cell.instant", ""),
    "first instant": (instant("0001-01-01T00:00:00Z"), "cell.instant", ""),
    "year 9999": (instant("9999-12-31T23:59:59-14:00"), "cell.instant", ""),
    "long fraction": (
        {"tests.csv": f"{TESTS}{READ}1/{NINES} ohm\n"},
        "unit.too_long",
        "100",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_row_is_refused_with_what_it_looks_like(site, name):
    sheets, id_, told = REFUSED[name]
    report = sent(site, sheets)
    (problem,) = report.refused
    assert problem.id == id_
    assert problem.file in sheets
    assert problem.line > 1
    assert told in " ".join(map(str, problem.values.values()))


@pytest.mark.parametrize(
    "crs",
    [f"EPSG:{NINES}", "EPSG:99999999999999999999", "IAU_2015:49900", "EPSG:5773",
     "EPSG:4978", "+proj=longlat +a=10 +b=10", "@null", "x" * 5000, "\u0661"],
)  # fmt: skip
def test_position_in_an_unknown_system_waits(site, crs):
    report = sent(site, placed(crs))
    assert [p.id for p in report.held] == ["place.unreadable"]


@pytest.mark.parametrize("x", ["1_0", "\u0661\u0662", "nan", "inf", "1e999"])
def test_position_that_is_no_plain_number_waits(site, x):
    report = sent(site, placed("EPSG:32624", x))
    assert [p.id for p in report.held] == ["place.unreadable"]


def test_working_system_of_heights_is_refused(site):
    text = SHEETS["this_site.toml"].replace("EPSG:32624", "EPSG:5773")
    report = sent(site, {"this_site.toml": text})
    assert [p.id for p in report.refused] == ["place.crs_unknown"]


def test_folder_stands_for_its_own_plain_files(tmp_path):
    folder = write(tmp_path / "sent", {"joints.csv": SHEETS["joints.csv"]})
    write(folder / "deeper", {"people.csv": "code,role\nX,planner\n"})
    (folder / ".hidden.csv").write_text("x")
    (folder / "delivery.toml").write_text("x")
    assert (
        next(d.kind for r in read_sheets(paths_of([folder])) for d in r.drafts)
        == "joint"
    )
    os.mkfifo(folder / "tests.csv")
    (folder / "people.csv").symlink_to(folder / "deeper" / "people.csv")
    with pytest.raises(Refused) as caught:
        read_sheets(paths_of([folder]))
    found = {(p.id, p.file) for p in caught.value.problems}
    assert found == {("file.not_plain", "tests.csv"), ("file.link", "people.csv")}


def test_too_many_files(tmp_path):
    write(tmp_path, {f"people_{n}.csv": "code,role\n" for n in range(501)})
    with pytest.raises(Refused) as caught:
        read_sheets(paths_of([tmp_path]))
    assert caught.value.problems[0].id == "limit.delivery_files"


def test_no_file_at_all(tmp_path):
    with pytest.raises(WrongUse):
        read_sheets(paths_of([tmp_path]))


def test_faults_of_all_files_are_told_together(tmp_path):
    files = write(tmp_path, {"joints.csv": "", "people.csv": b"\xff\xff"})
    with pytest.raises(Refused) as caught:
        read_sheets(paths_of([files, tmp_path / "tests.csv"]))
    found = {(p.id, p.file.rpartition("/")[2]) for p in caught.value.problems}
    assert found == {
        ("file.empty", "joints.csv"),
        ("file.encoding", "people.csv"),
        ("file.not_found", "tests.csv"),
    }


SETTINGS = {
    "deep": ("a=" + "[" * 5000, "limit.depth"),
    "long number": ("code=" + "1" * 4301, "limit.digits"),
    "dots": (".".join("a" * 20_000) + "=1", "limit.dots"),
    "no text": (b"code = \xff", "file.encoding"),
    "no TOML": ("code", "site.bad_settings"),
    "large": ("# \n" * 30_000, "limit.file_bytes"),
}


@pytest.mark.parametrize("name", SETTINGS)
def test_settings_that_cannot_be_read(tmp_path, name):
    text, id_ = SETTINGS[name]
    write(tmp_path, {"site.toml": text})
    with pytest.raises(Refused) as caught:
        read_settings(tmp_path)
    assert [p.id for p in caught.value.problems] == [id_]


@pytest.mark.parametrize("make", [os.mkfifo, lambda p: p.symlink_to("/dev/zero")])
def test_settings_and_tables_that_are_no_files(tmp_path, make):
    for name in ("site.toml", "errors.csv"):
        make(tmp_path / name)
    for read in (
        lambda: read_settings(tmp_path),
        lambda: OwnTables(errors=tmp_path / "errors.csv").laid_over(_Model()),
    ):
        with pytest.raises(Refused):
            read()


class _Model:
    errors = ()
    targets = ()


def test_reading_holds_no_lock(site, tmp_path, monkeypatch):
    """While a delivery is read another process may write."""
    address = site.path / "register.sqlite"
    seen = []

    def slow(*_):
        with closing(sqlite3.connect(address, timeout=0.1)) as connection:
            connection.execute("BEGIN IMMEDIATE")
            connection.rollback()
        seen.append(time.monotonic())
        return read_sheets(paths_of([tmp_path]))

    write(tmp_path, {"people.csv": "code,role\nQ7,field technician\n"})
    monkeypatch.setattr("jointmap.changes.load.read_sheets", slow)
    load(site, [tmp_path], now=FIRST, by="T1", reason="x", dry_run=True)
    assert seen


SHIFT = (
    "scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,{}\n"
    "joint,J-2,2025-04-02,potential-shift,routine,measured,-1.2 V,-0.9 V,-0.5 V,-0.5 V,"
)


@pytest.mark.parametrize(
    ("sheet", "text", "says"),
    [
        ("tests.csv", SHIFT.format("cycles") + "0\n", "column cycles, value '0'"),
        (
            "joints.csv",
            "tag,boundary,area,state,in_duty_on\nJ-9,B-1,East,in duty,2036-01-01\n",
            "column in_duty_on, value '2036-01-01': a joint is in duty from a day",
        ),
        (
            "tests.csv",
            SHIFT.format("sources_cycling,sources_steady") + "R1,R1\n",
            "column sources_steady, value 'R1': this source is said to cycle, too",
        ),
    ],
    ids=["no cycles", "duty to come", "cycling and steady"],
)
def test_what_contradicts_itself_is_refused(tmp_path, sheet, text, says):
    sources = "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n"
    site = opened(tmp_path, {"sources.csv": sources})
    report = sent(site, {sheet: text}, LATER)
    (problem,) = report.refused
    assert says in line_of(problem)
    site.register.close()
