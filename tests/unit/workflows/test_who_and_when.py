"""Who records is a person on record; an instant is neither to come nor another day."""

import datetime as dt

import pytest

from jointmap.changes.change import Change
from jointmap.changes.decide_held import decide
from jointmap.changes.load import load
from jointmap.changes.revise import revise
from jointmap.errors import JointmapError, Refused, WrongUse
from jointmap.register import IsolationTest
from jointmap.wording.problems import line_of
from jointmap.workflows.opening import new_site
from tests.opened_site import FIRST, KEY, opened, sent
from tests.small_site import SHEETS, write

NOW = dt.datetime(2026, 3, 1, 0, 30, tzinfo=dt.UTC)  # the day before, at the site
HEAD = "scope,joint,tested_on,tested_at,method,stage,outcome,reading\n"
ROW = HEAD + "joint,J-1,{},{},insulation-resistance,bench,measured,5 Mohm\n"


def told(problems):
    return "; ".join(line_of(p) for p in problems)


@pytest.mark.parametrize(
    ("day", "at", "says"),
    [
        ("2026-02-28", "2026-03-01T00:30:00Z", ""),
        ("2026-02-28", "2026-02-28T20:00:00-04:00", ""),
        ("2026-02-28", "2026-02-28T00:59:00Z", "at the site this instant is on"
         " 2026-02-27, but tested_on is 2026-02-28; correct one of the two"),
        ("2026-02-28", "2026-03-01T00:30:01Z", "the instant lies after"
         " 2026-03-01T00:30:00Z, when this was loaded"),
        ("2026-02-28", "2999-01-01T00:00:00Z", "correct the instant"),
        ("2026-03-01", "2026-03-01T00:30:00Z", "the day lies after 2026-02-28"),
        ("2026-02-28", "2026-02-28T12:00:00", "accepted: UTC with Z"),
    ],
)  # fmt: skip
def test_an_instant_of_a_test(tmp_path, day, at, says):
    site = opened(tmp_path)
    report = sent(site, {"tests.csv": ROW.format(day, at)}, NOW)
    assert (report.accepted.total(), len(report.refused)) == (
        (0, 1) if says else (1, 0)
    )
    if says:
        assert says in told(report.refused)
        assert "column tested_" in told(report.refused)


def test_an_instant_that_is_corrected(tmp_path):
    site = opened(tmp_path)
    change = Change(NOW.date(), NOW, "T1", "the clock was wrong")
    for at, says in (("2025-03-02T12:00:00Z", "on 2025-03-02"),
                     ("2999-01-01T00:00:00Z", "lies after")):  # fmt: skip
        with pytest.raises(Refused) as refused:
            revise(site, "test", "J-1", {"tested_at": at}, change)
        assert says in told(refused.value.problems)
    revise(site, "test", "J-1", {"tested_at": "2025-03-01T12:00:00Z"}, change)
    with site.register.read() as state:
        (test,) = state.records(IsolationTest).values()
    assert test.tested_at == dt.datetime(2025, 3, 1, 12, tzinfo=dt.UTC)


def kept(site):
    with site.register.read() as state:
        return len(state.entries)


def test_a_stranger_records_nothing(tmp_path):
    site = opened(tmp_path)
    note = write(tmp_path / "note", {"people.csv": "code,role\nT2,field technician\n"})
    facts = {"now": NOW, "reason": "x"}
    revised = Change(NOW.date(), NOW, "Tl", "x")
    for run in (
        lambda: load(site, [note], by="Tl", **facts),
        lambda: load(site, [note], by="t1", **facts),
        lambda: load(site, [note], by="Tl", dry_run=True, **facts),
        lambda: revise(site, "joint", "J-1", {"remark": "x"}, revised),
        lambda: decide(site, 1, by="Tl", accept=True, **facts),
    ):
        with pytest.raises(WrongUse) as refused:
            run()
        said = told(refused.value.problems)
        assert "is no person on record; accepted for --by: A1, T1" in said
        assert kept(site) == 1
    # A new person comes in with the sheet, but not by a sheet of his own.
    with pytest.raises(Refused) as refused:
        load(site, [note], by="T2", **facts)
    said = told(refused.value.problems)
    assert "T2 was no person on record before this delivery and may not record" in said
    assert kept(site) == 1


def first_of(folder, people, by):
    site = new_site(folder / "site", "SML", KEY)
    kept_in = {k: v for k, v in SHEETS.items() if k != "people.csv"}
    sheets = {**kept_in, "people.csv": f"code,role\n{people}"} if people else kept_in
    sent = write(folder / "sheets", sheets)
    load(site, [sent], now=FIRST, by=by, reason="first", rules=True)
    return site


@pytest.mark.parametrize(
    ("people", "by"),
    [
        ("T1,register keeper\nA1,auditor\n", "T1"),
        ("T1,integrity engineer\nA1,register keeper\n", "A1"),
    ],
)
def test_a_first_delivery_is_by_one_who_may_bring_people_in(tmp_path, people, by):
    assert kept(first_of(tmp_path, people, by)) == 1


@pytest.mark.parametrize(
    ("people", "by", "says"),
    [
        ("", "T1", "as register keeper or integrity engineer"),
        ("T1,field technician\nA1,auditor\n", "T1", "with its own author, T1, as"),
        ("T1,planner\nA1,register keeper\n", "T1", "with its own author, T1, as"),
        ("T1,planner\nA1,register keeper\n", "A1", "T1 may not record a decision"),
        ("T1,register keeper\nA1,planner\n", "T1", "may not approve as the second"),
        ("T1,register keeper\nA1,auditor\n", "X", "is no person on record"),
    ],
)
def test_a_first_delivery_that_is_refused(tmp_path, people, by, says):
    with pytest.raises(JointmapError) as refused:
        first_of(tmp_path, people, by)
    assert says in told(refused.value.problems)


def test_many_persons_are_not_all_named(tmp_path):
    codes = "".join(f"Q{n},field technician\n" for n in range(40))
    site = opened(tmp_path, {"people.csv": f"code,role\n{codes}"})
    with pytest.raises(WrongUse) as refused:
        sent_by(site, tmp_path, "Q77")
    said = told(refused.value.problems)
    assert "Q7, " in said
    assert "and 31 more" in said


def sent_by(site, tmp_path, by):
    folder = write(tmp_path / "more", {"people.csv": "code,role\nZ,field technician\n"})
    load(site, [folder], now=NOW, by=by, reason="x")
