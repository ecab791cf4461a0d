"""Values of records as pages show them, with their units."""

import json
from collections.abc import Mapping, Sequence

from jointmap.register import Column, Record, form_of
from jointmap.register.fields import QUANTITY_OF_SUFFIX
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
        return show(value, unit_of(column))
    return f"{value:g}" if isinstance(value, float) else str(value)


def unit_of(column: Column) -> str:
    """Return the unit in a quantity's name, as ``wording`` knows it."""
    fits = [s for s in QUANTITY_OF_SUFFIX if column.name.endswith(s)]
    return max(fits, key=len).removeprefix("_")
