"""The rules and limits in force on a day, as text."""

import datetime as dt
from collections.abc import Iterator

from jointmap.pages.asked import assessed
from jointmap.pages.overview import sources_view
from jointmap.pages.showing import Showing
from jointmap.plain_text import lines_text
from jointmap.reports.views_overview import LimitRow, RuleRow, SourcesPage
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say


def rules_text(site: SiteFolder, *, on: dt.date, known: dt.date | None) -> str:
    """Return each rule and each limit in force, with its words and its source."""
    with assessed(site, on, known) as (found, frame):
        page = sources_view(Showing(found, frame))
    return lines_text(_lines(page))


def _lines(page: SourcesPage) -> Iterator[str]:
    counts = {"rules": len(page.rules), "limits": len(page.limits)}
    yield say("rules.summary", {"on": page.frame.on, **counts})
    for row in page.rules:
        yield f"{row.name}: {row.sentence}"
        yield f"  {_source(row)}"
    for limit in page.limits:
        purpose = f", {limit.purpose}" if limit.purpose else ""
        yield f"{limit.name}: {limit.method}{purpose}, {limit.role} {limit.value}"
        yield f"  {_source(limit)}"


def _source(row: RuleRow | LimitRow) -> str:
    edition = f", {row.edition}" if row.edition else ""
    ends = f" until {row.until_on}" if row.until_on else ""
    return f"{row.source}{edition} ({row.mark}); from {row.from_on}{ends}"
