"""Records that would break the site for everybody: refused or waiting, never kept."""

import datetime as dt
import shutil
import tomllib
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryFile

import pytest

from jointmap.changes.decide_held import decide
from jointmap.changes.load import load
from jointmap.errors import JointmapError
from jointmap.register import Decision, Joint, Road
from jointmap.register.rule_codes import RuleShape
from jointmap.storage import Writing
from jointmap.wording.problems import line_of
from jointmap.workflows.export import export_joints
from jointmap.workflows.opening import new_site, open_site
from tests.command_line import ended
from tests.opened_site import FIRST, KEY, ON, sent, waiting_lines
from tests.poison_site import POISON_SHEETS, every_reader_runs
from tests.small_site import DECIDED_BEFORE, SHEETS

TABLE = tomllib.loads(
    (Path(__file__).parent / "poison.toml").read_text(encoding="utf-8")
)
HEADINGS = TABLE.pop("headings")
SITE = (
    'code="SML"\nname="Small site"\ntime_zone="Atlantic/Azores"\n'
    'working_crs="EPSG:32624"\ncorrection_reason="x"\n'
)
LATER = FIRST + dt.timedelta(days=60)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The poison site, loaded once; nobody writes into it."""
    folder = tmp_path_factory.mktemp("poison")
    site = new_site(folder / "site", "SML", KEY)
    assert sent(site, POISON_SHEETS).is_clean
    site.register.close()
    return folder / "site"


@pytest.fixture
def site(made, tmp_path):
    opened = open_site(Path(shutil.copytree(made, tmp_path / "site")))
    yield opened
    opened.register.close()


def sheets_of(case):
    if "file" in case:
        return {case["file"]: case["text"]}
    if "set" in case:
        return {"this_site.toml": SITE + case["set"]}
    sheet = case["sheet"]
    return {f"{sheet}.csv": f"{HEADINGS[sheet]}\n{case['row']}\n"}


def told(site, sheets, **more):
    """What is said of a delivery: a line for each row refused and value that waits."""
    folder = site.path.parent / "sent"
    folder.mkdir(exist_ok=True)
    for name, text in sheets.items():
        (folder / name).write_text(text, encoding="utf-8")
    facts = {"now": LATER, "by": "T1", "reason": "a reason", "rules": True, **more}
    try:
        report = load(site, [folder], **facts)
    except JointmapError as error:
        return [f"refused {line_of(p)}" for p in error.problems]
    refused = [f"refused {line_of(p)}" for p in report.refused]
    return refused + [f"waiting {line_of(p)}" for p in report.held]


@pytest.mark.parametrize("name", TABLE)
def test_poison_is_told_and_harms_nobody(site, name):
    case = TABLE[name]
    with site.register.read() as state:
        before = state.last
    lines = told(site, sheets_of(case))
    fits = [x for x in lines if x.startswith(case["how"])]
    assert [x for x in fits if all(w in x for w in case["says"])], lines
    with site.register.read() as state:
        kept = state.last != before
    assert kept is (case["how"] == "waiting")
    if kept:
        every_reader_runs(site)


def test_an_unlikely_value_is_taken_once_a_person_accepts_it(site):
    case = TABLE["hotter-than-any-joint"]
    assert told(site, sheets_of(case))[0].startswith("waiting")
    (line,) = [x for x in waiting_lines(site) if "2000 degC" in x]
    facts = {"now": LATER + dt.timedelta(days=1), "by": "T1", "reason": "flare tip"}
    decide(site, int(line.split()[0]), **facts, accept=True)
    with site.register.read() as state:
        joints = [j for j in state.records(Joint).values() if j.tag == "J-9"]
    assert [j.temperature_degc for j in joints] == [2000.0]
    assert waiting_lines(site) == []
    every_reader_runs(site)


def test_a_device_ends_below_the_row_of_the_next_one(site):
    rows = "joint,fitted_on,removed_on,kind,layout,stud_count,correction_reason\n"
    rows += "J-1,2025-06-01,,flange kit,two-side,8,\n"
    rows += "J-1,2020-01-05,2025-06-01,flange kit,two-side,8,replaced\n"
    assert told(site, {"devices.csv": rows}) == []
    every_reader_runs(site)


def test_a_third_device_is_refused_and_names_the_one_in_service(site):
    rows = "joint,fitted_on,kind\n"
    rows += "".join(f"J-4,202{n}-01-05,flange kit\n" for n in range(3))
    lines = told(site, {"devices.csv": rows})
    assert [x.split(":")[0] for x in lines] == [
        f"refused devices.csv, line {n}, column fitted_on, value '202{n - 2}-01-05'"
        for n in (3, 4)
    ]
    assert all("fitted 2020-01-05" in x and "[devices.csv:2]" in x for x in lines)


def test_a_decision_may_speak_of_a_joint_of_the_same_delivery(site):
    decision = HEADINGS["decisions"] + "\nD-1,2025-01-01,released,T1,joint,{},why,,\n"
    joint = "tag,boundary,area,state\nJ-5,B-1,East,planned\n"
    sheets = {"decisions.csv": decision.format("J-5"), "joints.csv": joint}
    assert told(site, sheets) == []
    with site.register.read() as state:
        made = [d.subject_key for d in state.records(Decision).values()]
    assert made[DECIDED_BEFORE:] == ["J-5"]


SPARSE = {
    "people only": {"people.csv": SHEETS["people.csv"]},
    "boundary without joints": {
        k: SHEETS[k] for k in ("people.csv", "structures.csv", "boundaries.csv")
    },
    "joints without rules or devices": {
        k: SHEETS[k]
        for k in ("people.csv", "structures.csv", "boundaries.csv", "joints.csv")
    },
    "crew without a place": {
        **SHEETS,
        "crews.csv": f"{HEADINGS['crews']}\nFar,2,yard,07:30,16:00,Mon-Fri,\n",
        "roads.geojson": POISON_SHEETS["roads.geojson"],
    },
    "line without posts": {**SHEETS, "lines.geojson": POISON_SHEETS["lines.geojson"]},
}


@pytest.mark.parametrize("name", SPARSE)
def test_every_reader_runs_on_a_site_that_holds_little(tmp_path, name):
    site = new_site(tmp_path / "site", "SML", KEY)
    sheets = {"this_site.toml": SHEETS["this_site.toml"], **SPARSE[name]}
    assert sent(site, sheets).is_clean
    every_reader_runs(site)
    for suffix in (".geojson", ".gpkg", ".gpx"):
        export_joints(site, tmp_path / f"joints{suffix}", on=ON, known=None)
    page = (tmp_path / "read" / "month" / "index.html").read_text(encoding="utf-8")
    assert ("No route for Far" in page) is (name == "crew without a place")
    site.register.close()


def changed(kind, id_, **values):
    return lambda job: job.revise(id_, replace(job.known(kind).by_id[id_][1], **values))


def road(coordinates, speed=8.0):
    facts = {"name": "Bad", "origin": "roads.geojson:7", "coordinates": coordinates}
    return lambda job: job.add(Road(speed_metre_per_second=speed, **facts))


# What an older program took in, and what a reader that meets it says: never a fault of
# its own.
MANY = "[[0,-41.8,31.4],[1e7,-42,31.4]]"
ON_RECORD = {
    "reach": (changed("site", 1, reach_metre=1e308), None),
    "zone": (changed("site", 1, time_zone="No/Where"), "line 1, column time_zone"),
    "months": (
        changed("rule", 1, months=65548, years=None, shape=RuleShape.PLAIN_MONTHS),
        "adopted.csv, line 2, column months, value '65548'",
    ),
    "stud": (changed("test", 1, stud=65537), "tests.csv, line 2, column stud"),
    "studs": (changed("device", 1, stud_count=10**9), None),
    "post": (changed("joint", 1, post_kilometre=1e300, post_measuring="2020"), None),
    "day": (changed("joint", 1, in_duty_on=dt.date.max), "value '9999"),
    "hours": (changed("crew", 1, day_from="noon"), "crews.csv, line 2"),
    "ties": (changed("chainage", 1, tie_points=MANY), None),
    "half a tie": (changed("chainage", 1, tie_points="[[0]]"), "chainages.csv, line 2"),
    "no line": (changed("line", 1, coordinates="oops"), "lines.geojson, line 1"),
    "one point": (changed("line", 1, coordinates="[[-41.8,31.4]]"), None),
    "a road of one place": (road("[[1,1],[1,1]]"), "roads.geojson, line 7: Road Bad"),
    "a road of speed 0": (road("[[1,1],[1,2]]", 0.0), "line 7: Road Bad has no speed"),
    "no road": (road("oops"), "roads.geojson, line 7"),
}  # fmt: skip


@pytest.mark.parametrize("name", ON_RECORD)
def test_a_reader_that_meets_poison_on_record_names_it(site, name, monkeypatch):
    change, says = ON_RECORD[name]
    monkeypatch.setattr(Writing, "check_permission", lambda _: None)
    with site.register.write(LATER, "T1", "as it was once accepted") as job:
        change(job)
    if says is None:
        every_reader_runs(site)
        return
    with pytest.raises(JointmapError) as stopped:
        every_reader_runs(site)
    told_ = [line_of(p) for p in stopped.value.problems]
    assert [x for x in told_ if says in x], told_


def test_what_is_on_record_is_never_told_as_refused(site):
    words = ("change", "correct", site.path, "joint", "J-1", "--set", "remark=seen")
    with Path("/dev/full").open("w", encoding="utf-8") as full, TemporaryFile() as err:
        files = {"out": full.fileno(), "err": err.fileno()}
        code = ended(*words, "--by", "T1", "--reason", "why", **files)
        err.seek(0)
        told = err.read().decode("utf-8")
    assert code == 1
    assert "what was sent is on record; only telling so failed" in told
    with site.register.read() as state:
        assert state.records(Joint)[1].remark == "seen"
