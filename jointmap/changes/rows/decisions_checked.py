"""Decisions that nobody can have taken: of nothing, of no date, before what they saw.

What a command would refuse is refused in decisions.csv as well.
"""

import datetime as dt
from collections.abc import Callable, Iterator
from typing import TypeVar, cast

from jointmap.changes.rows.context import Context, local_day
from jointmap.changes.rows.names_checked import no_subject
from jointmap.errors import Problem
from jointmap.register import (
    Alias,
    Boundary,
    Decision,
    Joint,
    Model,
    ParallelPath,
    Record,
    Rule,
)
from jointmap.register.codes import (
    KIND_OF_SUBJECT,
    DecisionKind,
    JointState,
    Subject,
)
from jointmap.register.rights.authority import length_faults
from jointmap.register.ruling import ENTRY
from jointmap.storage.known import Knows
from jointmap.wording import say

R = TypeVar("R", bound=Record)
NO_DATE = "defer.no_date"
# What has a date of its own, and can be put off.
_DUE = (Subject.JOINT, Subject.BOUNDARY, Subject.PATH, Subject.SOURCE)


def decision_faults(decision: Decision, context: Context) -> Iterator[Problem]:
    """Yield why a decision cannot have been taken so."""
    yield from length_faults(decision)
    unknown = list(no_subject(decision, context.job))
    yield from unknown
    if unknown:
        return
    if decision.kind is DecisionKind.SEEN:
        yield from _before_the_entry(decision, context)
    if decision.kind is DecisionKind.DEFERRED:
        yield from _of_no_date(decision, context)


def _before_the_entry(decision: Decision, context: Context) -> Iterator[Problem]:
    """Yield that an entry is said to have been seen before it was there."""
    number = decision.subject_key.strip()
    if decision.subject.strip().lower() != ENTRY or not number.isdecimal():
        return
    at = context.job.recorded_at(int(number))
    recorded = None if at is None else local_day(context.job, at)
    if recorded is not None and decision.decided_on < recorded:
        facts = {"entry": number, "recorded": recorded}
        day = decision.decided_on.isoformat()
        yield Problem("seen.too_early", facts, column="decided_on", value=day)


def _of_no_date(decision: Decision, context: Context) -> Iterator[Problem]:
    """Yield that what is put off had no date on the day of the decision."""
    word, key = decision.subject.strip().lower(), decision.subject_key.strip()
    kinds = (s for s in _DUE if word in (str(s), KIND_OF_SUBJECT[s]))
    subject = next(kinds, None)
    if subject is None:
        facts = {"accepted": ", ".join(map(str, _DUE))}
        yield Problem("defer.kind", facts, column="subject", value=decision.subject)
        return
    because = _why_none(subject, key, decision.decided_on, context)
    if because:
        told = say(because, {"decided_on": decision.decided_on})
        facts = {"name": key, "because": told}
        yield Problem(NO_DATE, facts, column="subject_key", value=key)


def _why_none(subject: Subject, key: str, on: dt.date, context: Context) -> str:
    """Return the id of the sentence why something had no date on a day, if it had."""
    check = _WHY_NONE.get(subject)
    because = check(key, on, context) if check else ""
    return because or ("" if _is_ruled(context.job, subject, on) else "defer.no_rule")


def _joint(key: str, on: dt.date, context: Context) -> str:
    id_ = _joint_called(key, context.job)
    joint = cast("Joint", context.job.known("joint").by_id[id_][1])
    ended = joint.out_of_duty_on
    if joint.state is not JointState.IN_DUTY and (ended is None or ended <= on):
        return "defer.not_due"
    fitted = context.devices_of(id_)
    start = joint.in_duty_on or min(fitted, default=None)
    if start is not None and on < start:
        return "defer.too_early"
    known = context.job.known("boundary").record(joint.boundary_id)
    return "defer.not_due" if _is_joined(cast("Boundary", known), on) else ""


def _joint_called(key: str, job: Knows) -> int:
    """Return the joint of a tag, or of an older name."""
    tags = ((j.tag, id_) for id_, j in _with_ids(job, Joint))
    older = ((a.name, a.joint_id) for a in _all(job, Alias))
    named = (*tags, *older)
    return next(id_ for name, id_ in named if name.lower() == key.lower())


def _is_joined(boundary: Boundary, on: dt.date) -> bool:
    start, end = boundary.joined_from_on, boundary.joined_until_on
    return start is not None and start <= on and (end is None or on <= end)


def _boundary(key: str, on: dt.date, context: Context) -> str:
    del on
    id_, _ = _named(context.job, Boundary, key)
    has_joints = any(j.boundary_id == id_ for j in _all(context.job, Joint))
    return "defer.by_joint" if has_joints else ""


def _path(key: str, on: dt.date, context: Context) -> str:
    _, path = _named(context.job, ParallelPath, key)
    if path.removed_on is not None and path.removed_on <= on:
        return "defer.not_due"
    is_later = path.fitted_on is not None and on < path.fitted_on
    return "defer.too_early" if is_later else ""


_WHY_NONE: dict[Subject, Callable[[str, dt.date, Context], str]] = {
    Subject.JOINT: _joint,
    Subject.BOUNDARY: _boundary,
    Subject.PATH: _path,
}


def _is_ruled(job: Knows, subject: Subject, on: dt.date) -> bool:
    """Return whether a rule, or a failure model of joints, gave dates on a day."""
    rules = [r for r in _all(job, Rule) if r.subject is subject and r.from_on <= on]
    if any(r.until_on is None or on <= r.until_on for r in rules):
        return True
    has_model = any(m.from_on <= on for m in _all(job, Model))
    return subject is Subject.JOINT and has_model


def _named(job: Knows, kind: type[R], key: str) -> tuple[int, R]:
    """Return the record that is called so, in letters of any size."""
    every = _with_ids(job, kind)
    return next((i, r) for i, r in every if str(r.key()[0]).lower() == key.lower())


def _with_ids(job: Knows, kind: type[R]) -> Iterator[tuple[int, R]]:
    known = job.known(kind.KIND).by_id.items()
    return ((id_, cast("R", record)) for id_, (_, record) in known)


def _all(job: Knows, kind: type[R]) -> Iterator[R]:
    return (record for _, record in _with_ids(job, kind))
