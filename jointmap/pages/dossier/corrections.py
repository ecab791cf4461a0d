"""Values that were replaced: the old one, the new one, who, when and why."""

from collections.abc import Iterator
from itertools import pairwise

from jointmap.pages.dossier.alterations_shown import altered_by
from jointmap.pages.showing import Showing
from jointmap.pages.shown_values import shown
from jointmap.register import (
    ABOUT_THE_ROW,
    Boundary,
    form_of,
)
from jointmap.register.revision import Revision
from jointmap.reports.views import CorrectionRow


def corrections_of(showing: Showing, joint_id: int) -> tuple[CorrectionRow, ...]:
    """Return every corrected value of a joint and what belongs to it, newest first."""
    rows = [
        row
        for revisions in _corrected(showing, joint_id)
        for old, new in pairwise(revisions)
        for row in _rows(showing, old, new)
    ]
    return tuple(sorted(rows, key=lambda r: r.recorded_on, reverse=True))


def _corrected(showing: Showing, joint_id: int) -> list[list[Revision]]:
    boundary_id = showing.joints[joint_id].boundary_id
    of_joint = showing.corrected_of_joints.get(joint_id, [])
    own = showing.state.corrected_of(Boundary)
    return of_joint + [each for each in own if each[-1].id == boundary_id]


def _rows(showing: Showing, old: Revision, new: Revision) -> Iterator[CorrectionRow]:
    entry = showing.state.entry(new.entry)
    altered = altered_by(showing, new.id, new.record)
    for column in form_of(type(new.record)).columns:
        before = getattr(old.record, column.name)
        after = getattr(new.record, column.name)
        if column.name in ABOUT_THE_ROW or before == after or column.refers:
            continue
        if (column.name, new.entry) in altered:
            continue
        kind, field = new.record.KIND, column.label
        yield CorrectionRow(
            recorded_on=showing.state.local_day(new.entry),
            what=f"{kind}: {field}".replace("_", " "),
            old=shown(column, before),
            new=shown(column, after),
            who=entry.recorded_by,
            why=new.record.correction_reason or entry.reason,
        )
