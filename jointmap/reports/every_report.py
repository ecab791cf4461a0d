"""Every report by name: the view it takes and what makes its text."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from jointmap.reports import pages, terminal
from jointmap.reports.boundary_statement import statement_page
from jointmap.reports.handover import handover_html
from jointmap.reports.views_boundary import BoundariesView, BoundaryView
from jointmap.reports.views_dossier import Dossier, Why
from jointmap.reports.views_dossiers import DossiersPage
from jointmap.reports.views_due import DuePage
from jointmap.reports.views_files import PicturePage
from jointmap.reports.views_handover import HandoverPage
from jointmap.reports.views_overview import (
    FindingsPage,
    HeldPage,
    IndexPage,
    SourcesPage,
)
from jointmap.reports.views_predicted import PredictedPage
from jointmap.reports.views_route import MonthPage, RouteSheet
from jointmap.reports.views_worksheet import Worksheet
from jointmap.reports.worksheet import worksheet_page


@dataclass(frozen=True, slots=True)
class Report:
    """What a report is made from, and the function that makes its text."""

    view: type
    make: Callable[[Any], str]


REPORTS: dict[str, Report] = {
    "index": Report(IndexPage, pages.index_page),
    "dossier": Report(Dossier, pages.dossier_page),
    "dossiers": Report(DossiersPage, pages.dossiers_page),
    "boundary": Report(BoundaryView, pages.boundary_page),
    "boundary-statement": Report(BoundaryView, statement_page),
    "boundaries": Report(BoundariesView, pages.boundaries_page),
    "due": Report(DuePage, pages.due_page),
    "route-sheet": Report(RouteSheet, pages.route_sheet),
    "month": Report(MonthPage, pages.month_page),
    "findings": Report(FindingsPage, pages.findings_page),
    "held": Report(HeldPage, pages.held_page),
    "sources": Report(SourcesPage, pages.sources_page),
    "picture": Report(PicturePage, pages.picture_page),
    "predicted": Report(PredictedPage, pages.predicted_page),
    "worksheet": Report(Worksheet, worksheet_page),
    "handover": Report(HandoverPage, handover_html),
    "why-text": Report(Why, terminal.why_text),
    "dossier-text": Report(Dossier, terminal.dossier_text),
}
