"""Which joints an occurrence may have changed."""

from typing import cast

from jointmap.register import Occurrence
from jointmap.snapshot.site_columns import Ground


def joints_near(record: Occurrence, ground: Ground) -> list[int]:
    """Return the joints that an occurrence names: one, a boundary's, or an area's."""
    joints = ground.joints
    if record.joint_id is not None:
        return [record.joint_id]
    if record.boundary_id is not None:
        here = joints.boundary_id == record.boundary_id
    elif record.area:
        here = ground.joint_facts.area == record.area
    else:
        return []
    return cast("list[int]", joints.joint_id[here].tolist())
