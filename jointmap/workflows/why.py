"""How one joint's date and verdict come about."""

import datetime as dt

from jointmap.pages.asked import assessed_about
from jointmap.pages.dossier.answer import joint_named
from jointmap.pages.dossier.why import tests_told, why_view
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.reports.terminal import why_text as text_of
from jointmap.sites.site_folder import SiteFolder


def why_text(site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None) -> str:
    """Return every step to a joint's date and verdict, with sources."""
    with assessed_about(site, tag, on, known) as (found, frame):
        return why_told(Showing(found, frame), tag)


def why_told(showing: Showing, tag: str) -> str:
    """Return the same of a state that was judged before."""
    id_ = joint_named(showing, tag)
    tests = ShownTests(showing, id_, tests_told(showing, id_))
    return text_of(why_view(showing, tests, id_))
