"""Of few rows keys are looked up, of many read whole: the report is the same."""

import datetime as dt
import re

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jointmap.changes.load import load
from jointmap.errors import JointmapError
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage import known
from jointmap.storage.known import reads_in_bulk
from tests.large_register import large_register
from tests.opened_site import FIRST, opened
from tests.small_site import DECISIONS, SHEETS, write

WHO = {"by": "T1", "reason": "a reason"}
LATER = FIRST + dt.timedelta(days=90)
JOINED = "joined on purpose"
TESTS = SHEETS["tests.csv"].splitlines()[0]
READ = "joint,{},{},potential-shift,routine,measured,-1.20 V,-0.90 V,-0.55 V,-0.55 V\n"
JOINTS = "tag,boundary,area,state,correction_reason\n"
DEVICES = "joint,fitted_on,removed_on,kind\n"
CREWS = "name,persons,depot,day_from,day_until,working_days,areas\n"
SOURCES = "name,kind,structure,can_be_interrupted,also_feeds\n"
BOUNDARIES = "name,structure_a,structure_b,purpose,joined_by,joined_from_on\n"
# What is on record beside the small site: an older name, a joint of odd letters, two
# boundaries of which one is joined, a value that waits.
MORE = {
    "aliases.csv": "joint,name\nJ-1,Old-1\n",
    "structures.csv": "name,kind,is_protected\nS2,pipeline section,yes\n",
    "boundaries.csv": f"{BOUNDARIES}B-2,S1,S2,protection,E. N. Gineer,2025-01-01\n",
    "sources.csv": f"{SOURCES}R-1,rectifier,S1,yes,\n",
    "decisions.csv": f"{DECISIONS}D-0,2025-01-01,{JOINED},T1,A1,boundary,B-2,-\n",
}
DELIVERIES = {
    "new": {"tests.csv": f"{TESTS}\n{READ.format('J-1', '2025-06-01')}"},
    "the same again": {"tests.csv": SHEETS["tests.csv"]},
    "by an older name": {"tests.csv": f"{TESTS}\n{READ.format('Old-1', '2025-06-01')}"},
    "of an unknown joint": {
        "tests.csv": f"{TESTS}\n{READ.format('J-9', '2025-06-01')}"
    },
    "twice": {"tests.csv": f"{TESTS}\n{READ.format('J-1', '2025-06-01') * 2}"},
    "differing": {"joints.csv": f"{JOINTS}J-1,B-1,West,in duty,\n"},
    "asked before": {"joints.csv": f"{JOINTS}J-2,B-1,North,in duty,\n"},
    "corrected": {"joints.csv": f"{JOINTS}J-2,B-1,North,in duty,moved\n"},
    "looks like another": {"joints.csv": f"{JOINTS}j-1,B-1,East,in duty,\n"},
    "of odd letters": {"joints.csv": f"{JOINTS}\u0408-1,B-1,East,in duty,\n"},
    "looks like an older name": {"joints.csv": f"{JOINTS}OLD-1,B-1,East,in duty,\n"},
    "looks like a sent one": {
        "joints.csv": f"{JOINTS}J-3,B-1,East,in duty,\nj-3,B-1,East,in duty,\n"
    },
    "two devices at once": {"devices.csv": f"{DEVICES}J-1,2021-01-05,,flange kit\n"},
    "one device after another": {
        "devices.csv": f"{DEVICES}J-1,2021-01-05,,flange kit\n"
        "J-1,2020-01-05,2021-01-05,flange kit\n"
    },
    "before the device": {"tests.csv": f"{TESTS}\n{READ.format('J-1', '2019-06-01')}"},
    "already one": {"boundaries.csv": f"{BOUNDARIES}B-3,S2,S1,protection,,\n"},
    "fed": {"sources.csv": f"{SOURCES}R-2,rectifier,S1,yes,Plant; S1; S9\n"},
    "a source of no name": {
        "tests.csv": f"{TESTS},sources_cycling\n"
        + READ.format("J-1", "2025-06-01").replace("\n", ",R-1; R-7\n")
    },
    "areas of a crew": {
        "crews.csv": f"{CREWS}East,2,Yard,07:30,16:00,Mon-Fri,East; Nowhere\n"
    },
    "alias of another": {"aliases.csv": "joint,name\nJ-2,J-1\nJ-2,Older\n"},
    "decided": {
        "decisions.csv": f"{DECISIONS}D-1,2025-03-31,remedial plan,T1,,joint,old-1,-\n"
        "D-2,2025-03-31,remedial plan,T1,,path,P9,-\n"
    },
    "a new person": {"people.csv": "code,role\nT2,planner\nt1,planner\n"},
    "moved": {
        "joints.csv": "tag,boundary,area,state,latitude,longitude\n"
        "J-1,B-1,East,in duty,31.5,-41.8\n"
    },
}


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    made = opened(tmp_path_factory.mktemp("few"), MORE, DELIVERIES["asked before"])
    yield made
    made.register.close()


def tried(site, sheets, bulk, **options):
    """The report of a load that keeps nothing, or all that was said against it."""
    folder = write(site.path / "tried", sheets)
    for stale in {p.name for p in folder.iterdir()} - {*sheets}:
        (folder / stale).unlink()
    way = {"now": LATER, "tried": False, **WHO}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(known, "reads_in_bulk", lambda *_: bulk)
        try:
            return load(site, [folder], dry_run=True, **way | options)
        except JointmapError as error:
            return error.problems


