"""From which day on something can be done to a joint, by what is on record of it."""

import datetime as dt
from collections.abc import Iterator
from typing import cast

from jointmap.changes.change import Change
from jointmap.errors import Problem, WrongUse
from jointmap.register import Alias, Device, Joint
from jointmap.storage import Writing


def check_can_end(job: Writing, id_: int, joint: Joint, change: Change) -> None:
    """Refuse a day before duty began, or before the last device was fitted."""
    days = [*_fitted_on(job, id_), joint.in_duty_on]
    _check(joint, max((d for d in days if d is not None), default=None), change)


def check_on_record(job: Writing, id_: int, joint: Joint, change: Change) -> None:
    """Refuse a day before the first device of a joint and before its duty."""
    days = [*_fitted_on(job, id_), joint.in_duty_on]
    _check(joint, min((d for d in days if d is not None), default=None), change)


def check_is_there(job: Writing, id_: int, joint: Joint, change: Change) -> None:
    """Refuse a day before all that is on record of a joint, or an older name's end."""
    days = [*_fitted_on(job, id_), joint.in_duty_on]
    first = min((d for d in days if d is not None), default=None)
    aliases = (cast("Alias", r) for _, r in job.known("alias").by_id.values())
    ends = [a.until_on for a in aliases if a.joint_id == id_]
    _check(
        joint, max((d for d in (first, *ends) if d is not None), default=None), change
    )


def _fitted_on(job: Writing, joint_id: int) -> Iterator[dt.date]:
    devices = (cast("Device", r) for _, r in job.known("device").by_id.values())
    return (d.fitted_on for d in devices if d.joint_id == joint_id)


def _check(joint: Joint, first: dt.date | None, change: Change) -> None:
    if first is not None and change.on < first:
        facts = {"day": change.on, "first": first, "tag": joint.tag}
        raise WrongUse(Problem("change.before_first", facts))
