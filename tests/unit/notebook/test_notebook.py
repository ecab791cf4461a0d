"""The Python face gives the commands' values, reads a day once, writes nothing."""

import csv
import datetime as dt
import io
import json
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing

import pandas as pd
import pytest
import sqlalchemy as sa
from pandas.testing import assert_frame_equal

import jointmap
from jointmap.cli.options import read_clock
from jointmap.errors import Refused, WrongUse
from jointmap.pages.dossier.answer import joint_named
from jointmap.pages.dossier.page import one_of
from jointmap.workflows import kept_days
from jointmap.workflows.opening import open_site
from tests.command_line import jointmap as command
from tests.opened_site import FIRST, opened, sent

MONTH = dt.timedelta(days=31)
CORRECTED = """\
tag,boundary,area,state,in_duty_on,latitude,longitude,correction_reason
J-2,B-1,West,in duty,2020-01-10,31.4001,-41.9001,it lies west
"""
LATER_TEST = """\
scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off
joint,J-2,2026-02-01,potential-shift,routine,measured,-1.20 V,-0.90 V,-0.55 V,-0.55 V
"""


@pytest.fixture(scope="module")
def folder(demo):
    return demo / "site"


@pytest.fixture(scope="module")
def site(folder):
    return jointmap.open(folder)


@pytest.fixture
def judged(monkeypatch):
    """The days that are judged while the test runs."""
    days = []
    assess = kept_days.assess

    def counted(state, on):
        days.append(on)
        return assess(state, on)

    monkeypatch.setattr(kept_days, "assess", counted)
    return days


def said(*words, **more):
    done = command(*words, **more)
    assert done.err == ""
    return done.out


def texts(frame):
    """A frame's cells as a CSV of the command line has them."""
    return frame.astype(str).replace("NaT", "").to_dict("list")


def columns(text):
    heading, *rows = csv.reader(io.StringIO(text))
    return dict(zip(heading, map(list, zip(*rows, strict=True)), strict=True))


@pytest.mark.parametrize("until", [(), ("--until", "2026-06-30")])
def test_the_due_list_is_that_of_the_command(site, folder, until):
    told = said("due", folder, "--on", "2026-05-10", "--format", "csv", *until)
    found = site.due(on="2026-05-10", until=until[1] if until else None)
    assert texts(found) == columns(told)
    assert len(found) > 20
    assert all(found.because)
    assert found.source.any()


def test_joints_are_those_of_the_export(site, folder, tmp_path):
    out = tmp_path / "joints.csv"
    said("export", folder, "--out", out, "--known", "2026-04-30")
    found = site.joints(known="2026-04-30")
    told = columns(out.read_text(encoding="utf-8-sig"))
    places = [told.pop(c) for c in ("longitude", "latitude")]
    assert texts(found.drop(columns="geometry")) == told
    drawn = [
        ("", "") if p is None else (f"{p.x:.7f}", f"{p.y:.7f}") for p in found.geometry
    ]
    assert drawn == list(zip(*places, strict=True))
    assert found.crs == "EPSG:4326"


def test_lines_are_those_on_the_map(site, root):
    sent_last = {
        feature["properties"]["name"]: [*map(tuple, feature["geometry"]["coordinates"])]
        for path in sorted((root / "sample_site").glob("*/lines.geojson"))
        for feature in json.loads(path.read_text(encoding="utf-8"))["features"]
    }
    found = site.lines()
    assert found.crs == "EPSG:4326"
    courses = [list(g.coords) for g in found.geometry]
    assert dict(zip(found.line, courses, strict=True)) == sent_last


def test_a_kept_day_has_the_same_findings_again(site):
    first = site.findings(on="2026-05-09")
    assert (first["kind"] == "correction_unseen").any()
    assert_frame_equal(site.findings(on="2026-05-09"), first)


def test_findings_are_those_of_check(site, folder):
    found = site.findings(on="2026-05-10")
    told = " ".join(command("findings", folder, "--on", "2026-05-10").out.split())
    listed = command("findings", folder, "--on", "2026-05-10", "--format", "csv").out
    rows = list(csv.DictReader(io.StringIO(listed)))
    assert [r["because"] for r in rows] == found.because.tolist()
    assert [r["gravity"] for r in rows] == found.gravity.tolist()
    for row in found.itertuples():
        assert " ".join(f"{row.subject} {row.because}".split()) in told
        assert f"To do: {row.next_step}" in told
    assert found.on.dtype.kind == "M"


