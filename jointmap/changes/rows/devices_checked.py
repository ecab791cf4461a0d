"""Two devices cannot be in service at one joint on one day."""

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import cast

from jointmap.errors import Problem
from jointmap.register import Device, Joint
from jointmap.storage.known import Knows
from jointmap.wording import say

OVERLAP = "row.device_overlap"


def overlaps(
    device: Device, devices: Mapping[dt.date, Device], job: Knows
) -> Iterator[Problem]:
    """Yield a fault where another of the joint's devices was in service then.

    On the day on which one is taken out and the next fitted there is no overlap.
    """
    for other in devices.values():
        if other.fitted_on == device.fitted_on or not _meet(device, other):
            continue
        joint = cast("Joint", job.known("joint").record(device.joint_id))
        facts = {"joint": joint.tag, "fitted_on": other.fitted_on}
        facts["until"] = other.removed_on or say("absent.removed_on")
        facts["origin"] = other.origin or say("absent.origin")
        value = device.fitted_on.isoformat()
        yield Problem(OVERLAP, facts, column="fitted_on", value=value)
        return


def _meet(one: Device, other: Device) -> bool:
    return one.fitted_on < (other.removed_on or dt.date.max) and other.fitted_on < (
        one.removed_on or dt.date.max
    )
