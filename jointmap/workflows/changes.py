"""One change of the register: when it happened, who records it when and why."""

import datetime as dt
from contextlib import AbstractContextManager
from dataclasses import dataclass

from jointmap.errors import Problem, WrongUse
from jointmap.storage import Writing
from jointmap.workflows.resolve import local_day
from jointmap.workflows.site_folder import SiteFolder


@dataclass(frozen=True, slots=True)
class Change:
    """The day it happened, the instant it is recorded, by whom, why."""

    on: dt.date
    now: dt.datetime
    by: str
    reason: str


def begin(site: SiteFolder, change: Change) -> AbstractContextManager[Writing]:
    """Begin one transaction; refuses a reason that says nothing."""
    if not change.reason.strip():
        raise WrongUse(Problem("revise.no_reason"))
    return site.register.write(change.now, change.by, change.reason)


def check_day(job: Writing, change: Change) -> None:
    """Refuse a day that is still to come at the site."""
    today = local_day(job, change.now)
    if change.on > today:
        facts = {"day": change.on, "today": today}
        raise WrongUse(Problem("change.after_today", facts))
