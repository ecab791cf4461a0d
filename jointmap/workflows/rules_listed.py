"""The rules and limits in force on a day, for a person."""

import datetime as dt
from collections.abc import Iterator

from jointmap.pages.asked import assessed
from jointmap.pages.overview import sources_view
from jointmap.pages.showing import Showing
from jointmap.plain_text.shown import Block, Column, Row, Table, Title
from jointmap.reports.views_overview import LimitRow, RuleRow, SourcesPage
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say


def rules_shown(site: SiteFolder, *, on: dt.date, known: dt.date | None) -> list[Block]:
    """Return each rule and each limit in force, with its words and its source."""
    with assessed(site, on, known) as (found, frame):
        page = sources_view(Showing(found, frame))
    return [*_blocks(page)]


def _blocks(page: SourcesPage) -> Iterator[Block]:
    counts = {"rules": len(page.rules), "limits": len(page.limits)}
    yield say("rules.summary", {"on": page.frame.on, **counts})
    columns = Column(say("terminal.name"), 26), Column(say("terminal.says"))
    yield Table.of(columns, _rows(page))


def _rows(page: SourcesPage) -> Iterator[Row]:
    families = {
        "rules": [(r.name, f"{r.sentence} {_source(r)}") for r in page.rules],
        "limits": [(r.name, f"{_limit(r)} {_source(r)}") for r in page.limits],
    }
    for word, rows in families.items():
        if rows:
            yield Title(say(f"terminal.{word}", {"count": len(rows)}))
            yield from rows


def _limit(row: LimitRow) -> str:
    purpose = f", {row.purpose}" if row.purpose else ""
    return f"{row.method}{purpose}, {row.role} {row.value}"


def _source(row: RuleRow | LimitRow) -> str:
    edition = f", {row.edition}" if row.edition else ""
    ends = f" until {row.until_on}" if row.until_on else ""
    return f"[{row.source}{edition} ({row.mark}); from {row.from_on}{ends}]"
