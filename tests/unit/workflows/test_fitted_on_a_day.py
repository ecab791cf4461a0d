"""Which device is fitted on a day is one answer, wherever it is told."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.pages.dossier.page import dossier_view
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.handover_view import handover_rows
from jointmap.pages.shown_tests import ShownTests
from jointmap.pages.worksheet.places import places_in
from jointmap.register import Device, IsolationTest
from jointmap.register.codes import DeviceKind, Outcome, Scope, Stage
from jointmap.reports.every_report import REPORTS
from jointmap.reports.views_dossier import Why
from jointmap.snapshot.fitted import Fitted, device_tested, fitted_in
from jointmap.snapshot.fittings import fittings_in
from tests.opened_site import opened, shown

JOINTS = """\
tag,boundary,area,state,in_duty_on
J-3,B-1,East,in duty,2020-01-10
J-4,B-1,East,in duty,2020-01-10
"""
DEVICES = """\
joint,fitted_on,removed_on,kind,layout,stud_count,serial
J-3,2020-01-05,2025-06-01,flange kit,two-side,8,first
J-3,2025-06-01,2026-01-05,flange kit,two-side,8,second
J-4,2020-01-05,2026-01-06,flange kit,two-side,8,other
"""
FITTED = """\
joint,device_fitted_on,installed_on,torque_tool
J-3,2020-01-05,2020-01-05,
J-3,2025-06-01,2025-06-01,
J-4,2020-01-05,2020-01-05,
"""
OWN = ("J-3", "J-4")
DAYS = {
    "before the first": ("2020-01-04", {}),
    "from its first day": ("2020-01-05", {"J-3": "first", "J-4": "other"}),
    "on the day of a change the new one": (
        "2025-06-01",
        {"J-3": "second", "J-4": "other"},
    ),
    "on the day it was cut out none": ("2026-01-05", {"J-4": "other"}),
    "after both": ("2026-05-15", {}),
}


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    folder = tmp_path_factory.mktemp("fitted")
    sheets = {"joints.csv": JOINTS, "devices.csv": DEVICES, "installations.csv": FITTED}
    found = opened(folder, sheets)
    yield found
    found.register.close()


@pytest.mark.parametrize(("day", "expected"), DAYS.values(), ids=DAYS)
def test_every_page_and_list_names_the_same_device(site, day, expected):
    on = dt.date.fromisoformat(day)
    with shown(site, on) as showing:
        state, joints = showing.assessed.state, showing.assessed.ground.joints
        serials = {id_: d.serial for id_, d in state.devices.items()}
        tags = {id_: joint.tag for id_, joint in showing.joints.items()}
        rows = zip(joints.joint_id.tolist(), joints.device_id.tolist(), strict=True)
        columns = {tags[j]: serials[d] for j, d in rows if d}
        handed = {r.joint.text: r.serial for r in handover_rows(state, on, None)}
        reviewed = fittings_in(state, on).devices
        records = {tags[d.joint_id]: d.serial for d in reviewed}
        tests = ShownTests(showing)
        none = shown_findings(showing, tests, ())
        views = {tags[j]: dossier_view(showing, tests, j, none, ()) for j in tags}
        placed = places_in(state, tags, on).values()
    dossiers = {
        tag: d.serial for tag, v in views.items() for d in v.devices if d.is_fitted
    }
    sheets = {place.joint.tag: place.device.serial for place in placed}
    told = {
        tag: "of the fitting record"
        in REPORTS["why-text"].make(Why(answer=view, reason=""))
        for tag, view in views.items()
    }
    found = [
        {tag: serial for tag, serial in answer.items() if tag in OWN}
        for answer in (columns, handed, records, dossiers, sheets)
    ]
    assert found == [expected] * len(found)
    assert {tag for tag, is_told in told.items() if is_told} == set(expected)


SPANS = st.lists(
    st.tuples(st.integers(1, 3), st.integers(0, 20), st.none() | st.integers(0, 20)),
    max_size=6,
)
FIRST = dt.date(2025, 1, 1)


def day(number):
    return None if number is None else FIRST + dt.timedelta(days=number)


def by_hand(own, on):
    """The device fitted last by a day, unless it was removed by then."""
    begun = [d for d in own if d.fitted_on <= on]
    last = max(begun, key=lambda d: d.fitted_on, default=None)
    gone = last and last.removed_on and last.removed_on <= on
    return None if gone else last


@given(SPANS, st.integers(0, 21), st.sampled_from(Stage))
def test_against_a_loop(spans, number, stage):
    devices = [
        Device(
            joint_id=joint,
            fitted_on=day(first),
            removed_on=None if last is None else day(max(first, last)),
            kind=DeviceKind.UNION,
        )
        for (joint, first), last in {(j, f): t for j, f, t in spans}.items()
    ]
    on = day(number)
    found = fitted_in(dict(enumerate(devices, start=1)), on)
    for joint in (1, 2, 3):
        own = [d for d in devices if d.joint_id == joint]
        expected = by_hand(own, on)
        assert (devices[found[joint] - 1] if joint in found else None) == expected
        made = IsolationTest(
            scope=Scope.JOINT,
            joint_id=joint,
            tested_on=on,
            method="potential-shift",
            stage=stage,
            outcome=Outcome.MEASURED,
        )
        before = by_hand(own, on - dt.timedelta(days=1))
        either = (before, expected) if stage is Stage.AS_FOUND else (expected, before)
        assert device_tested(own, made) == (either[0] or either[1])


def test_of_no_device_none_is_fitted():
    none = np.zeros(0, np.int64)
    table = Fitted.of(none, none.astype("datetime64[D]"), none.astype("datetime64[D]"))
    on = np.array(["2025-01-01"], dtype="datetime64[D]")
    assert table.on(np.array([1]), on).tolist() == [-1]
