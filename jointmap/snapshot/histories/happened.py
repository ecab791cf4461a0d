"""What was done or found at joints and at boundaries, as columns."""

from typing import NamedTuple

import numpy as np

from jointmap.register import Occurrence
from jointmap.register.codes import OccurrenceKind
from jointmap.register.columns import Days, Ids
from jointmap.register.joining import row_of
from jointmap.sections.turned_good import Happened
from jointmap.snapshot.gather import pick
from jointmap.snapshot.occurrences import joints_near
from jointmap.snapshot.site_columns import Ground
from jointmap.snapshot.snapshot import Snapshot

# What may make a place better, or its readings others. A storm, a fault, a wrong part
# say why a place is bad, and not why it is good again (judgement).
_SAYS_WHY = (
    OccurrenceKind.REPAIR, OccurrenceKind.REROUTE, OccurrenceKind.WORK_NEARBY,
    OccurrenceKind.OUT_OF_USE, OccurrenceKind.BACK_IN_USE, OccurrenceKind.SOURCE_STEP,
    OccurrenceKind.WATER_BREAKTHROUGH, OccurrenceKind.FLOOD,
)  # fmt: skip


class HappenedAt(NamedTuple):
    """The same at joints, and at boundaries with all that happened at their joints."""

    joints: Happened
    boundaries: Happened

    def and_also(self, joint_id: Ids, boundary_id: Ids, day: Days) -> "HappenedAt":
        """Return these with some more, each at a joint, a boundary or both."""
        own = ((joint_id, day), (boundary_id, day))
        pairs = zip(self, own, strict=True)
        return HappenedAt(*(_known([known, more]) for known, more in pairs))


def happened(state: Snapshot, ground: Ground) -> HappenedAt:
    """Return the days of occurrences, devices, paths and permissions."""
    joints = [*_of_occurrences(state, ground), *_of_devices(ground)]
    at_joints = [(_boundary_of(ground, ids), days) for ids, days in joints]
    paths, bounds = ground.paths, ground.boundaries
    of_paths = (paths.fitted_on, paths.removed_on, paths.checked_on)
    permitted = (bounds.joined_from_on, bounds.joined_until_on)
    boundaries = [
        *at_joints,
        *_of_whole_boundaries(state),
        *((paths.boundary_id, days) for days in of_paths),
        *((bounds.boundary_id, days) for days in permitted),
    ]
    joints += [(paths.joint_id, days) for days in of_paths]
    return HappenedAt(_known(joints), _known(boundaries))


def _known(told: list[tuple[Ids, Days]]) -> Happened:
    ids = np.concatenate([ids for ids, _ in told])
    day = np.concatenate([days for _, days in told]).astype("datetime64[D]")
    known = (ids > 0) & ~np.isnat(day)
    return Happened(ids[known], day[known])


def _telling(state: Snapshot) -> list[Occurrence]:
    return [r for r in state.occurrences.values() if r.kind in _SAYS_WHY]


def _of_occurrences(state: Snapshot, ground: Ground) -> list[tuple[Ids, Days]]:
    found = []
    for record in _telling(state):
        ids = np.asarray(joints_near(state, record, ground), np.int64)
        found.append((ids, np.full(len(ids), record.happened_on, "datetime64[D]")))
    return found


def _of_whole_boundaries(state: Snapshot) -> list[tuple[Ids, Days]]:
    told = [r for r in _telling(state) if r.boundary_id is not None]
    ids = np.array([r.boundary_id for r in told], np.int64)
    return [(ids, np.array([r.happened_on for r in told], "datetime64[D]"))]


def _of_devices(ground: Ground) -> list[tuple[Ids, Days]]:
    devices = ground.devices
    days = (devices.fitted_on, devices.removed_on)
    return [(devices.joint_id, day) for day in days]


def _boundary_of(ground: Ground, joint_id: Ids) -> Ids:
    row = row_of(ground.joints.joint_id, joint_id)
    ids: Ids = pick(ground.joints.boundary_id, row, 0)
    return ids
