"""A correction closes the doubts that it meets, and is asked about like a new row."""

import datetime as dt
from dataclasses import replace

import pytest

from jointmap.changes.change import Change
from jointmap.changes.revise import revise
from jointmap.errors import Refused
from tests.opened_site import FIRST, opened, sent, waiting_lines
from tests.storage.samples import DAY, unasked

SOURCES = {
    "sources.csv": "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n"
}
HEAD = (
    "scope,joint,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,reading,"
    "interrupted_side,sources_cycling,cycles\n"
)
TEST = "J-1 2025-11-01 potential-shift"
ONE = "-709 mV,-614 mV,-615 mV,-615 mV"


def row(volts, reading=""):
    shift = "boundary,J-1,B-1,2025-11-01,potential-shift,routine,measured"
    return {"tests.csv": f"{HEAD}{shift},{volts},{reading},A,R1,5\n"}


def corrected(site, **given):
    now = FIRST + dt.timedelta(days=90)
    change = Change(now.date(), now, "T1", "read off the sheet again")
    return revise(site, "test", TEST, given, change)


def waits(site):
    return [line.split(", ", 1)[1].split(":")[0] for line in waiting_lines(site)]


@pytest.fixture
def site(tmp_path):
    site = opened(tmp_path, SOURCES, row(ONE))
    assert waits(site) == ["b_off"]
    yield site
    site.register.close()


def test_the_value_that_waited_is_given_anew(site):
    lines = corrected(site, b_off="-530 mV")
    assert waits(site) == []
    assert lines[-1].startswith("no longer awaiting decision, b_off: with current off")


def test_another_value_meets_the_doubt(site):
    lines = corrected(site, a_off="-690 mV")
    assert waits(site) == []
    assert lines[-1].startswith("no longer awaiting decision, b_off:")


def test_a_value_that_meets_nothing_closes_nothing(site):
    assert len(corrected(site, remark="seen again")) == 1
    assert waits(site) == ["b_off"]


def test_a_new_value_that_is_doubtful_too_waits(site):
    lines = corrected(site, b_off="-616 mV")
    assert waits(site) == ["b_off"]
    assert "-0.616 V" in waiting_lines(site)[0]
    assert [line.split(",")[0] for line in lines[-2:]] == [
        "no longer awaiting decision",
        "awaiting decision",
    ]


def test_a_doubt_that_a_correction_raises_waits(site):
    corrected(site, b_off="-530 mV", b_on="530 mV")
    assert waits(site) == ["b_on"]


def test_what_is_asked_again_on_the_same_day_takes_the_place_of_the_first(site):
    corrected(site, b_off="-530 mV", b_on="530 mV")
    corrected(site, b_on="540 mV")
    assert waits(site) == ["b_on"]
    corrected(site, b_on="-531 mV")
    assert waits(site) == []


def test_a_resistance_that_the_method_does_not_read_is_refused(site):
    with pytest.raises(Refused) as refused:
        corrected(site, reading="640 kohm")
    (problem,) = refused.value.problems
    assert (problem.id, problem.column) == ("row.no_such_reading", "reading")
    assert problem.values["accepted"] == "a_on, a_off, b_on, b_off"


def test_so_it_is_in_a_sheet(tmp_path):
    site = opened(tmp_path, SOURCES)
    report = sent(site, row(ONE, "640 kohm"), FIRST + dt.timedelta(days=60))
    site.register.close()
    found = [(p.id, p.line, p.column, p.value) for p in report.refused]
    assert found == [("row.no_such_reading", 2, "reading", "640 kohm")]


def test_one_that_an_older_program_took_stays_and_its_test_can_be_corrected(site):
    with unasked(site.register, FIRST + 70 * DAY, "T1", "of an older program") as job:
        id_, (_, old) = list(job.known("test").by_id.items())[-1]
        job.revise(id_, replace(old, reading_ohm=640e3))
    assert len(corrected(site, remark="seen again")) == 1
    with site.register.read() as state:
        assert state.records(type(old))[id_].reading_ohm == 640e3
