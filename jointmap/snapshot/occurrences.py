"""Which joints an occurrence may have changed."""

from typing import cast

import numpy as np

from jointmap.register import Device, Joint, Occurrence
from jointmap.register.codes import OccurrenceKind
from jointmap.register.columns import Flags, Ids
from jointmap.snapshot.site_columns import Ground
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_arrays

# What was found at a device: it ends where another is fitted.
_OF_THE_DEVICE = (OccurrenceKind.WRONG_PART, OccurrenceKind.TOO_HOT)


def joints_near(state: Snapshot, record: Occurrence, ground: Ground) -> list[int]:
    """Return the joints that an occurrence means: one, a boundary's, or an area's.

    A batch under suspicion that names none of these means each joint in which a device
    of that batch is fitted; the batch stands in the place of the occurrence.
    """
    here = _is_meant(state, record, ground)
    if record.kind in _OF_THE_DEVICE:
        here &= ~(ground.joints.fitted_on > np.datetime64(record.happened_on, "D"))
    return cast("list[int]", ground.joints.joint_id[here].tolist())


def _is_meant(state: Snapshot, record: Occurrence, ground: Ground) -> Flags:
    joints = ground.joints
    for own, id_ in (
        (joints.joint_id, record.joint_id),
        (_boundary_then(record, ground), record.boundary_id),
        (ground.joint_facts.area, record.area or None),
    ):
        if id_ is not None:
            return cast("Flags", own == id_)
    if record.kind is OccurrenceKind.BATCH_UNDER_SUSPICION:
        return np.isin(joints.device_id, _devices_of(state, record.place))
    return np.zeros(len(joints), np.bool_)


def _boundary_then(record: Occurrence, ground: Ground) -> Ids:
    """Return the boundary on which each joint stood when it happened."""
    joints = ground.joints
    on = np.full(len(joints), record.happened_on, "M8[D]")
    then: Ids = ground.past.at(
        Joint, "boundary_id", joints.joint_id, on, joints.boundary_id
    )
    return then


def _devices_of(state: Snapshot, batch: str) -> list[int]:
    found, name = read_arrays(state.stored, Device, ["batch"]), batch.strip().lower()
    pairs = zip(found["id"].tolist(), found["batch"].tolist(), strict=True)
    return [id_ for id_, own in pairs if own.strip().lower() == name]
