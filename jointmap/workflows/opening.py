"""Open a site as its users do: what is written is tried on the readers first."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

from jointmap.how_far import HowFar
from jointmap.sites import site_folder
from jointmap.sites.site_folder import DATABASE, SiteFolder
from jointmap.storage.register_file import Trial


def open_site(path: Path, *, clock_is_right: bool = False) -> SiteFolder:
    """Open a site folder; raises ``WrongUse`` where it is none.

    ``clock_is_right`` lets a time be recorded that is far from all others at hand.
    """
    opened = site_folder.open_site(path, clock_is_right=clock_is_right)
    return replace(opened, trial=_trial_of)


def new_site(
    path: Path,
    code: str,
    key: bytes,
    fixed_day: dt.date | None = None,
    database: str = DATABASE,
) -> SiteFolder:
    """Make an empty site and open it; ``site_folder.new_site`` says what it raises."""
    made = site_folder.new_site(path, code, key, fixed_day, database)
    return replace(made, trial=_trial_of)


def _trial_of(site: SiteFolder, now: dt.datetime, tell: HowFar) -> Trial:
    # The readers take long to load; only what writes needs them all.
    from jointmap.workflows.trial import trial_of

    return trial_of(site, now, tell)
