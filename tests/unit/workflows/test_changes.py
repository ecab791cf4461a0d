"""Corrections and the life of a joint: what is done, what is told, what is refused."""

import datetime as dt

import pytest

from jointmap.changes.change import Change
from jointmap.changes.change_joint import rename, replace_device
from jointmap.changes.load import load
from jointmap.changes.retire_joint import (
    Way,
    join_on_purpose,
    retire,
)
from jointmap.changes.revise import revise
from jointmap.errors import JointmapError, Refused, WrongUse
from jointmap.incoming.size_limits import CELL
from jointmap.pages.boundary.page import boundary_text
from jointmap.pages.due.page import due_text
from jointmap.register import (
    Alias,
    Boundary,
    Decision,
    Device,
    IsolationTest,
    Joint,
    Limit,
    ParallelPath,
    Site,
)
from jointmap.register.codes import DecisionKind, JointState, PathState
from jointmap.storage.verifying.checking import check_register
from jointmap.wording.problems import line_of
from jointmap.workflows.late import late_shown
from jointmap.workflows.opening import new_site
from jointmap.workflows.why import why_text
from tests.opened_site import untried
from tests.small_site import DECIDED_BEFORE, SHEETS, write

LOADED = dt.datetime(2025, 4, 1, 12, tzinfo=dt.UTC)
DAY = dt.timedelta(days=1)
ON = dt.date(2025, 6, 1)
CONDITIONS = "interrupted_side,sources_cycling,sources_steady,cycles"


def change(days=1, **more):
    now = LOADED + days * DAY
    facts = {"on": now.date(), "now": now, "by": "T1", "reason": "a reason"}
    facts["second"] = "A1"
    return Change(**{**facts, **more})


@pytest.fixture
def site(tmp_path):
    """The small site, loaded on 1 April 2025."""
    made = untried(new_site(tmp_path / "site", "SML", b"k" * 32))
    # A shift test whose sources are named, so that it may count.
    tests = SHEETS["tests.csv"].replace("a_on,", f"{CONDITIONS},a_on,")
    sheets = {
        **SHEETS,
        "tests.csv": tests.replace("measured,", "measured,A,R1,none,3,"),
    }
    folder = write(tmp_path / "sheets", sheets)
    report = load(made, [folder], now=LOADED, by="T1", reason="first", rules=True)
    assert report.is_clean
    yield made
    assert check_register(made.register, made.path).problems == ()
    made.register.close()


def records(site, kind):
    with site.register.read() as state:
        return list(state.records(kind).values())


def told(refused):
    return " ".join(line_of(p) for p in refused.value.problems)


def test_the_story_of_a_correction(site):
    """Value, verdict and due date before and after, as known on each day."""
    asked = {"on": ON, "known": None}
    before = [
        due_text(site, **asked, until=None, form="csv"),
        why_text(site, "J-1", **asked),
    ]
    lines = revise(site, "test", "J-1 2025-03-01", {"a_off": "-1.19 V"}, change(5))
    assert lines == [
        "test 'joint J-1 2025-03-01 potential-shift routine': a off was -0.90 V,"
        " is -1.19 V"
    ]
    after = [
        due_text(site, **asked, until=None, form="csv"),
        why_text(site, "J-1", **asked),
    ]
    verdicts = (text.splitlines()[1] for text in (before[1], after[1]))
    told = [verdict.partition(".")[0] for verdict in verdicts]
    assert told == ["Verdict: isolating", "Verdict: inconclusive"]
    assert "Last allowed day: 2026-06-01." in before[1]
    assert "Last allowed day: 2021-04-10." in after[1]
    for days, then in ((1, before), (5, after), (300, after)):
        known = (LOADED + days * DAY).date()
        assert due_text(site, on=ON, known=known, until=None, form="csv") == then[0]
    with site.register.read() as state:
        old, new = state.revisions(IsolationTest)
        assert (old.record.a_off_volt, new.record.a_off_volt) == (-0.9, -1.19)
        assert new.record.correction_reason == "a reason"
        assert [e.recorded_by for e in state.entries] == ["T1", "T1"]


def test_old_and_new_are_shown_alike(site):
    """Also where the old one is the program's own and was never written."""
    key, by = records(site, Site)[0].code, change(second="A1")
    assert revise(site, "site", key, {"reach": "600 m"}, by) == [
        "site 'SML': reach was 50 m, is 600 m"
    ]
    again = change(2, second="A1")
    assert revise(site, "site", key, {"reach": "0.6005 km"}, again) == [
        "site 'SML': reach was 600 m, is 0.6005 km"
    ]
    limit = " ".join(map(str, records(site, Limit)[0].key()))
    lines = revise(site, "limit", limit, {"value": "1000"}, change(3, second="A1"))
    assert lines[0] == f"limit '{limit}': value was 0.05, is 1000"