@pytest.mark.parametrize("name", DELIVERIES)
def test_both_ways_give_one_report(site, name):
    few, bulk = (tried(site, DELIVERIES[name], way) for way in (False, True))
    assert few == bulk


def test_a_stranger_is_refused_either_way(site):
    sheets = DELIVERIES["new"]
    few, bulk = (tried(site, sheets, way, by="Z9") for way in (False, True))
    assert few == bulk
    assert few[0].id == "change.unknown_person"


def test_both_ways_write_the_same_rows(tmp_path):
    """Fingerprints hold every byte that was written, in its order."""
    prints = []
    for bulk in (False, True):
        made = opened(tmp_path / str(bulk))
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(known, "reads_in_bulk", lambda *_, way=bulk: way)
            for count, sheets in enumerate([MORE, *DELIVERIES.values()]):
                folder = write(tmp_path / f"{bulk} {count}", sheets)
                now = LATER + dt.timedelta(days=count)
                load(made, [folder], now=now, tried=False, **WHO)
        with made.register.read() as state:
            prints.append(state.last.fingerprint)
        made.register.close()
    assert prints[0] == prints[1]


TAGS = st.sampled_from(["J-1", "J-2", "j-1", "Old-1", "J-3", "J-\u0392"])
DAYS = st.sampled_from(["2020-01-05", "2021-05-05", "2024-02-29", ""])
JOINT = st.builds(
    "{},B-1,{},in duty,{}\n".format,
    TAGS,
    st.sampled_from(["East", "West"]),
    st.sampled_from(["", "a reason"]),
)
DEVICE = st.builds("{},{},{},flange kit\n".format, TAGS, DAYS, DAYS)
TEST = st.builds(READ.format, TAGS, DAYS)


@given(st.lists(JOINT, max_size=4), st.lists(DEVICE, max_size=4), st.lists(TEST))
@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_rows_give_one_report(site, joints, devices, tests):
    sheets = {
        "joints.csv": JOINTS + "".join(joints),
        "devices.csv": DEVICES + "".join(devices),
        "tests.csv": f"{TESTS}\n" + "".join(tests[:6]),
    }
    assert tried(site, sheets, bulk=False) == tried(site, sheets, bulk=True)


def test_rows_and_last_id_decide():
    assert not reads_in_bulk(1, 0)
    assert not reads_in_bulk(100, 10)
    assert reads_in_bulk(101, 10_000)
    assert not reads_in_bulk(10_000, 1_000_000)
    assert reads_in_bulk(10_001, 1_000_000)


class Door:
    """What a register's database was asked, and how many rows it handed over."""

    def __init__(self, engine):
        self.rows, self.asked = 0, []
        sa.event.listen(engine, "connect", self._count)
        sa.event.listen(engine, "before_cursor_execute", self._note)

    def _count(self, connection, _record):
        connection.row_factory = self._row

    def _row(self, _cursor, row):
        self.rows += 1
        return row

    def _note(self, _connection, _cursor, statement, parameters, *_):
        if statement.startswith("SELECT") and "max(" not in statement:
            self.asked.append((statement, parameters))


@pytest.fixture(scope="module")
def large(tmp_path_factory):
    """A site of 1,200 joints with 6,000 tests."""
    folder = tmp_path_factory.mktemp("large")
    register = large_register(folder / "large.sqlite", 400, 5, 3)
    yield SiteFolder(folder, register)
    register.close()


ROWS = {
    "tests": ("tests.csv", f"{TESTS}\n{READ.format('{joint}', '{day}')}", 1),
    "devices": (
        "devices.csv",
        f"{DEVICES}{{joint}},{{day}},,flange kit\n",
        1,
    ),
    "aliases": ("aliases.csv", "joint,name\n{joint},Elder {day}\n", 1),
}
WHOLE = re.compile(
    r"(SCAN|SEARCH) record_(?!site|person)\w+( USING .*\(site_id=\?\))?$"
)


@pytest.mark.parametrize("name", ROWS)
@pytest.mark.parametrize("analysed", [True, False], ids=["counted", "not counted"])
def test_a_row_loaded_reads_few_rows(large, name, analysed, tmp_path):
    file, text, rows = ROWS[name]
    engine = large.register.engine
    with engine.connect() as connection:
        connection.exec_driver_sql("ANALYZE")
        if not analysed:
            connection.exec_driver_sql("DROP TABLE sqlite_stat1")
    with large.register.read() as state:
        asked = "SELECT tag FROM record_joint WHERE id = 700"
        joint = state.connection.exec_driver_sql(asked).scalar()
    folder = write(
        tmp_path / "sent", {file: text.format(joint=joint, day="2026-03-01")}
    )
    door = Door(engine)
    way = {"now": LATER, "dry_run": True, "tried": False, **WHO}
    report = load(large, [folder], **way)
    sa.event.remove(engine, "connect", door._count)
    sa.event.remove(engine, "before_cursor_execute", door._note)
    assert report.accepted or report.refused
    assert door.rows <= 20 * rows
    plans = []
    with engine.connect() as connection:
        for statement, parameters in door.asked:
            if "record_" in statement and "GLOB" not in statement:
                found = connection.exec_driver_sql(
                    f"EXPLAIN QUERY PLAN {statement}", parameters
                )
                plans += [row[3] for row in found]
    assert plans
    assert not [plan for plan in plans if WHOLE.search(plan)]
