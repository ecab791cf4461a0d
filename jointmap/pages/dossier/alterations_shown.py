"""What was altered of a joint: each fact that was another until a day."""

from collections.abc import Iterator
from typing import Any

from jointmap.pages.showing import Showing
from jointmap.pages.shown_values import shown
from jointmap.register import FORMS, Altered, Column, Record
from jointmap.register.altered import ALTERED_KINDS, TEXTS, held_by
from jointmap.reports.views_dossier import AlteredRow
from jointmap.snapshot.snapshot import grouped


def altered_rows(showing: Showing, joint_id: int) -> tuple[AlteredRow, ...]:
    """Return what a joint and its boundary were until a day, newest first."""
    joint = showing.joints[joint_id]
    own = [*_rows(showing, joint_id, joint)]
    boundary = showing.boundaries[joint.boundary_id]
    own += _rows(showing, joint.boundary_id, boundary)
    return tuple(sorted(own, key=lambda row: row.from_on, reverse=True))


def altered_by(showing: Showing, id_: int, record: Record) -> set[tuple[str, int]]:
    """Return each column of a record that was altered, with the entry that did it."""
    own = _of(showing, id_, record)
    return {(row.column, showing.state.altered_entries[n]) for n, row in own}


def _of(showing: Showing, id_: int, record: Record) -> list[tuple[int, Altered]]:
    if record.KIND not in ALTERED_KINDS:
        return []
    rows = showing.state.records_of(Altered, "subject_id", id_)
    subject = ALTERED_KINDS[record.KIND][0]
    return [(n, row) for n, row in rows if row.subject is subject]


def _rows(showing: Showing, id_: int, record: Record) -> Iterator[AlteredRow]:
    columns = {c.name: c for c in FORMS[record.KIND].columns}
    found = sorted(_of(showing, id_, record), key=lambda pair: pair[1].until_on)
    for name, own in grouped((row.column, (n, row)) for n, row in found).items():
        if name == TEXTS:
            continue
        column = columns[name]
        held = [_shown(showing, column, held_by(column, row)) for _, row in own]
        held.append(_shown(showing, column, getattr(record, name)))
        for (n, row), old, new in zip(own, held, held[1:], strict=False):
            entry = showing.state.entry(showing.state.altered_entries[n])
            yield AlteredRow(
                from_on=row.until_on,
                what=f"{record.KIND}: {column.label}".replace("_", " "),
                old=old,
                new=new,
                who=entry.recorded_by,
                why=entry.reason,
            )


def _shown(showing: Showing, column: Column, value: Any) -> str:  # noqa: ANN401
    # What is altered of joints and boundaries refers to boundaries only.
    return showing.boundaries[value].name if column.refers else shown(column, value)
