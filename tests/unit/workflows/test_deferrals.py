"""A test put off by decision: told everywhere, and no date moves."""

import csv
import datetime as dt
import io

import pytest

from jointmap.changes.change import Change
from jointmap.changes.load import load
from jointmap.errors import JointmapError, WrongUse
from jointmap.pages.dossier.page import dossier_html
from jointmap.pages.due.page import due_shown, due_text
from jointmap.register import Decision
from jointmap.register.codes import DecisionKind
from jointmap.wording.problems import line_of
from jointmap.workflows.defer import Asked, defer
from jointmap.workflows.findings_listed import Wanted, found_shown
from jointmap.workflows.opening import new_site
from jointmap.workflows.why import why_text
from tests.opened_site import text_of, untried
from tests.small_site import DECIDED_BEFORE, SHEETS, write
from tests.storage.samples import unasked

NOW = dt.datetime(2026, 3, 2, 12, tzinfo=dt.UTC)
DECIDED = dt.date(2026, 3, 2)
HEAD = (
    "number,decided_on,kind,person,second_person,subject,subject_key,why,authority,"
    "until_on\n"
)
MORE = {
    "paths.csv": "name,boundary,joint,kind,state,fitted_on\n"
    "SD-1,B-1,J-1,surge protective device,not known,2025-06-01\n"
    "J-1,B-1,J-1,tubing,not known,2025-06-01\n",
    "adopted.csv": SHEETS["adopted.csv"]
    + "rules,iso-15589-1-surge-device,2020-01-01\n",
    "tests.csv": """\
scope,joint,tested_on,method,stage,outcome,reading
joint,J-1,2025-03-01,insulation-resistance,bench,measured,5 Mohm
""",
}


@pytest.fixture
def site(tmp_path):
    made = untried(new_site(tmp_path / "site", "SML", b"k" * 32))
    folder = write(tmp_path / "sheets", {**SHEETS, **MORE})
    load(
        made,
        [folder],
        now=NOW - dt.timedelta(days=9),
        by="T1",
        reason="first",
        rules=True,
    )
    yield made
    made.register.close()


def change(on=DECIDED, by="T1", why="gate frozen", second="A1"):
    return Change(on, NOW, by, why, second)


def put_off(site, name="J-2", until="2026-04-20", kind="", authority="head", **more):
    asked = Asked(name, kind, authority, dt.date.fromisoformat(until))
    return defer(site, asked, change(**more))


def due(site, on):
    on = dt.date.fromisoformat(on)
    text = due_text(site, on=on, known=None, until=None, form="csv")
    return {r["subject"]: r for r in csv.DictReader(io.StringIO(text))}


def without_deferral(rows):
    return {n: {**r, "deferred": ""} for n, r in rows.items()}


def test_it_is_told_and_moves_no_date(site):
    before = due(site, "2026-03-03")
    told = put_off(site)
    assert told[0].startswith("J-2: put off until 2026-04-20, authority head.")
    day = before["J-2"]["last_allowed_on"]
    past = (dt.date(2026, 4, 20) - dt.date.fromisoformat(day)).days
    assert f"{past} days past the last allowed day" in told[1]
    after = due(site, "2026-03-03")
    words = (
        "Put off until 2026-04-20 by T1 (register keeper) on 2026-03-02, authority "
        "head: gate frozen (deferred J-2 2026-03-02). The last allowed day stays "
        f"{day}, which is before that: a later test is late, whatever was decided. By "
        f"law the last allowed day is {day}: {past} days before the day it was put off "
        "to."
    )
    assert after["J-2"]["deferred"] == words
    assert without_deferral(after) == before
    assert after["J-2"]["state"] == "past the limit"
    own = {"on": dt.date(2026, 3, 3), "known": None}
    assert " ".join(words.split()) in " ".join(why_text(site, "J-2", **own).split())
    assert "authority: head" in dossier_html(site, "J-2", **own)
    *_, table = due_shown(site, **own, until=None)
    assert any(words in row[-1] for row in table.rows if isinstance(row, tuple))
    assert due(site, "2026-03-01") == without_deferral(due(site, "2026-03-01"))


