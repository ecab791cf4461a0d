"""How one joint's date and verdict come about."""

import datetime as dt

from jointmap.pages.asked import assessed
from jointmap.pages.dossier.why import joint_named, why_view
from jointmap.pages.findings.finder import Seen
from jointmap.pages.findings.of_dates import missed_limits
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.reports import terminal
from jointmap.sites.site_folder import SiteFolder


def why_text(site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None) -> str:
    """Return every step to a joint's date and verdict, with sources."""
    with assessed(site, on, known) as (found, frame):
        return why_told(Showing(found, frame), tag)


def why_told(showing: Showing, tag: str) -> str:
    """Return the same of a state that was judged before.

    Raises ``WrongUse`` for an unknown tag.
    """
    id_ = joint_named(showing, tag)
    link, seen = showing.joint_link(id_), Seen(showing, ShownTests(showing))
    own = [f for f in missed_limits(seen) if f.subject == link]
    missed = tuple(f.sentence for f in own if f.kind == "missed_year")
    view = why_view(showing, ShownTests(showing, id_), id_, missed)
    return terminal.why_text(view)
