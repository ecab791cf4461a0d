"""A test sent again: by another person, with other values, completed, corrected."""

import datetime as dt

import pytest

from jointmap.changes.change import Change
from jointmap.changes.decide_held import decide, waiting_rows
from jointmap.changes.load import load
from jointmap.changes.revise import revise
from jointmap.register import IsolationTest, Person
from tests.opened_site import FIRST, opened, sent
from tests.small_site import write
from tests.storage.samples import DAY

HEAD = (
    "scope,joint,tested_on,tested_at,method,stage,outcome,reading,hangs_free,person,"
    "remark{}\n"
)
ROW = "joint,J-1,2019-12-20,{},insulation-resistance,bench,measured,{},{},{},{}{}\n"
PEOPLE = {"people.csv": "code,role\nT2,field technician\n"}
TEN, TWELVE = "2019-12-20T10:00:00Z", "2019-12-20T12:00:00Z"
NOW = FIRST + 40 * DAY


def row(at="", reading="5 Mohm", free="no", person="T1", remark="", reason=None):
    last = ("", "") if reason is None else (",correction_reason", f",{reason}")
    cells = ROW.format(at, reading, free, person, remark, last[1])
    return {"tests.csv": HEAD.format(last[0]) + cells}


def site_with(folder, *rows):
    """A site with two technicians and these rows, each a delivery of its own."""
    site = opened(folder, PEOPLE)
    reports = [sent(site, r, NOW + n * DAY) for n, r in enumerate(rows)]
    return site, reports


def bench(site):
    """Person, instant and reading of each bench test, as they stand."""
    with site.register.read() as state:
        codes = {i: p.code for i, p in state.records(Person).items()}
        found = [t for t in state.records(IsolationTest).values() if t.stage == "bench"]
    return sorted(
        (codes.get(t.person_id, ""), str(t.tested_at or "")[11:16], t.reading_ohm / 1e6)
        for t in found
    )


TWO_PERSONS = [("T1", "", 5.0), ("T2", "", 4.0)]


@pytest.mark.parametrize(
    ("first", "second", "on_record", "waits"),
    [
        # The same again is nothing.
        (row(), row(), [("T1", "", 5.0)], 0),
        # Another person who read something else is a second reading.
        (row(), row(person="T2", reading="4 Mohm"), TWO_PERSONS, 0),
        # Who read the very same waits: it may be one reading that was typed twice.
        (row(), row(person="T2"), [("T1", "", 5.0)], 1),
        (row(person=""), row(person="T2"), [("", "", 5.0)], 1),
        (row(at=TEN), row(at=TWELVE, person="T2"), [("T1", "10:00", 5.0)], 1),
        # A row that names nobody speaks of the one that is there.
        (row(), row(person=""), [("T1", "", 5.0)], 1),
        # Another value in one cell, or in several: one question.
        (row(), row(reading="4 Mohm"), [("T1", "", 5.0)], 1),
        (row(), row(at=TEN, reading="4 Mohm", free="yes"), [("T1", "", 5.0)], 1),
        # With a reason it is corrected, whoever it names.
        (row(), row(reading="4 Mohm", reason="misread"), [("T1", "", 4.0)], 0),
        (row(), row(person="T2", reason="wrong name"), [("T2", "", 5.0)], 0),
    ],
)
def test_what_is_on_record_and_how_many_questions_wait(
    tmp_path, first, second, on_record, waits
):
    site, (_, report) = site_with(tmp_path, first, second)
    assert bench(site) == on_record
    assert len(report.held) == len(waiting_rows(site, None, None)) == waits


def answer(site, *, accept):
    ((number, what, why),) = waiting_rows(site, None, None)
    days = {"now": NOW + 9 * DAY, "by": "T1", "reason": "asked both"}
    decide(site, int(number), **days, accept=accept)
    assert waiting_rows(site, None, None) == []
    return what, why


@pytest.mark.parametrize(
    ("accept", "wanted"),
    [
        (True, [("T2", "12:00", 5.0)]),
        (False, [("T1", "", 5.0), ("T2", "12:00", 5.0)]),
    ],
)
def test_the_same_reading_completed_or_a_second_one(tmp_path, accept, wanted):
    again = row(person="T2", at=TWELVE, remark="clean and dry")
    site, _ = site_with(tmp_path, row(), again)
    what, why = answer(site, accept=accept)
    assert "T2" in what
    assert "second reading" in why
    assert bench(site) == wanted


@pytest.mark.parametrize("accept", [True, False])
def test_a_test_is_corrected_whole_or_not_at_all(tmp_path, accept):
    other = row(at=TEN, reading="> 4 Mohm", free="yes")
    site, _ = site_with(tmp_path, row(), other)
    what, why = answer(site, accept=accept)
    assert "reading > 4 Mohm" in what
    assert "reading 5 Mohm" in why
    assert bench(site) == [("T1", "10:00", 4.0) if accept else ("T1", "", 5.0)]
    with site.register.read() as state:
        (test,) = (t for t in state.records(IsolationTest).values() if t.person_id)
    assert (test.hangs_free, test.reading_bound) == (accept, int(accept))


def test_a_question_that_a_correction_answers_is_closed(tmp_path):
    other = {"reading": "4 Mohm", "free": "yes"}
    site, _ = site_with(tmp_path, row(), row(**other), row(**other, reason="misread"))
    assert waiting_rows(site, None, None) == []
    assert bench(site) == [("T1", "", 4.0)]


def test_a_correction_by_hand_answers_the_row_that_waits(tmp_path):
    site, _ = site_with(tmp_path, row(), row(reading="4 Mohm", free="yes"))
    change = Change(NOW.date(), NOW + 9 * DAY, "T1", "asked the tester")
    revise(site, "test", "J-1 bench", {"reading": "3 Mohm"}, change)
    assert waiting_rows(site, None, None) == []
    assert bench(site) == [("T1", "", 3.0)]


def test_many_rows_at_once_are_asked_about_as_few_are(tmp_path):
    """More than a hundred rows are looked up in bulk."""
    days = [dt.date(2019, 6, 1) + n * DAY for n in range(120)]
    one = row()["tests.csv"].splitlines()
    every = [one[1].replace("2019-12-20", str(day)) for day in days]
    by_two = [line.replace("T1", "T2") for line in every]
    site = opened(tmp_path, PEOPLE)
    for lines, accepted, waits in (
        (every, 120, 0), ([*every, *by_two], 0, 120), ([*every, *by_two], 0, 120),
    ):  # fmt: skip
        note = write(tmp_path / "note", {"tests.csv": "\n".join([one[0], *lines])})
        report = load(site, [note], now=NOW, by="T1", reason="sent")
        assert (report.accepted.total(), len(report.held)) == (accepted, waits)
    assert len(bench(site)) == 120
