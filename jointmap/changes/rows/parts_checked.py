"""What a test was read of: its part, its side, its test point, and by what figure."""

import json
from collections.abc import Iterator
from typing import cast

from jointmap.changes.rows.context import Context
from jointmap.errors import Problem
from jointmap.register import Device, IsolationTest, Record, TestPoint
from jointmap.register.codes import DeviceKind, Scope
from jointmap.wording import say

_SIDES = (Scope.STUD, Scope.GASKET_CORE)
# What has no studs through it and no gasket (trade use).
_IN_ONE_PIECE = (DeviceKind.MONOLITHIC, DeviceKind.UNION)
# Methods that read no resistance, each with the columns of what they read instead.
_READS_OTHERWISE = {
    "potential-difference": "a_on, b_on",
    "potential-shift": "a_on, a_off, b_on, b_off",
    "span-current": "span_current, test_current",
    "source-output": "test_current",
}
_ACROSS = (Scope.JOINT, Scope.BOUNDARY, *_SIDES)


def part_of_a_whole(test: IsolationTest) -> Iterator[Problem]:
    """Yield a fault for a stud or a side of what is tested across both sides."""
    if test.stud is not None and test.scope is not Scope.STUD:
        part = {"scope": test.scope, "accepted": Scope.STUD}
        yield Problem("row.part", part, column="stud", value=str(test.stud))
    if test.side is not None and test.scope not in _SIDES:
        facts = {"scope": test.scope, "accepted": " or ".join(_SIDES)}
        yield Problem("row.part", facts, column="side", value=str(test.side))


def no_such_reading(
    test: IsolationTest, before: Record | None = None
) -> Iterator[Problem]:
    """Yield a fault for a resistance that the method does not read, unless it stood."""
    accepted = _READS_OTHERWISE.get(test.method)
    stood = getattr(before, "reading_ohm", None) == test.reading_ohm
    if accepted is not None and test.reading_ohm is not None and not stood:
        facts = {"method": test.method, "accepted": accepted}
        written = json.loads(test.as_written or "{}")
        value = written.get("reading", f"{test.reading_ohm:g} ohm")
        yield Problem("row.no_such_reading", facts, column="reading", value=value)


def part_of_device(
    test: IsolationTest, device: Device | None, context: Context
) -> Iterator[Problem]:
    """Yield a fault for a part that the device tested has not."""
    if device is None or test.scope not in _SIDES:
        return
    if device.kind in _IN_ONE_PIECE:
        facts = {"joint": context.joint(device.joint_id).tag}
        facts |= {"kind": device.kind, "scope": test.scope}
        yield Problem("row.no_such_part", facts, column="scope", value=str(test.scope))
        return
    stud, count = test.stud, device.stud_count
    if stud is not None and count is not None and stud > count:
        beyond = {"stud": stud, "count": count}
        yield Problem("row.stud_beyond", beyond, column="stud", value=str(stud))


def elsewhere(test: IsolationTest, context: Context) -> Iterator[Problem]:
    """Yield a fault for a test point that has no lead to what was tested.

    It stands at a joint of the boundary, or its leads go to both of its structures.
    """
    id_ = _boundary_id(test, context)
    if test.test_point_id is None or id_ is None:
        return
    point = cast(
        "TestPoint", context.job.known("test_point").record(test.test_point_id)
    )
    at = point.joint_id
    if at is not None and context.joint_on(at, test.tested_on).boundary_id == id_:
        return
    boundary = context.boundary(id_)
    sides = {boundary.structure_a_id, boundary.structure_b_id}
    if sides <= {lead.structure_id for lead in context.leads(test.test_point_id)}:
        return
    where = say("absent.joint") if at is None else context.joint(at).tag
    facts = {"joint": where, "boundary": boundary.name}
    yield Problem("row.point_elsewhere", facts, column="test_point", value=point.name)


def _boundary_id(test: IsolationTest, context: Context) -> int | None:
    """Return the boundary that a test was read across; None where it is of none."""
    if test.scope not in _ACROSS:
        return None
    if test.boundary_id is not None or test.joint_id is None:
        return test.boundary_id
    return context.joint_on(test.joint_id, test.tested_on).boundary_id
