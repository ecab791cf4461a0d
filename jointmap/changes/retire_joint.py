"""The end of a joint's duty, and boundaries joined on purpose: decisions, on record."""

import datetime as dt
from dataclasses import replace
from enum import StrEnum
from typing import cast

from jointmap.changes.alter import note_alterations
from jointmap.changes.change import Change, begin, check_day
from jointmap.changes.change_joint import devices_of, joint_of, take_out
from jointmap.changes.decided import Decided, decision
from jointmap.changes.joint_days import check_can_end
from jointmap.changes.revise import put
from jointmap.changes.rows.context import local_day
from jointmap.changes.rows.find_record import record_called
from jointmap.changes.rows.records_checked import check_days
from jointmap.errors import Problem, WrongUse
from jointmap.register import Boundary, Joint, ParallelPath
from jointmap.register.codes import (
    LEFT_DUTY,
    DecisionKind,
    JointState,
    PathKind,
    PathState,
)
from jointmap.register.same_letters import says_nothing
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say


class Way(StrEnum):
    """How a joint leaves its duty."""

    CUT_OUT = "cut out"
    GAP_PROVED = "left, gap proved"
    BONDED = "left, bonded"


def retire(site: SiteFolder, tag: str, how: str, change: Change) -> list[str]:
    """Take a joint out of duty: cut out, or left with its gap proved, or left bonded.

    Its history stays and counts; the boundary is judged without it from now on. A bond
    becomes a parallel path that joins the two sides. The decision is recorded.
    """
    with begin(site, change) as job:
        check_day(job, change)
        id_, joint = joint_of(job, tag)
        state = JointState.REMOVED if how == Way.CUT_OUT else JointState.OUT_OF_DUTY
        if joint.state in LEFT_DUTY:
            facts = {"tag": joint.tag, "state": joint.state}
            raise WrongUse(Problem("retire.already", facts))
        check_can_end(job, id_, joint, change)
        ended = replace(joint, state=state, out_of_duty_on=change.on)
        note_alterations(job, id_, joint, ended, change)
        put(job, id_, ended, change.reason)
        boundary = cast("Boundary", job.known("boundary").record(joint.boundary_id))
        done = {"tag": joint.tag, "state": state, "day": change.on, "how": how}
        lines = [say("retire.done", done)]
        if how == Way.CUT_OUT:
            take_out(job, devices_of(job, id_), change)
        if how == Way.BONDED:
            job.add(_bond(id_, joint, change.on))
            lines.append(
                say("retire.bond", {"tag": joint.tag, "boundary": boundary.name})
            )
        released = Decided(DecisionKind.RELEASED, "joint", joint.tag)
        job.add(decision(job, released, change))
    return lines


def _bond(joint_id: int, joint: Joint, on: dt.date) -> ParallelPath:
    return ParallelPath(
        name=say("retire.bond_name", {"tag": joint.tag}),
        boundary_id=joint.boundary_id,
        joint_id=joint_id,
        kind=PathKind.BOND_ON_PURPOSE,
        state=PathState.JOINING,
        fitted_on=on,
        checked_on=on,
    )


def join_on_purpose(
    site: SiteFolder,
    name: str,
    authority: str,
    until: dt.date | None,
    change: Change,
) -> str:
    """Permit a boundary to be joined on purpose from ``change.on`` until a day.

    Its joints are then not called shorted. A second call changes authority or end.
    Raises ``WrongUse`` for an unknown boundary, no authority, an end before the start.
    """
    if says_nothing(authority):
        raise WrongUse(Problem("join.authority"))
    facts: dict[str, object] = {"until": until, "from_on": change.on}
    if until is not None and until < change.on:
        raise WrongUse(Problem("join.order", facts))
    with begin(site, change) as job:
        id_ = record_called(job, "boundary", name)
        old = cast("Boundary", job.known("boundary").record(id_))
        facts |= {"boundary": old.name, "authority": authority.strip()}
        given = (authority.strip(), change.on, until)
        if given == (old.joined_by, old.joined_from_on, old.joined_until_on):
            raise WrongUse(Problem("join.same", facts))
        new = replace(
            old,
            joined_by=authority.strip(),
            joined_from_on=change.on,
            joined_until_on=until,
        )
        check_days(new, local_day(job, change.now), old)
        put(job, id_, new, change.reason)
        kind = DecisionKind.JOINED_ON_PURPOSE
        decided = Decided(kind, "boundary", old.name, authority.strip(), until)
        job.add(decision(job, decided, change))
    end = say("join.until" if until else "join.no_end", facts)
    return say("join.done", facts | {"until": end})
