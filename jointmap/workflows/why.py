"""How one joint's date and verdict come about."""

import datetime as dt

from jointmap.reports import REPORTS
from jointmap.workflows.dossier import one_dossier
from jointmap.workflows.findings import missed_limits
from jointmap.workflows.site_folder import SiteFolder


def why_text(site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None) -> str:
    """Return every step to a joint's date and verdict, with sources."""
    view = one_dossier(site, tag, on, known, (missed_limits,))
    return REPORTS["why-text"].make(view)
