"""The statement of one boundary, written as HTML or PDF."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

from jointmap.errors import Problem, WrongUse
from jointmap.files import check_output, put_file
from jointmap.files.formats import check_ending
from jointmap.pages.asked import assessed_part, of_boundary
from jointmap.pages.boundary.page import boundary_named, boundary_view
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.reports.boundary_statement import statement_page, statement_pdf
from jointmap.reports.views_boundary import BoundaryView
from jointmap.sites.site_folder import SiteFolder

SUFFIXES = (".html", ".pdf")


def write_statement(
    site: SiteFolder,
    name: str | None,
    out: Path,
    *,
    on: dt.date,
    known: dt.date | None,
    force: bool = False,
) -> list[Problem]:
    """Write the statement of boundary ``name`` to ``out``, one page; say what to tell.

    Raises
    ------
    WrongUse
        No name, an unknown one, or a file that is neither ``.html`` nor ``.pdf``.
    """
    if name is None:
        raise WrongUse(Problem("boundary.name_missing"))
    check_ending(out, *SUFFIXES)
    check_output(out, force=force)
    with assessed_part(site, of_boundary(name), on, known) as (found, frame):
        view = statement_view(Showing(found, frame), name)
    is_pdf = out.suffix.lower() == ".pdf"
    made = statement_pdf(view) if is_pdf else statement_page(view)
    return put_file(out, made, force=force)


def statement_view(showing: Showing, name: str) -> BoundaryView:
    """Return the statement of a boundary of a state that was judged before."""
    id_ = boundary_named(showing, name)
    view = boundary_view(showing, ShownTests(showing), id_, [])
    # Alone in its folder: nothing to link to.
    return replace(view, frame=replace(view.frame, up=None))