def test_boundaries_are_those_of_the_command(site, folder):
    found = site.boundaries(on="2026-05-10")
    lines = [[r.boundary, r.because] for r in found.itertuples()]
    told = said("boundary", folder, "--on", "2026-05-10").splitlines()[1:]
    assert [line.split(maxsplit=1) for line in told] == lines


def test_why_is_the_text_of_the_command(site, folder):
    found = site.why("ij-018", on=dt.date(2026, 5, 10))
    assert (
        repr(found)
        == found
        == said("why", folder, "IJ-018", "--on", "2026-05-10", COLUMNS="80")
    )


def test_each_test_up_to_the_day_is_there_once(site, folder):
    with closing(sqlite3.connect(folder / "register.sqlite")) as connection:
        query = "SELECT tested_on FROM record_test WHERE superseded_by IS NULL"
        days = [day for (day,) in connection.execute(query)]
    found = site.tests(on="2026-03-31")
    assert sorted(found.tested_on.astype(str)) == sorted(
        day for day in days if day <= "2026-03-31"
    )
    assert len(found) < len(days)
    assert found.tested_on.is_monotonic_decreasing


def test_a_test_is_told_as_in_the_dossier(site):
    found = site.tests()
    boundary = site.joints().set_index("tag").boundary["IJ-018"]
    own = found[
        (found.joint == "IJ-018")
        | ((found.boundary == boundary) & (found.scope == "boundary"))
    ]
    with site._asked(None, None) as day:
        id_ = joint_named(day.showing, "IJ-018")
        rows = one_of(day.showing, day.tests, id_, finders=()).tests
    facts = ("verdict", "because", "limit", "source", "counts", "reading", "origin")
    told = [
        (r.verdict.word, r.reason, r.limit, r.source, r.counts, r.reading, r.origin)
        for r in rows
    ]
    assert [*own[[*facts]].itertuples(index=False, name=None)] == told
    assert len(told) > 1


def test_readings_stand_in_the_unit_of_their_column(site):
    found = site.tests()
    arms = found[found.reading.str.startswith("1180 ohm", na=False)]
    ohm = arms.reading_ohm.unique().tolist()
    assert ohm == [1180.0]
    assert found.a_on_volt.min() > -5


def test_columns_have_their_types_on_a_site_without_tests(tmp_path):
    opened(tmp_path)
    empty = jointmap.open(tmp_path / "site").tests(on="2021-01-01")
    assert len(empty) == 0
    assert empty.tested_on.dtype.kind == "M"
    assert empty.reading_ohm.dtype == float


def test_days_may_be_dates_instants_or_texts(site):
    asked = ("2026-05-10", dt.date(2026, 5, 10), pd.Timestamp("2026-05-10 17:00"))
    first, *others = (site.boundaries(on=on) for on in asked)
    for other in others:
        assert_frame_equal(first, other)


def test_known_alone_sets_the_day(site):
    found = site.joints(known="2025-12-31")
    assert {*found.as_of.astype(str)} == {*found.as_known_on.astype(str)}
    assert {*found.as_of.astype(str)} == {"2025-12-31"}


def test_without_a_day_a_training_site_asks_about_its_own(site):
    assert {*site.joints().as_of.astype(str)} == {"2026-05-15"}


def test_without_a_day_it_is_today_at_the_site(tmp_path):
    opened(tmp_path)
    before = read_clock()
    (found,) = jointmap.open(tmp_path / "site").joints().as_of.unique()
    day = pd.Timestamp(found).date()
    assert abs(day - before.date()) <= dt.timedelta(days=1)


def test_a_day_is_judged_once(folder, judged):
    site = jointmap.open(folder)
    for ask in (site.joints, site.due, site.tests, site.findings, site.boundaries):
        ask(on="2026-05-10")
    site.why("IJ-018", on="2026-05-10")
    assert judged == [dt.date(2026, 5, 10)]
    site.lines(on="2026-05-11")
    site.due(on="2026-05-10")
    assert len(judged) == 2


def test_few_days_are_kept(folder, judged):
    site = jointmap.open(folder)
    days = [f"2026-05-{n:02}" for n in range(1, kept_days.MOST + 2)]
    for day in (*days, days[-1], days[0]):
        site.lines(on=day)
    assert len(judged) == len(days) + 1


def test_what_is_recorded_later_is_seen(tmp_path, judged):
    writer = opened(tmp_path)
    site = jointmap.open(tmp_path / "site")
    assert len(site.tests(on="2026-05-15")) == 1
    sent(writer, {"tests.csv": LATER_TEST}, FIRST + MONTH)
    assert len(site.tests(on="2026-05-15")) == 2
    assert len(judged) == 2


