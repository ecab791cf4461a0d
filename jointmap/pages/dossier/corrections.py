"""Values that were replaced: the old one, the new one, who, when and why."""

from collections.abc import Iterator
from itertools import pairwise

from jointmap.pages.showing import Showing
from jointmap.pages.shown_values import shown
from jointmap.register import (
    ABOUT_THE_ROW,
    Boundary,
    Device,
    Installation,
    Joint,
    Position,
    Record,
    form_of,
)
from jointmap.register.codes import Subject
from jointmap.register.revision import Revision
from jointmap.reports.views import CorrectionRow


def corrections_of(showing: Showing, joint_id: int) -> tuple[CorrectionRow, ...]:
    """Return every corrected value of a joint and what belongs to it, newest first."""
    rows = [
        row
        for revisions in showing.corrected
        if _belongs(showing, revisions[-1].id, revisions[-1].record, joint_id)
        for old, new in pairwise(revisions)
        for row in _rows(showing, old, new)
    ]
    return tuple(sorted(rows, key=lambda r: r.recorded_on, reverse=True))


def _belongs(showing: Showing, id_: int, record: Record, joint_id: int) -> bool:
    if isinstance(record, Joint):
        return id_ == joint_id
    if isinstance(record, Boundary):
        return id_ == showing.joints[joint_id].boundary_id
    if isinstance(record, Position):
        return (record.subject, record.subject_id) == (Subject.JOINT, joint_id)
    if isinstance(record, Installation):
        devices = showing.assessed.state.records(Device)
        return devices[record.device_id].joint_id == joint_id
    return bool(getattr(record, "joint_id", None) == joint_id)


def _rows(showing: Showing, old: Revision, new: Revision) -> Iterator[CorrectionRow]:
    entry = showing.assessed.state.entries[new.entry - 1]
    for column in form_of(type(new.record)).columns:
        before = getattr(old.record, column.name)
        after = getattr(new.record, column.name)
        if column.name in ABOUT_THE_ROW or before == after or column.refers:
            continue
        kind, field = new.record.KIND, column.label
        yield CorrectionRow(
            recorded_on=showing.local_day(new.entry),
            what=f"{kind}: {field}".replace("_", " "),
            old=shown(column, before),
            new=shown(column, after),
            who=entry.recorded_by,
            why=new.record.correction_reason or entry.reason,
        )
