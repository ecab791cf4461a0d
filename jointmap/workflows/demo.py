"""The sample site, loaded delivery by delivery and published: the main job."""

import datetime as dt
import hashlib
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from jointmap.changes.decide_held import waiting_rows
from jointmap.changes.load import load
from jointmap.errors import Problem, WrongUse
from jointmap.how_far import HowFar, to_nobody
from jointmap.pages.month.page import write_month
from jointmap.sites.site_folder import SiteFolder, by_clock, new_site
from jointmap.wording import say
from jointmap.workflows.publish import write_pages

SAMPLE_CODE = "ORS"
SAMPLE_DAY = dt.date(2026, 5, 15)
SAMPLE_MONTHS = ("2026-05", "2026-06")
# Known to all, so that two demos give the same bytes; a real site draws its own.
SAMPLE_KEY = hashlib.sha256(b"jointmap sample site").digest()


@dataclass(frozen=True, slots=True)
class DemoReport:
    """Where the demo's pages are, and what waits or was refused on the way."""

    index: Path
    held: int
    refused: int


@dataclass(frozen=True, slots=True)
class Delivery:
    """One dated folder of the sample, and who sent it when and why."""

    folder: Path
    now: dt.datetime
    by: str
    reason: str


def run_demo(
    out: Path, tell: Callable[[str], None], how_far: HowFar = to_nobody
) -> DemoReport:
    """Load and publish the sample site under ``out``; refuses a folder in use."""
    site = new_site(out / "site", SAMPLE_CODE, SAMPLE_KEY, SAMPLE_DAY)
    held, refused = load_sample(site, tell, how_far)
    pages = out / "pages"
    day: dict[str, Any] = {"on": SAMPLE_DAY, "known": None, "tell": how_far}
    for month in SAMPLE_MONTHS:
        write_month(site, month, pages / "months" / month, **day)
    index = write_pages(site, pages, **day).index
    site.register.close()
    return DemoReport(index, held, refused)


def load_sample(
    site: SiteFolder, tell: Callable[[str], None], how_far: HowFar = to_nobody
) -> tuple[int, int]:
    """Load every delivery of the sample on its own day; return counts held, refused."""
    refused = 0
    # Its deliveries bring their own times, years before this machine's.
    site = by_clock(site)
    for delivery in deliveries(sample_folder()):
        report = load(
            site,
            [delivery.folder],
            now=delivery.now,
            by=delivery.by,
            reason=delivery.reason,
            rules=True,
            tried=False,  # all pages are written from it at once
            tell=how_far,
        )
        refused += len(report.refused)
    held = len(waiting_rows(site, None, None))
    tell(say("demo.loaded", {"held": held, "refused": refused}))
    return held, refused


def sample_folder() -> Path:
    """Return where the sample is: in the package, or beside it in a checkout."""
    package = Path(str(resources.files("jointmap")))
    for folder in (package / "sample_site", package.parent / "sample_site"):
        if folder.is_dir():
            return folder
    raise WrongUse(Problem("demo.no_sample", {"place": str(package)}))


def deliveries(sample: Path) -> Iterator[Delivery]:
    """Yield the dated delivery folders of a sample, oldest first."""
    zone = _zone(sample)
    for folder in sorted(p for p in sample.iterdir() if (p / "delivery.toml").exists()):
        told = tomllib.loads((folder / "delivery.toml").read_text(encoding="utf-8"))
        day = dt.date.fromisoformat(folder.name[:10])
        clock = dt.time.fromisoformat(told["time"])
        now = dt.datetime.combine(day, clock, tzinfo=zone).astimezone(dt.UTC)
        yield Delivery(folder, now, told["by"], told["reason"])


def _zone(sample: Path) -> ZoneInfo:
    facts = next(sample.glob("*/this_site.toml"))
    return ZoneInfo(tomllib.loads(facts.read_text(encoding="utf-8"))["time_zone"])
