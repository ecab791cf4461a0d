"""How one joint's date and verdict come about."""

import datetime as dt

from jointmap.findings.of_dates import missed_limits
from jointmap.pages.asked import assessed_about
from jointmap.pages.dossier.page import joint_named, one_of
from jointmap.pages.dossier.why import tests_told, why_view
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.reports import REPORTS
from jointmap.sites.site_folder import SiteFolder


def why_text(site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None) -> str:
    """Return every step to a joint's date and verdict, with sources."""
    with assessed_about(site, tag, on, known) as (found, frame):
        return why_told(Showing(found, frame), tag)


def why_told(showing: Showing, tag: str) -> str:
    """Return the same of a state that was judged before."""
    id_ = joint_named(showing, tag)
    tests = ShownTests(showing, id_, tests_told(showing, id_))
    dossier = one_of(showing, tests, id_, finders=(missed_limits,))
    view = why_view(showing, tests, id_, dossier)
    return REPORTS["why-text"].make(view)
