"""Values of records as pages show them, with their units."""

import json
from collections.abc import Mapping, Sequence

from jointmap.register import Column, Record, form_of
from jointmap.reports.views import Fact
from jointmap.wording.quantities import show


def facts_of(record: Record, names: Sequence[str]) -> tuple[Fact, ...]:
    """Return the named fields as facts, as written beside what was read."""
    columns = {c.name: c for c in form_of(type(record)).columns}
    written = json.loads(record.as_written or "{}")
    return tuple(
        Fact(
            columns[n].label,
            shown(columns[n], getattr(record, n)),
            _own_text(columns[n], written),
        )
        for n in names
    )


def _own_text(column: Column, written: Mapping[str, str]) -> str:
    return written.get(column.label, "")


def shown(column: Column, value: object) -> str:
    """Return a field's value as a page shows it; blank for none."""
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and column.quantity:
        return show(value, column.unit)
    return f"{value:g}" if isinstance(value, float) else str(value)
