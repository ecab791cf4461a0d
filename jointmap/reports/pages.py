"""One function for each page: its view in, HTML text out."""

from jointmap.reports.rendering import render
from jointmap.reports.views_boundary import BoundariesView, BoundaryView
from jointmap.reports.views_dossier import Dossier
from jointmap.reports.views_dossiers import DossiersPage
from jointmap.reports.views_due import DuePage
from jointmap.reports.views_files import PicturePage
from jointmap.reports.views_overview import (
    FindingsPage,
    HeldPage,
    IndexPage,
    SourcesPage,
)
from jointmap.reports.views_predicted import PredictedPage
from jointmap.reports.views_route import MonthPage, RouteSheet


def index_page(view: IndexPage) -> str:
    """Return the first page: ways in for each user, and what to look at."""
    return render("index.html", view)


def dossier_page(view: Dossier) -> str:
    """Return one joint's whole life on one page."""
    return render("dossier.html", view)


def boundary_page(view: BoundaryView) -> str:
    """Return the state of one electrical boundary, with its suspects."""
    return render("boundary.html", view)


def boundaries_page(view: BoundariesView) -> str:
    """Return the list of all electrical boundaries."""
    return render("boundaries.html", view)


def due_page(view: DuePage) -> str:
    """Return the due list, by state, with counts."""
    return render("due.html", view)


def route_sheet(view: RouteSheet) -> str:
    """Return a crew's sheet for one day, for printing in black and white."""
    return render("route.html", view)


def month_page(view: MonthPage) -> str:
    """Return the month: crews by days, what is left over, what to ask others for."""
    return render("month.html", view)


def findings_page(view: FindingsPage) -> str:
    """Return every finding, by kind."""
    return render("findings.html", view)


def held_page(view: HeldPage) -> str:
    """Return the values that await a decision."""
    return render("held.html", view)


def sources_page(view: SourcesPage) -> str:
    """Return the rules and limits in force, with their sources."""
    return render("sources.html", view)


def dossiers_page(view: DossiersPage) -> str:
    """Return the list of all dossiers, by tag."""
    return render("dossiers.html", view)


def picture_page(view: PicturePage) -> str:
    """Return one picture on a page of its own."""
    return render("picture.html", view)


def predicted_page(view: PredictedPage) -> str:
    """Return the failure model against what was found, and its classes."""
    return render("predicted.html", view)