def test_a_day_known_before_a_correction_stays_as_it_was(tmp_path):
    writer = opened(tmp_path)
    site = jointmap.open(tmp_path / "site")
    asked = {"on": "2026-05-15", "known": FIRST.date()}
    before = site.joints(**asked).set_index("tag")["area"]["J-2"]
    sent(writer, {"joints.csv": CORRECTED}, FIRST + MONTH)
    areas = [
        s.joints(**asked).set_index("tag")["area"]["J-2"]
        for s in (site, jointmap.open(tmp_path / "site"))
    ]
    assert [before, *areas] == ["East"] * 3
    assert site.joints(on="2026-05-15").set_index("tag")["area"]["J-2"] == "West"


def test_nothing_of_a_site_is_touched(folder, tmp_path):
    shutil.copytree(folder, tmp_path / "site")
    before = tree(tmp_path)
    site = jointmap.open(tmp_path / "site")
    site.joints()
    site.findings()
    assert tree(tmp_path) == before


def tree(folder):
    files = [p for p in folder.rglob("*") if p.is_file()]
    return {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in files}


def test_the_database_itself_refuses_to_be_written(tmp_path):
    opened(tmp_path)
    register = jointmap.open(tmp_path / "site")._site.register
    writes = sa.text("CREATE TABLE mine (x INTEGER)")
    with pytest.raises(Refused, match=r"storage\.read_only"):  # noqa: SIM117
        with register.looking() as connection:
            connection.execute(writes)
    with open_site(tmp_path / "site").register.looking() as connection:
        connection.execute(writes)


@pytest.mark.postgres
def test_a_server_itself_refuses_to_be_written(postgres_url, tmp_path, monkeypatch):
    monkeypatch.setenv("JOINTMAP_DATABASE", postgres_url)
    said("new", tmp_path / "site", "--code", "SRV")
    register = jointmap.open(tmp_path / "site")._site.register
    with pytest.raises(Refused, match=r"storage\.read_only"):  # noqa: SIM117
        with register.looking() as connection:
            connection.execute(sa.text("CREATE TABLE mine (x INTEGER)"))


def test_what_a_stopped_writer_left_is_left_alone_and_told(tmp_path):
    register = opened(tmp_path).path / "register.sqlite"
    other = tmp_path / "other.sqlite"
    shutil.copy(register, other)
    with closing(sqlite3.connect(other, isolation_level=None)) as connection:
        connection.execute("PRAGMA cache_size = 1")
        connection.execute("BEGIN")
        connection.execute("CREATE TABLE half (x)")
        connection.executemany("INSERT INTO half VALUES (?)", [("x" * 3000,)] * 99)
        for end in ("", "-journal"):
            shutil.copy(f"{other}{end}", f"{register}{end}")
    before = tree(register.parent)
    with pytest.raises(Refused, match="its writer was stopped"):
        jointmap.open(register.parent)
    assert tree(register.parent) == before
    assert command("due", register.parent).code == 0
    assert len(jointmap.open(register.parent).joints()) == 2


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda s: s.why("IJ-0018"), ("why", "IJ-0018")),
        (lambda s: s.due(known="1999-01-01"), ("due", "--known", "1999-01-01")),
    ],
)
def test_errors_read_as_on_the_command_line(site, folder, ask, words):
    told = command(words[0], folder, *words[1:])
    with pytest.raises(WrongUse) as raised:
        ask(site)
    assert str(raised.value) == told.err.rstrip("\n")
    assert told.code == raised.value.exit_code


@pytest.mark.parametrize("day", ["tomorrow", 20260510, "2026-02-30"])
def test_what_is_no_day_is_refused(site, day):
    with pytest.raises(WrongUse, match="is no day; accepted"):
        site.due(on=day)


def test_what_is_no_site_is_refused(tmp_path):
    with pytest.raises(WrongUse, match="is no site folder"):
        jointmap.open(tmp_path)


def test_import_alone_loads_next_to_nothing():
    script = "import jointmap, sys; print([*filter(sys.modules.get, sys.argv[1:])])"
    heavy = ["numpy", "pandas", "sqlalchemy", "geopandas", "jointmap.errors"]
    done = subprocess.run(
        [sys.executable, "-c", script, *heavy],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "[]\n"


def test_other_names_are_not_there():
    with pytest.raises(AttributeError, match="'close'"):
        jointmap.close()
