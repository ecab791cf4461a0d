"""How one joint's date and verdict come about."""

import datetime as dt

from jointmap.findings.of_dates import missed_limits
from jointmap.pages.dossier.page import one_dossier
from jointmap.reports import REPORTS
from jointmap.sites.site_folder import SiteFolder


def why_text(site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None) -> str:
    """Return every step to a joint's date and verdict, with sources."""
    view = one_dossier(site, tag, on, known, (missed_limits,))
    return REPORTS["why-text"].make(view)