def test_values_of_every_kind_can_be_revised(site):
    given = {
        "remark": " repainted ",
        "temperature": "40 degC",
        "two_persons": "yes",
        "severity": "harsh",
        "in_duty_on": "2020-01-11",
    }
    lines = revise(site, "joint", "j-1", given, change())
    assert "joint 'J-1': two persons was no, is yes" in lines
    assert "joint 'J-1': temperature was empty, is 40 degC" in lines
    revise(site, "joint", "J-1", {"temperature": "", "severity": ""}, change(2))
    joint = records(site, Joint)[0]
    assert (joint.temperature_degc, joint.severity, joint.remark) == (
        None,
        None,
        "repainted",
    )
    assert joint.as_written == ""
    given = {"method": "ohmmeter", "reading": "> 2 Mohm"}
    revise(site, "test", "J-1", given, change(3))
    assert (records(site, IsolationTest)[0].reading_bound) == 1
    revise(site, "test", "J-1", {"reading": ""}, change(4))
    assert (records(site, IsolationTest)[0].reading_bound) == 0
    lines = revise(
        site,
        "boundary",
        "B-1",
        {"structure_a": "Plant", "structure_b": "S1"},
        change(5),
    )
    assert lines[0] == "boundary 'B-1': structure a was S1, is Plant"


LONG = "x" * (CELL.most + 1)
BAD = {
    "no reason": ("joint", "J-1", {"remark": "x"}, {"reason": " "}, "needs a reason"),
    "unseen": ("joint", "J-1", {"remark": "x"}, {"reason": "\u200b \xa0"}, "a reason"),
    "long": (
        "joint",
        "J-1",
        {"remark": LONG},
        {},
        "column remark: the cell has 10,001",
    ),
    "wordy": ("joint", "J-1", {"remark": "x"}, {"reason": LONG}, "column --reason"),
    "who": ("joint", "J-1", {"remark": "x"}, {"by": LONG}, "column --by: the cell has"),
    "unknown": ("joint", "J-9", {"remark": "x"}, {}, "nearest: J-"),
    "several": ("device", "2020-01-05", {"remark": "x"}, {}, "J-1 2020-01-05; J-2"),
    "same": ("joint", "J-1", {"area": "East"}, {}, "nothing was recorded"),
    "nothing": ("joint", "J-1", {}, {}, "--set column=value"),
    "kind": ("moon", "J-1", {"area": "x"}, {}, "accepted: alias"),
    "sheet": ("position", "J-1", {"crs": "x"}, {}, "loading positions"),
    "column": ("joint", "J-1", {"moon": "x"}, {}, "unknown column"),
    "tag": ("joint", "J-1", {"tag": "x"}, {}, "jointmap change rename"),
    "unit": ("joint", "J-1", {"temperature": "3 bar"}, {}, "temperature"),
    "word": ("joint", "J-1", {"state": "gone"}, {}, "accepted: planned"),
    "reference": ("joint", "J-1", {"boundary": "B-9"}, {}, "boundary of this name"),
    "missing": ("joint", "J-1", {"area": ""}, {}, "missing"),
    "bound": ("joint", "J-1", {"pressure": "> 3 bar"}, {}, "one number"),
    "no end": ("joint", "J-1", {"pressure": "inf bar"}, {}, "one number"),
    "day to come": ("test", "J-1", {"tested_on": "2031-01-01"}, {}, "lies after"),
    "before fitted": ("test", "J-1", {"tested_on": "2019-01-01"}, {}, "no device was"),
    "key": ("device", "J-1", {"joint": "J-2"}, {}, "another device is called"),
}


@pytest.mark.parametrize(
    ("kind", "key", "given", "more", "says"), BAD.values(), ids=list(BAD)
)
def test_corrections_that_are_refused(site, kind, key, given, more, says):
    with pytest.raises(JointmapError) as refused:
        revise(site, kind, key, given, change(**more))
    assert says in told(refused)
    with site.register.read() as state:
        assert len(state.entries) == 1


def test_what_a_command_gave_is_not_laid_to_the_file_of_the_record(site):
    with pytest.raises(JointmapError) as refused:
        retire(site, "J-1", Way.GAP_PROVED, change(second=""))
    assert "person" in told(refused)
    with pytest.raises(JointmapError) as other:
        revise(site, "joint", "J-1", {"state": "removed"}, change(by="nobody"))
    for caught in (refused, other):
        assert {(p.file, p.line) for p in caught.value.problems} == {("", 0)}


def test_rename_keeps_the_old_name_with_its_days(site):
    assert rename(site, "j-1", "K-1", change()).startswith("'J-1' is called 'K-1'")
    rename(site, "J-1", "L-1", change(9))
    rename(site, "L-1", "J-1", change(12))
    aliases = {a.name: (a.from_on, a.until_on) for a in records(site, Alias)}
    days = [(LOADED + n * DAY).date() for n in (1, 9, 12)]
    assert aliases["J-1"] == (None, days[0])
    assert aliases["K-1"] == (days[0], days[1])
    assert why_text(site, "K-1", on=ON, known=None).startswith("J-1")
    rename(site, "J-1", "K-1", change(20))
    again = {a.name: a.until_on for a in records(site, Alias)}
    assert again["J-1"] == (LOADED + 20 * DAY).date()


