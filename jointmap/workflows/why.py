"""How one joint's date and verdict come about."""

import datetime as dt

from jointmap.findings.of_dates import missed_limits
from jointmap.pages.asked import assessed_about
from jointmap.pages.dossier.page import one_dossier
from jointmap.pages.showing import Showing
from jointmap.reports import REPORTS
from jointmap.sites.site_folder import SiteFolder


def why_text(site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None) -> str:
    """Return every step to a joint's date and verdict, with sources."""
    with assessed_about(site, tag, on, known) as (found, frame):
        return why_told(Showing(found, frame), site, tag)


def why_told(showing: Showing, site: SiteFolder, tag: str) -> str:
    """Return the same of a state that was judged before."""
    view = one_dossier(showing, site, tag, (missed_limits,))
    return REPORTS["why-text"].make(view)
