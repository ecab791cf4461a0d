"""Repairs as recorded, and whether a test has proved them."""

import numpy as np

from jointmap.register.codes import OccurrenceKind
from jointmap.register.columns import Days, TestColumns
from jointmap.sections import EvidenceColumns, proved_since
from jointmap.snapshot.occurrences import joints_near
from jointmap.snapshot.site_columns import NO_DAY, Ground
from jointmap.snapshot.snapshot import Snapshot


def repaired(state: Snapshot, ground: Ground) -> Days:
    """Return per joint the last day on which a repair of it was recorded."""
    found = np.full(len(ground.joints), NO_DAY)
    for record in state.occurrences.values():
        day = np.datetime64(record.happened_on, "D")
        if record.kind is OccurrenceKind.REPAIR and day <= ground.on:
            here = np.isin(ground.joints.joint_id, joints_near(state, record, ground))
            found[here] = np.fmax(found[here], day)
    return found


def not_proved(
    ground: Ground, seen: EvidenceColumns, tests: TestColumns, repaired_on: Days
) -> Days:
    """Return the day of each repair that no good test as installed has proved."""
    proved = proved_since(ground.joints, seen, tests, repaired_on)
    return np.where(proved, NO_DAY, repaired_on)
