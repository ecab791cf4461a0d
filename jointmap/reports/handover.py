"""The handover as a page and as a table."""

import csv
from collections.abc import Iterable
from io import StringIO

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
    """Return one CSV line per joint; a cell that a spreadsheet would run is quoted."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_HEADING)
    for row in rows:
        counts = (row.meets, row.fails, row.blank, row.table)
        texts = ("; ".join(row.punch_list), "; ".join(row.exceptions))
        named = (row.joint.text, row.serial, row.contractor)
        days = (row.fitted_on.isoformat(),)
        writer.writerow([*map(_still, named), *days, *counts, *map(_still, texts)])
    return out.getvalue()


def _still(text: str) -> str:
    return f"'{text}" if text.startswith(("=", "+", "-", "@")) else text
