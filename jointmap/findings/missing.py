"""What is not on record for a joint, said before an auditor finds it."""

from collections.abc import Iterator

import numpy as np

from jointmap.assessment.recorded_tests import RecordedTests
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.register import Device, Installation
from jointmap.register.codes import DeviceKind, Layout, Purpose, Stage

_ACCEPTING = (Stage.ACCEPTANCE, Stage.BEFORE_TIE_IN)


def missing_of(site: SiteOnDay, tests: RecordedTests, id_: int) -> tuple[str, ...]:
    """Return the blanks of a joint's record, each as the id of its words."""
    found = (
        *_of_place(site, id_),
        *_of_device(site, id_),
        *_of_tests(tests, id_),
    )
    return tuple(f"missing.{name}" for name in found)


def _of_place(site: SiteOnDay, id_: int) -> Iterator[str]:
    joint = site.joints[id_]
    row = site.joint_rows[id_]
    if np.isnan(site.assessed.ground.joints.latitude_deg[row]):
        yield "position"
    if joint.line_id is not None and joint.post_kilometre is None:
        yield "post"
    if site.boundaries[joint.boundary_id].purpose is Purpose.NOT_STATED:
        yield "purpose"
    if joint.severity is None:
        yield "severity"
    if joint.consequence is None:
        yield "consequence"


def _of_device(site: SiteOnDay, id_: int) -> Iterator[str]:
    row = site.joint_rows[id_]
    device_id = int(site.assessed.ground.joints.device_id[row])
    state = site.state
    if not device_id:
        yield "device"
        return
    device = state.devices[device_id]
    if device.kind is DeviceKind.FLANGE_KIT and device.layout is Layout.UNKNOWN:
        yield "layout"
    if device_id not in state.fitting_of:
        yield "installation"
        return
    yield from _of_fitting(device, state.fitting_of[device_id])


def _of_fitting(device: Device, record: Installation) -> Iterator[str]:
    kit = device.kind is DeviceKind.FLANGE_KIT
    if kit and not record.lubricant:
        yield "lubricant"
    if kit and record.torque_target_newton_metre is None:
        yield "torque"
    if not record.photos:
        yield "photos"
    if record.witness_id is None:
        yield "witness"


def _of_tests(tests: RecordedTests, id_: int) -> Iterator[str]:
    own = [tests.records[i] for i in tests.of_joint.get(id_, [])]
    if not own:
        yield "tests"
    elif not any(t.stage in _ACCEPTING for t in own):
        yield "baseline"
