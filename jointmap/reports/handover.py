"""The handover as a page and as a table."""

from collections.abc import Iterable

from jointmap.plain_text import csv_text
from jointmap.reports.rendering import render
from jointmap.reports.views_handover import HandoverPage, HandoverRow

_HEADING = (
    "joint", "serial", "contractor", "fitted_on", "meets", "does_not_meet",
    "not_recorded", "not_in_tables", "open", "exceptions",
)  # fmt: skip


def handover_html(view: HandoverPage) -> str:
    """Return what a contractor hands over: joints, punch list, exceptions."""
    return render("handover.html", view)


def handover_table(rows: Iterable[HandoverRow]) -> str:
    """Return one CSV line per joint."""
    return csv_text(_HEADING, map(_cells, rows))


def _cells(row: HandoverRow) -> tuple[str | int, ...]:
    counts = (row.meets, row.fails, row.blank, row.table)
    texts = ("; ".join(row.punch_list), "; ".join(row.exceptions))
    named = (row.joint.text, row.serial, row.contractor)
    return (*named, row.fitted_on.isoformat(), *counts, *texts)
