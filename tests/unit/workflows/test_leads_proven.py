"""Leads of a test point: what a proof found holds from its day to the next one."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from jointmap.register import Lead, Site, TestPoint
from jointmap.register.codes import LeadState, Side
from jointmap.snapshot.leads import (
    KNOWN_BAD,
    NO_LEADS,
    PROVED,
    UNPROVED,
    read_leads,
)
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.storage import Register
from tests.storage.samples import unasked

NOON = dt.datetime(2026, 1, 1, 12, tzinfo=dt.UTC)
SOUND, BROKEN, CROSSED, UNKNOWN = LeadState
# The blue lead as it was told, one revision after the other, and how a reading through
# it counts in the years 2017, 2021 and 2025; the red lead is sound since 2016.
STORIES = [
    ([(SOUND, "2016-05-03")], [PROVED, PROVED, PROVED]),
    ([(SOUND, "2019-05-03")], [UNPROVED, PROVED, PROVED]),
    ([(UNKNOWN, None)], [UNPROVED, UNPROVED, UNPROVED]),
    ([(SOUND, None)], [PROVED, PROVED, PROVED]),
    ([(CROSSED, None)], [KNOWN_BAD, KNOWN_BAD, KNOWN_BAD]),
    # A later finding adds to the earlier ones ...
    ([(SOUND, "2016-05-03"), (BROKEN, "2020-01-01")], [PROVED, KNOWN_BAD, KNOWN_BAD]),
    ([(SOUND, "2016-05-03"), (UNKNOWN, "2024-01-01")], [PROVED, PROVED, UNPROVED]),
    (
        [(SOUND, "2016-05-03"), (BROKEN, "2020-01-01"), (SOUND, "2022-01-01")],
        [PROVED, KNOWN_BAD, PROVED],
    ),
    # ... and one of the same day, of an earlier one or of none puts them right.
    ([(SOUND, "2016-05-03"), (BROKEN, "2016-05-03")], [KNOWN_BAD] * 3),
    ([(BROKEN, "2020-01-01"), (SOUND, "2018-01-01")], [UNPROVED, PROVED, PROVED]),
    ([(SOUND, "2016-05-03"), (UNKNOWN, None)], [UNPROVED] * 3),
]


def _day(text: str | None) -> dt.date | None:
    return dt.date.fromisoformat(text) if text else None


def _told(register, findings):
    red = Lead(
        test_point_id=1,
        colour="red",
        side=Side.A,
        state=SOUND,
        proved_on=_day("2016-05-03"),
    )
    blue = [
        replace(red, colour="blue", side=Side.B, state=s, proved_on=_day(d))
        for s, d in findings
    ]
    with unasked(register, NOON, "P1", "first") as job:
        job.add(
            Site(
                code="X",
                name="X",
                time_zone="Atlantic/Azores",
                working_crs="EPSG:32623",
            )
        )
        job.add(TestPoint(name="TP-1"))
        job.add(TestPoint(name="TP-2"))
        job.add(red)
        id_ = job.add(blue[0])
        for later in blue[1:]:
            job.revise(id_, later)


@pytest.mark.parametrize(("findings", "expected"), STORIES)
def test_what_a_proof_found_holds_until_the_next(tmp_path, findings, expected):
    register = Register.create(f"sqlite:///{tmp_path}/r.sqlite", "X", b"k" * 32)
    _told(register, findings)
    days = np.array(["2017-06-01", "2021-06-01", "2025-06-01"], dtype="datetime64[D]")
    with snapshot_of(register) as state:
        assert read_leads(state).proven(np.ones(3, np.int64), days).tolist() == expected
        # A test point without leads on record proves nothing; none at all says so.
        other = read_leads(state).proven(np.array([2, 0, 9], np.int64), days)
        assert other.tolist() == [UNPROVED, NO_LEADS, UNPROVED]
    register.close()


def test_no_lead_on_record(tmp_path):
    register = Register.create(f"sqlite:///{tmp_path}/r.sqlite", "X", b"k" * 32)
    with unasked(register, NOON, "P1", "first") as job:
        job.add(TestPoint(name="TP-1"))
    with snapshot_of(register) as state:
        found = read_leads(state).proven(
            np.array([1, 0]), np.array(["2020-01-01"] * 2, "M8[D]")
        )
    assert found.tolist() == [UNPROVED, NO_LEADS]
    register.close()
