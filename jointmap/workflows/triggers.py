"""Facts that shorten an interval or open a re-test, as columns."""

from collections.abc import Iterator
from typing import cast

import numpy as np

from jointmap.acceptance import StudStates
from jointmap.assembly import Result, review
from jointmap.intervals import TriggerColumns, trigger_code
from jointmap.register import Device, Installation, Occurrence
from jointmap.register.codes import Subject, code_of
from jointmap.storage import Reading
from jointmap.workflows.columns import Ground

Fact = tuple[int, str, np.datetime64]
_FITTING_TRIGGERS = {"lubricant": "wrong lubricant", "torque": "fitting fault"}


def read_triggers(state: Reading, ground: Ground, studs: StudStates) -> TriggerColumns:
    """Return lost stud sides, fitting faults and occurrences, by joint."""
    facts = [
        *_lost_sides(studs),
        *_fitting_faults(state, ground),
        *_occurrences(state, ground),
    ]
    return TriggerColumns(
        np.full(len(facts), code_of(Subject.JOINT), dtype=np.int16),
        np.array([joint for joint, _, _ in facts], dtype=np.int64),
        np.array([trigger_code(word) for _, word, _ in facts], dtype=np.int16),
        np.array([day for _, _, day in facts], dtype="datetime64[D]"),
    )


def _lost_sides(studs: StudStates) -> Iterator[Fact]:
    lost = (studs.sides_left >= 0) & (studs.sides_left < studs.sides_possible)
    for joint in np.unique(studs.joint_id[lost]):
        days = studs.tested_on[lost & (studs.joint_id == joint)]
        yield int(joint), "one side of a stud lost", days.min()


def _fitting_faults(state: Reading, ground: Ground) -> Iterator[Fact]:
    devices = state.records(Device)
    fitted_now = set(ground.joints.device_id.tolist())
    for record in state.records(Installation).values():
        if record.device_id not in fitted_now:
            continue
        device = devices[record.device_id]
        for check in review(device, record):
            word = _FITTING_TRIGGERS.get(check.name)
            if word and check.result is Result.DOES_NOT_MEET:
                yield device.joint_id, word, np.datetime64(record.installed_on, "D")


def _occurrences(state: Reading, ground: Ground) -> Iterator[Fact]:
    for record in state.records(Occurrence).values():
        happened = np.datetime64(record.happened_on, "D")
        if happened <= ground.on:
            for joint in joints_near(record, ground):
                yield joint, str(record.kind), happened


def joints_near(record: Occurrence, ground: Ground) -> list[int]:
    """Return the joints that an occurrence names: one, a boundary's, or an area's."""
    joints = ground.joints
    if record.joint_id is not None:
        return [record.joint_id]
    if record.boundary_id is not None:
        here = joints.boundary_id == record.boundary_id
    elif record.area:
        here = ground.joint_facts["area"] == record.area
    else:
        return []
    return cast("list[int]", joints.joint_id[here].tolist())
