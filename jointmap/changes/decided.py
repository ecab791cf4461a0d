"""The record of what a person decided, made where the decision is carried out."""

import datetime as dt
from dataclasses import dataclass

from jointmap.changes.change import Change, free_number, second_of
from jointmap.changes.rows.context import local_day
from jointmap.incoming.size_limits import check_cell
from jointmap.register import Decision
from jointmap.register.codes import DecisionKind
from jointmap.storage import Writing


@dataclass(frozen=True, slots=True)
class Decided:
    """What a decision was about, by whose authority, until when it holds."""

    kind: DecisionKind
    subject: str
    key: str
    authority: str = ""
    until: dt.date | None = None
    on: dt.date | None = None  # decided; None: on the day it is recorded


def decision(job: Writing, decided: Decided, change: Change) -> Decision:
    """Return the record under a number that is not taken."""
    check_cell(decided.authority, "--authority")
    return Decision(
        number=free_number(job, f"{decided.kind} {decided.key} {change.on}"),
        decided_on=decided.on or local_day(job, change.now),
        kind=decided.kind,
        person_id=job.known("person").id_of((change.by,)),
        second_person_id=second_of(job, change),
        subject=decided.subject,
        subject_key=decided.key,
        why=change.reason,
        authority=decided.authority,
        until_on=decided.until,
    )
