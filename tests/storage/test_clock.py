"""A machine's time that is far from all others is asked before it dates anything."""

import datetime as dt
import os
from dataclasses import replace
from pathlib import Path

import pytest

from jointmap.errors import WrongUse
from jointmap.storage import Register
from jointmap.storage.clock import times_of
from jointmap.wording.problems import line_of
from jointmap.workflows.opening import new_site
from tests.command_line import jointmap
from tests.storage.samples import DAY, KEY, NOON, fill, first_delivery, joint

HOUR = dt.timedelta(hours=1)
# Far beyond any clock that this test may be run by.
FAR = dt.datetime(2200, 1, 1, tzinfo=dt.UTC)
TAKEN = {
    "an hour back": NOON - HOUR,
    "a day back": NOON - DAY,
    "a pause of weeks": NOON + 60 * DAY,
    "a pause of a year": NOON + 366 * DAY,
}
ASKED = {
    "more than a day back": (NOON - DAY - HOUR, "clock_back"),
    "ten years back": (NOON - 3650 * DAY, "clock_back"),
    "far ahead": (FAR, "clock_ahead"),
}


def aged(register: Register, at: dt.datetime) -> None:
    """Give the register's file the time of its last entry."""
    if register.engine.dialect.name == "sqlite":
        os.utime(register.engine.url.database, (at.timestamp(), at.timestamp()))


def entries(register: Register) -> int:
    with register.read() as state:
        return len(state.entries)


@pytest.mark.parametrize("now", TAKEN.values(), ids=list(TAKEN))
def test_what_is_normal_is_not_asked(register, now):
    fill(register, *first_delivery())
    aged(register, NOON)
    fill(register, joint("IJ-3"), now=now)
    with register.read() as state:
        assert state.last.machine_at == now
        assert state.last.recorded_at == max(now, NOON)


@pytest.mark.parametrize(("now", "name"), ASKED.values(), ids=list(ASKED))
def test_what_is_asked(register, now, name):
    fill(register, *first_delivery())
    aged(register, NOON)
    with pytest.raises(WrongUse, match=name) as refused:
        fill(register, joint("IJ-3"), now=now)
    told = line_of(refused.value.problems[0])
    assert f"{now:%Y-%m-%d %H:%M} UTC" in told
    assert "--clock-is-right" in told
    assert entries(register) == 1
    fill(replace(register, clock_is_right=True), joint("IJ-3"), now=now)
    with register.read() as state:
        assert state.last.machine_at == now


@pytest.mark.parametrize("url", ["sqlite"], indirect=True)
def test_each_time_at_hand_counts(register, tmp_path):
    fill(register, *first_delivery())
    aged(register, NOON)
    late = NOON + 500 * DAY
    with pytest.raises(WrongUse, match="clock_ahead"):
        fill(register, joint("IJ-3"), now=late)
    (tmp_path / "sheet.csv").write_text("x")
    os.utime(tmp_path / "sheet.csv", ((late - DAY).timestamp(),) * 2)
    with register.write(late, "P1", "a year later", [tmp_path / "sheet.csv"]) as job:
        job.add(joint("IJ-3"))
    # The file's own time is at hand too.
    aged(register, late + 300 * DAY)
    fill(register, joint("IJ-4"), now=late + 600 * DAY)
    assert entries(register) == 3


def test_files_that_tell_no_time(tmp_path):
    (tmp_path / "loop").symlink_to("loop")
    assert not [*times_of([tmp_path / "none", tmp_path / "loop"])]


def test_a_first_entry_has_only_the_file_to_be_asked_by(register):
    with pytest.raises(WrongUse, match="clock_ahead"):
        fill(register, *first_delivery(), now=FAR)


@pytest.fixture
def site(tmp_path):
    """A site whose last entry is of a clock that ran ahead."""
    made = new_site(tmp_path / "site", "X", KEY)
    sure = replace(made.register, clock_is_right=True)
    fill(sure, *first_delivery(), now=FAR)
    made.register.close()
    return tmp_path / "site"


def test_on_the_command_line(site: Path):
    words = (
        "change",
        "correct",
        site,
        "joint",
        "IJ-1",
        "--set",
        "remark=x",
        "--by",
        "P1",
    )
    why = ("--reason", "a correction")
    said = jointmap(*words, *why)
    assert (said.code, said.out) == (2, "")
    assert "the last entry was recorded at 2200-01-01 00:00 UTC" in said.err
    # The environment has no say.
    aside = {"JOINTMAP_CLOCK_IS_RIGHT": "1", "CLOCK_IS_RIGHT": "1"}
    assert jointmap(*words, *why, **aside).code == 2
    taken = jointmap(*words, *why, "--clock-is-right")
    assert (taken.code, taken.err) == (0, "")
    assert jointmap("verify", site).code == 0


TRAINING = {
    "a day put in": (None, NOON.date()),
    "another day": (NOON.date(), FAR.date()),
    "the day taken out": (NOON.date(), None),
}


@pytest.mark.parametrize(("first", "then"), TRAINING.values(), ids=list(TRAINING))
def test_a_training_site_is_one_from_its_first_entry_on(url, first, then):
    register = Register.create(url, "X", KEY, first)
    fill(register, *first_delivery())
    with pytest.raises(WrongUse, match="training_day"):
        fill(replace(register, training_on=then), joint("IJ-3"))
    fill(register, joint("IJ-3"))
    assert entries(register) == 2
    register.close()
