"""A folder of pages that opens from disk: what each of the three users needs."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from jointmap.errors import Problem
from jointmap.files import Published, publishing
from jointmap.findings.finding import About
from jointmap.how_far import HowFar, counted, to_nobody
from jointmap.pages.asked import assessed
from jointmap.pages.boundary.page import (
    boundaries_view,
    boundary_view,
    statement_link,
)
from jointmap.pages.dossier.index import dossier_index
from jointmap.pages.dossier.page import dossier_view
from jointmap.pages.due.page import due_csv, due_page, due_table
from jointmap.pages.findings_shown import ShownFindings, shown_findings
from jointmap.pages.map_page import map_data
from jointmap.pages.month.page import MONTH
from jointmap.pages.overview import (
    findings_view,
    held_view,
    index_view,
    sources_view,
)
from jointmap.pages.shelf import Shelf
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.pages.written import Written
from jointmap.reports.every_report import REPORTS
from jointmap.site_map.page import page
from jointmap.sites.site_folder import SiteFolder, mark_of
from jointmap.workflows.predicted_found import predicted_page
from jointmap.workflows.since import changed_lately

LISTS = 10  # pages of the whole site
PAGES = "pages"  # what kind of published folder this is


def write_pages(
    site: SiteFolder,
    out: Path,
    *,
    on: dt.date,
    known: dt.date | None,
    force: bool = False,
    tell: HowFar = to_nobody,
) -> Written:
    """Publish all pages of a site as the folder ``out``, whole; say where and what.

    Months that were published in it stay. Raises ``WrongUse`` for a folder of others.
    """
    with publishing(out, PAGES, mark_of(site), force=force) as folder:
        months = folder.nested("months", MONTH)
        tell("judging", 0, 1)
        with assessed(site, on, known) as (found, frame):
            showing = Showing(found, frame)
            shelf = Shelf(showing, site)
            pages = every_page(showing, shelf, sorted(months))
            folder.put(
                counted(pages, "pages", _count(showing), tell), frame.fingerprint
            )
        older = _older(folder, months, frame.fingerprint)
    return Written(out / "index.html", (*folder.told, *older))


def _count(showing: Showing) -> int:
    """Return how many pages there are, but for those of pictures."""
    return LISTS + 2 * len(showing.boundaries) + len(showing.joints)


def _older(
    folder: Published, months: dict[str, str], fingerprint: str
) -> list[Problem]:
    facts = ({"place": str(folder.out), "month": m} for m in sorted(months))
    return [
        Problem("output.older", f) for f in facts if months[f["month"]] != fingerprint
    ]


def every_page(
    showing: Showing, shelf: Shelf, months: list[str]
) -> Iterator[tuple[str, str]]:
    """Yield every page of a state by its place in the published folder."""
    tests = ShownTests(showing)
    findings = shown_findings(showing, tests)
    due = due_page(showing)
    changed = changed_lately(shelf.site, showing, findings.found)
    index = index_view(showing, due, findings.all, months, changed)
    yield "index.html", REPORTS["index"].make(index)
    yield "map.html", page(map_data(showing))
    yield "due.html", REPORTS["due"].make(due)
    yield "due.csv", due_csv(due_table(showing))
    every = findings_view(showing, findings.all)
    yield "findings.html", REPORTS["findings"].make(every)
    yield "held.html", REPORTS["held"].make(held_view(showing))
    predicted = predicted_page(showing.assessed, showing.frame)
    yield "predicted.html", REPORTS["predicted"].make(predicted)
    yield "sources.html", REPORTS["sources"].make(sources_view(showing))
    yield from _boundaries(showing, tests, findings)
    yield from _dossiers(showing, tests, findings, shelf)
    for href, picture in shelf.pages():
        yield href, REPORTS["picture"].make(picture)


def _boundaries(
    showing: Showing, tests: ShownTests, findings: ShownFindings
) -> Iterator[tuple[str, str]]:
    listed = boundaries_view(showing)
    yield "boundaries/index.html", REPORTS["boundaries"].make(listed)
    for id_ in showing.boundaries:
        link = showing.boundary_link(id_)
        own = findings.told_of(About.boundary(id_))
        view = boundary_view(showing, tests, id_, own)
        yield link.href, REPORTS["boundary"].make(view)
        statement = statement_link(showing, id_).href
        yield statement, REPORTS["boundary-statement"].make(view)


def _dossiers(
    showing: Showing,
    tests: ShownTests,
    findings: ShownFindings,
    shelf: Shelf,
) -> Iterator[tuple[str, str]]:
    inside = replace(showing, frame=replace(showing.frame, up="../"))
    yield "dossiers/index.html", dossier_index(inside)
    for id_ in showing.joints:
        link, files = showing.joint_link(id_), shelf.of_joint(id_)
        view = dossier_view(showing, tests, id_, findings, files)
        yield link.href, REPORTS["dossier"].make(view)
