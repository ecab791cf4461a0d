"""Repairs as recorded, and whether a test has proved them."""

import numpy as np

from jointmap.register.codes import OccurrenceKind
from jointmap.register.columns import Days, TestColumns
from jointmap.register.joining import row_of
from jointmap.sections import EvidenceColumns, proved_since
from jointmap.snapshot.occurrences import joints_near
from jointmap.snapshot.site_columns import NO_DAY, Ground
from jointmap.snapshot.snapshot import Snapshot


def repaired(state: Snapshot, ground: Ground) -> Days:
    """Return per joint the last day of a repair, or of a new device."""
    found = _replaced(ground)
    for record in state.occurrences.values():
        day = np.datetime64(record.happened_on, "D")
        if record.kind is OccurrenceKind.REPAIR and day <= ground.on:
            here = np.isin(ground.joints.joint_id, joints_near(state, record, ground))
            found[here] = np.fmax(found[here], day)
    return found


def _replaced(ground: Ground) -> Days:
    """Return the day the device fitted now took the place of another; NaT: of none."""
    joints, devices = ground.joints, ground.devices
    row = row_of(joints.joint_id, devices.joint_id)
    earlier = devices.fitted_on < np.append(joints.fitted_on, NO_DAY)[row]
    is_new = np.isin(np.arange(len(joints)), row[earlier & (row >= 0)])
    return np.where(is_new, joints.fitted_on, NO_DAY)


def not_proved(
    ground: Ground, seen: EvidenceColumns, tests: TestColumns, repaired_on: Days
) -> Days:
    """Return the day of each repair that no good test as installed has proved."""
    proved = proved_since(ground.joints, seen, tests, repaired_on)
    return np.where(proved, NO_DAY, repaired_on)
