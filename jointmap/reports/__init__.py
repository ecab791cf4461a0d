"""Pages, sheets and dossiers as text, filled from plain views.

``REPORTS`` lists every report by name: the view it takes and what makes its text.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jointmap.reports.every_report import REPORTS as REPORTS
    from jointmap.reports.every_report import Report as Report


def __getattr__(name: str) -> object:
    # Every view and template; a command that prints a few lines needs none of them.
    if name in {"REPORTS", "Report"}:
        from jointmap.reports import every_report

        return getattr(every_report, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
