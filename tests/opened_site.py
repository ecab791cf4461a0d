"""The small site built in this process, for tests of single workflows."""

import atexit
import datetime as dt
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from pathlib import Path

from jointmap.changes.decide_held import waiting_rows
from jointmap.changes.load import LoadReport, load
from jointmap.pages.asked import assessed
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text.shown import Block, Table, Title
from jointmap.reports.views import Finding
from jointmap.sites.site_folder import SiteFolder
from jointmap.workflows.opening import new_site, open_site
from tests.small_site import SHEETS, write

KEY = bytes(range(32))
ON = dt.date(2026, 5, 15)
FIRST = dt.datetime(2026, 1, 10, 12, tzinfo=dt.UTC)
Sheets = Mapping[str, str | bytes]


def sent(
    site: SiteFolder, sheets: Sheets, now: dt.datetime = FIRST, by: str = "T1"
) -> LoadReport:
    """Load sheets given by name and text."""
    folder = site.path / f"sent-{now:%Y-%m-%d}-{len(list(site.path.iterdir()))}"
    write(folder, dict(sheets))
    return load(site, [folder], now=now, by=by, reason="a reason", rules=True)


def opened(folder: Path, *more: Sheets, tried: bool = False) -> SiteFolder:
    """Return the small site with deliveries a month apart after its own.

    Unless ``tried``, it is an ``untried`` one.
    """
    shutil.copytree(_first_made(), folder / "site")
    site = open_site(folder / "site")
    site = site if tried else untried(site)
    for count, sheets in enumerate(more, start=1):
        sent(site, sheets, FIRST + dt.timedelta(days=30 * count))
    return site


def untried(site: SiteFolder) -> SiteFolder:
    """Return a site on whose changes the readers are not run before they are kept.

    That is five sixths of a small load; ``test_trial`` and each command that writes
    show it.
    """
    return replace(site, trial=None)


@cache
def _first_made() -> Path:
    """Make the site once for all tests of this process, which take copies."""
    folder = Path(tempfile.mkdtemp(prefix="jointmap-small-"))
    atexit.register(shutil.rmtree, folder)
    site = new_site(folder / "site", "SML", KEY)
    report = sent(site, SHEETS)
    assert report.is_clean, report
    site.register.close()
    return folder / "site"


@contextmanager
def shown(site: SiteFolder, on: dt.date = ON, known: dt.date | None = None):
    """Give what every page of a state is made from."""
    with assessed(site, on, known) as (found, frame):
        yield Showing(found, frame)


def every_finding(site: SiteFolder, on: dt.date = ON) -> tuple[Finding, ...]:
    """Return each finding as the pages get it."""
    with shown(site, on) as showing:
        return shown_findings(showing, ShownTests(showing)).all


def findings(site: SiteFolder, on: dt.date = ON) -> list[tuple[str, str, str]]:
    """Return kind, subject and sentence of each finding."""
    return [(f.kind, f.subject.text, f.sentence) for f in every_finding(site, on)]


def text_of(blocks: Iterable[Block]) -> str:
    """Return what blocks say, a line for each row, whatever a terminal's width."""
    return "\n".join(line for block in blocks for line in _lines_of(block))


def _lines_of(block: Block) -> list[str]:
    if isinstance(block, Table):
        rows = (r if isinstance(r, Title) else ": ".join(r) for r in block.rows)
        return [line for row in rows for line in _lines_of(row)]
    return [block.text if isinstance(block, Title) else block]


def waiting_lines(site: SiteFolder, known: dt.date | None = None) -> list[str]:
    """Return a line for each value that waits: its number, what, why."""
    return ["  ".join(row) for row in waiting_rows(site, None, known)]