@pytest.mark.parametrize(
    ("new", "more", "says"),
    [
        ("J-2", {}, "another joint"),
        ("j-2", {}, "another joint"),
        ("J-1", {}, "already"),
        (" ", {}, "cannot be empty"),
        ("K-1", {"on": dt.date(2031, 1, 1)}, "lies after today"),
        ("K-1", {"reason": ""}, "needs a reason"),
    ],
)
def test_names_that_are_refused(site, new, more, says):
    with pytest.raises(WrongUse) as refused:
        rename(site, "J-1", new, change(**more))
    assert says in told(refused)


def test_a_new_device_ends_the_one_before(site):
    done = replace_device(site, "J-1", {"serial": "K7", "stud_size": "M16"}, change())
    assert (
        done
        == "'J-1': the device of 2020-01-05 was removed on 2025-04-02, a new one fitted"
    )
    old, _, new = records(site, Device)
    assert old.removed_on == new.fitted_on == dt.date(2025, 4, 2)
    assert (new.kind, new.serial, new.stud_count) == (old.kind, "K7", None)
    with pytest.raises(WrongUse) as refused:
        replace_device(site, "J-1", {}, change())
    assert "a later day is accepted" in told(refused)
    with pytest.raises(Refused):
        replace_device(site, "J-1", {"stud_count": "0"}, change(3))


def test_a_first_device_needs_its_kind(site, tmp_path):
    sheet = "tag,boundary,area,state\nJ-3,B-1,East,planned\n"
    folder = write(tmp_path / "more", {"joints.csv": sheet})
    load(site, [folder], now=LOADED, by="T1", reason="third")
    with pytest.raises(WrongUse, match=r"cell\.missing"):
        replace_device(site, "J-3", {}, change())
    done = replace_device(site, "J-3", {"kind": "union"}, change())
    assert done == "'J-3': a first device fitted on 2025-04-02"
    # Cut out while nothing was ever fitted, or what was is removed already.
    retire(site, "J-3", Way.CUT_OUT, change(2))


@pytest.mark.parametrize("how", Way)
def test_the_end_of_duty(site, how):
    lines = retire(site, "J-1", how, change())
    joint, device = records(site, Joint)[0], records(site, Device)[0]
    state = JointState.REMOVED if how == Way.CUT_OUT else JointState.OUT_OF_DUTY
    assert (joint.state, joint.out_of_duty_on) == (state, dt.date(2025, 4, 2))
    assert (device.removed_on is not None) == (how == Way.CUT_OUT)
    assert [p.state for p in records(site, ParallelPath)] == (
        [PathState.JOINING] if how == Way.BONDED else []
    )
    assert len(lines) == (2 if how == Way.BONDED else 1)
    decision = records(site, Decision)[-1]
    assert (decision.kind, decision.subject_key) == (DecisionKind.RELEASED, "J-1")
    assert len(records(site, IsolationTest)) == 1
    due = due_text(site, on=ON, known=None, until=None, form="csv")
    assert "J-1" not in [
        cell for row in due.splitlines() for cell in row.split(",")[:4]
    ]
    with pytest.raises(WrongUse) as refused:
        retire(site, "J-1", Way.GAP_PROVED, change(2))
    assert "already" in told(refused)


def test_joined_on_purpose(site):
    until = dt.date(2026, 1, 1)
    done = join_on_purpose(site, "b-1", " head ", until, change())
    assert (
        done == "B-1 may be joined on purpose from 2025-04-02 until 2026-01-01, by head"
    )
    assert records(site, Boundary)[0].joined_by == "head"
    text = boundary_text(site, "B-1", on=ON, known=None)
    assert "joined on purpose" in text.lower()
    join_on_purpose(site, "B-1", "head", None, change())
    numbers = [d.number for d in records(site, Decision)]
    assert numbers[DECIDED_BEFORE:] == [
        "joined on purpose B-1 2025-04-02",
        "joined on purpose B-1 2025-04-02 (1)",
    ]
    for authority, end, says in (
        ("", None, "who gave"),
        ("head", dt.date(2020, 1, 1), "before the start"),
        ("head", None, "already"),
    ):
        with pytest.raises(WrongUse) as refused:
            join_on_purpose(site, "B-1", authority, end, change())
        assert says in told(refused)


def test_late_entries_with_their_delay(site):
    text, count = late_shown(site, days=10, known=None, form="csv")
    rows = text.splitlines()
    assert len(rows) == count + 1
    assert rows[0] == "kind,what,happened_on,recorded_on,delay_days,by,why"
    assert rows[1] == "decision,P-1,2010-01-01,2025-04-01,5569,T1,first"
    assert rows[3] == "device,J-1 2020-01-05,2020-01-05,2025-04-01,1913,T1,first"
    assert rows[5].startswith("test,joint J-1 2025-03-01")
    told, _ = late_shown(site, days=1900, known=None)
    first = (
        "2020-01-05",
        "2025-04-01",
        "1913",
        "device 'J-1 2020-01-05', by T1: first",
    )
    assert told[0].rows[2] == first
    nothing = ["nothing was recorded more than 6000 days after it happened"]
    assert late_shown(site, days=6000, known=None) == (nothing, 0)
