"""Fitting records read straight into columns against the same built one by one."""

import datetime as dt
import tempfile
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.intervals import trigger_code
from jointmap.register import Certificate, Device, Installation, Instrument
from jointmap.register.codes import DeviceKind
from jointmap.snapshot import fittings as job
from jointmap.snapshot.site_columns import read_ground
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.snapshot.triggers import _fitting_faults
from jointmap.storage import Register
from jointmap.storage.as_columns import arrays
from tests.fitting_strategies import DAY, KITS, PAPERS
from tests.sizes import examples
from tests.storage.samples import (
    KEY,
    NOON,
    boundary,
    fill,
    joint,
    site,
    structure,
    unasked,
)

LATER = dt.timedelta(days=5)
ON = np.datetime64(DAY + 4 * LATER, "D")
# Days of a device: fitted now, taken out before, fitted only after the day asked about.
NOW, BEFORE, AFTER = (DAY + LATER, None), (DAY, DAY + LATER), (DAY + 9 * LATER, None)
FITTED = st.tuples(KITS, PAPERS)
MAYBE = st.none() | st.tuples(KITS, st.none() | PAPERS)
JOINTS = st.lists(st.tuples(FITTED, MAYBE, MAYBE), min_size=3, max_size=3)
CERTIFICATES = st.lists(
    st.tuples(st.integers(1, 2), st.integers(-3, 9), st.integers(0, 6)),
    min_size=2,
    max_size=5,
)
DEGREES = st.lists(st.none() | st.floats(-9.0, 160.0), min_size=3, max_size=3)


def certificate(number, tool, first, days):
    begins = DAY + dt.timedelta(days=first)
    ends = begins + dt.timedelta(days=days)
    return Certificate(
        instrument_id=tool,
        number=str(number),
        valid_from_on=begins,
        valid_until_on=ends,
    )


def devices_of(joints):
    """Yield joint, days, kit and record of each device, out of the order of joints."""
    for at in (3, 1, 2):
        for days, fitted in zip((NOW, BEFORE, AFTER), joints[at - 1], strict=True):
            if fitted is not None:
                yield at, days, *fitted


def records(degrees, joints, certificates):
    """Yield a site of three joints, in an order in which each may refer to others."""
    yield site()
    yield from map(structure, ("S1", "S2"))
    yield boundary("B")
    for number, degree in enumerate(degrees):
        yield joint(f"J-{number}", temperature_degc=degree)
    for number in range(3):
        yield Instrument(name=f"W-{number}", kind="torque wrench")
    for number, facts in enumerate(certificates):
        yield certificate(number, *facts)
    devices = [*devices_of(joints)]
    for at, (fitted, removed), kit, _ in devices:
        yield replace(kit, joint_id=at, fitted_on=fitted, removed_on=removed)
    # The last device's record first, so that neither stands in the other's order.
    for number, (*_, paper) in reversed([*enumerate(devices, 1)]):
        if paper is not None:
            yield replace(paper, device_id=number)


def tool_in_date(state, record):
    """Tell it by looking at every paper."""
    papers = [
        p
        for p in state.certificates.values()
        if p.instrument_id == record.torque_tool_id
    ]
    day = record.installed_on
    return any(p.valid_from_on <= day <= p.valid_until_on for p in papers), papers


def check_tools(state, found):
    results = found.review.found["tool"]
    for record, reason in zip(found.records, results.because.tolist(), strict=True):
        is_in_date, papers = tool_in_date(state, record)
        blank = record.torque_tool_id is None
        told = 3 if not papers else 2 if is_in_date else 1
        assert reason == (0 if blank else told)


def now_by_records(state, ground):
    """Return every check and every trigger of what is fitted now, record by record."""
    fitted_now = set(ground.joints.device_id.tolist())
    found = job.fittings_in(state)
    check_tools(state, found)
    pairs = [*enumerate(zip(found.devices, found.records, strict=True))]
    kept = [(n, d, r) for n, (d, r) in pairs if r.device_id in fitted_now]
    checks = [(d.joint_id, r.installed_on, found.review.of(n)) for n, d, r in kept]
    words = {"lubricant": "wrong lubricant", "tool": None}
    triggers = {
        (device.joint_id, words.get(check.name, "fitting fault"), record.installed_on)
        for device, record, check in found.faults()
        if record.device_id in fitted_now
    }
    raised = {(at, trigger_code(w), on) for at, w, on in triggers if w is not None}
    return repr(checks), sorted(raised)


def now_by_columns(state, ground):
    checks, raised = [], []
    for part in job.reviewed_now(state, ground):
        rows = zip(part.joint_id.tolist(), part.installed_on.tolist(), strict=True)
        checks += [(at, on, part.review.of(n)) for n, (at, on) in enumerate(rows)]
        found = _fitting_faults(part)
        columns = (found.subject_id, found.trigger, found.since_on)
        raised += zip(*(c.tolist() for c in columns), strict=True)
    return repr(checks), sorted(raised)


@given(DEGREES, JOINTS, CERTIFICATES)
@examples(15)
def test_columns_say_what_records_say(degrees, joints, certificates):
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(job, "_AT_A_TIME", 2)
        patch.setattr(arrays, "PART", 3)
        register = Register.create(f"sqlite:///{Path(folder, 'r.sqlite')}", "X", KEY)
        fill(register, *records(degrees, joints, certificates), now=NOON)
        with snapshot_of(register) as state:
            ground = read_ground(state, ON)
            assert now_by_columns(state, ground) == now_by_records(state, ground)
        register.close()


KIT = Device(joint_id=1, fitted_on=DAY, kind=DeviceKind.FLANGE_KIT)
PAPER = Installation(device_id=1, installed_on=DAY)
PLACE = (site(), structure("S1"), structure("S2"), boundary("B"), joint("J"))


@contextmanager
def register_of(folder, *records):
    register = Register.create(f"sqlite:///{folder}/r.sqlite", "X", KEY)
    fill(register, *PLACE, KIT, *records)
    yield register
    register.close()


def triggers(register, known=None):
    with snapshot_of(register, known) as state:
        return now_by_columns(state, read_ground(state, ON))[1]


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({}, []),
        ({"torque_tool_id": 1}, []),  # lapsed: a doubt about the record, no fault
        ({"lubricant": "copper paste"}, ["wrong lubricant"]),
        ({"face_a": "scored", "tests_after": "ohmmeter"}, ["fitting fault"]),
        (
            {"face_a": "scored", "lubricant": "nickel paste"},
            ["fitting fault", "wrong lubricant"],
        ),
    ],
)
def test_each_trigger_is_raised_once(tmp_path, facts, words):
    tool = Instrument(name="W", kind="torque wrench")
    lapsed = certificate(1, 1, -9, 3)
    with register_of(tmp_path, tool, lapsed, replace(PAPER, **facts)) as register:
        raised = [(1, trigger_code(word), DAY) for word in words]
        assert triggers(register) == sorted(raised)


def test_a_corrected_record_is_read_as_it_was_known(tmp_path):
    right = replace(PAPER, lubricant="white paste")
    wrong = replace(right, lubricant="copper paste", correction_reason="read again")
    later = NOON + dt.timedelta(days=9)
    with register_of(tmp_path, right) as register:
        with unasked(register, later, "P1", "a second look") as work:
            work.revise(1, wrong)
        assert triggers(register, NOON.date()) == []
        assert len(triggers(register, later.date())) == 1