def test_an_end_before_the_last_allowed_day_says_no_more(site):
    rows = f"{HEAD}D-1,2026-03-02,deferred,T1,A1,path,sd-1,no crew,head,2026-03-09\n"
    sent = write(site.path.parent / "more", {"decisions.csv": rows})
    assert load(site, [sent], now=NOW, by="T1", reason="decided").is_clean
    assert "until 2026-03-09" in due(site, "2026-03-05")["SD-1"]["deferred"]
    assert len(put_off(site, "SD-1", "2026-03-20")) == 1
    assert "until 2026-03-20" in due(site, "2026-03-05")["SD-1"]["deferred"]


def test_a_test_that_counts_ends_it_and_a_visit_without_does_not(site):
    put_off(site)
    head = SHEETS["tests.csv"].splitlines()[0]
    head += ",interrupted_side,sources_cycling,sources_steady,cycles\n"
    measured = "measured,-1.20 V,-0.90 V,-0.55 V,-0.55 V,A,R1,none,3"
    outcomes = {"flooded,,,,,,,,": True, measured: False}
    for day, (outcome, still) in enumerate(outcomes.items(), start=3):
        row = f"joint,J-2,2026-03-0{day},potential-shift,routine,{outcome}\n"
        sent = write(site.path.parent / f"t{day}", {"tests.csv": head + row})
        now = NOW + dt.timedelta(days=9)
        assert load(site, [sent], now=now, by="T1", reason="visit").is_clean
        assert bool(due(site, "2026-03-11")["J-2"]["deferred"]) is still


def test_what_ended_without_a_test_and_what_names_nothing_is_found(site):
    put_off(site)
    # As registers may have it that were filled before such a name was refused.
    with unasked(site.register, NOW, "T1", "decided") as job:
        for number, subject, key in (
            ("D-9", "joint", "J-99"),
            ("D-8", "crew", "North"),
        ):
            job.add(
                Decision(
                    number=number,
                    decided_on=dt.date(2026, 3, 2),
                    kind=DecisionKind.DEFERRED,
                    person_id=1,
                    second_person_id=2,
                    subject=subject,
                    subject_key=key,
                    why="no crew",
                    authority="head",
                    until_on=dt.date(2026, 3, 9),
                )
            )
    text = text_of(found_shown(site, Wanted(), on=dt.date(2026, 4, 21), known=None)[0])
    assert "J-2: Had been put off until 2026-04-20" in text
    assert "J-99: D-9 of 2026-03-02 puts off the test of joint 'J-99'" in text
    assert "North: D-8" in text
    still = text_of(found_shown(site, Wanted(), on=dt.date(2026, 4, 20), known=None)[0])
    assert "Had been put off" not in still


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"name": "J-9"}, "value 'J-9': nothing that has a date is called so; nearest"),
        ({"name": "J-1"}, "several things are called so (joint, parallel path)"),
        ({"name": "B-1"}, "its joints have dates of their own"),
        ({"name": "J-1", "kind": "parallel path"}, "no rule in force"),
        ({"until": "2026-03-02"}, "ends no later than the day it was decided on"),
        ({"authority": "  "}, "must state authority"),
        ({"by": "T7"}, "'T7' is no person on record; accepted for --by: A1, T1"),
        ({"why": " "}, "needs a reason"),
        ({"on": dt.date(2026, 3, 3)}, "lies after today"),
    ],
)
def test_what_is_refused_records_nothing(site, given, says):
    with pytest.raises(JointmapError) as refused:
        put_off(site, **given)
    assert says in " ".join(line_of(p) for p in refused.value.problems)
    with site.register.read() as state:
        kinds = [d.kind for d in state.records(Decision).values()]
        assert len(kinds) == DECIDED_BEFORE
        assert DecisionKind.DEFERRED not in kinds


def test_what_is_gone_has_nothing_to_put_off(site):
    rows = "name,boundary,joint,kind,state,fitted_on,removed_on,correction_reason\n"
    rows += "SD-1,B-1,J-1,surge protective device,apart,2025-06-01,2026-01-01,gone\n"
    sent = write(site.path.parent / "more", {"paths.csv": rows})
    load(site, [sent], now=NOW, by="T1", reason="removed")
    with pytest.raises(WrongUse) as refused:
        put_off(site, "SD-1")
    assert "out of duty, gone" in line_of(refused.value.problems[0])


def test_two_of_one_name_are_told_apart_by_kind(site):
    assert put_off(site, "J-1", kind="joint")[0].startswith("J-1: put off")
