"""What a row of a delivery says otherwise than the record it speaks of."""

import json
from dataclasses import replace

from jointmap.changes.holding import POSITION
from jointmap.changes.rows.find_record import key_of
from jointmap.changes.rows.positions import PLACE_LABELS, place_as_sent
from jointmap.exchange import Draft, written_text
from jointmap.register import ABOUT_THE_ROW, FORMS, Column, Position, Record
from jointmap.storage import Writing
from jointmap.units import number_text, quantity_text


def with_unsaid(draft: Draft, old: Record, new: Record) -> Record:
    """Return ``new`` with the old values of columns that the file does not have."""
    names = [c.name for c in FORMS[old.KIND].columns if c.name in draft.unsaid]
    if not names:
        return new
    changed = {name: getattr(old, name) for name in names}
    if old.as_written:
        labels = {c.label for c in FORMS[old.KIND].columns if c.name in names}
        texts = json.loads(old.as_written)
        own = json.loads(new.as_written or "{}")
        own |= {k: v for k, v in texts.items() if k in labels}
        changed["as_written"] = written_text(own)
    return replace(new, **changed)


def differing(old: Record, new: Record) -> list[str]:
    """Return the labels of what two revisions of a record say differently."""
    columns = FORMS[old.KIND].columns
    found = [
        c.label.removesuffix("_bound")  # a bound stands in its reading's cell
        for c in columns
        if c.name not in ABOUT_THE_ROW and getattr(old, c.name) != getattr(new, c.name)
    ]
    if isinstance(old, Position):
        # People write and decide a place, not one of its numbers.
        found = [POSITION if label in PLACE_LABELS else label for label in found]
    return list(dict.fromkeys(found))


def shown(job: Writing, record: Record, label: str) -> str:
    """Return the value under a label as a person wrote it, or would write it."""
    if isinstance(record, Position) and label == POSITION:
        return place_as_sent(record)
    column = next(c for c in FORMS[record.KIND].columns if c.label == label)
    value = getattr(record, column.name)
    if column.refers and value is not None:
        return key_of(job, job.known(column.refers).record(value))
    written = json.loads(record.as_written or "{}")
    return str(written.get(label, _as_a_person_would(value, column)))


def _as_a_person_would(value: object, column: Column) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, float):
        return str(value)
    quantity = column.quantity
    return quantity_text(value, quantity) if quantity else number_text(value)
