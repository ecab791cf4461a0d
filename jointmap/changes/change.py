"""One change of the register: when it happened, who records it when and why.

Whether the one who records may is asked where it is written, in ``storage``.
"""

import datetime as dt
import difflib
import itertools
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from jointmap.changes.rows.context import local_day
from jointmap.errors import JointmapError, Problem, WrongUse
from jointmap.incoming.size_limits import check_cell
from jointmap.register.same_letters import says_nothing
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage import Writing

_SHOWN = 12  # persons that are named to one who is none of them


@dataclass(frozen=True, slots=True)
class Change:
    """The day it happened, the instant it is recorded, by whom, why.

    ``second`` is the code of the second person, where two are asked.
    """

    on: dt.date
    now: dt.datetime
    by: str
    reason: str
    second: str = ""


@contextmanager
def begin(site: SiteFolder, change: Change) -> Iterator[Writing]:
    """Begin one transaction; refuses a reason that says nothing, and a stranger."""
    check_said(change.by, change.reason, change.second)
    trial = site.trial_at(change.now)
    write = site.register.write(change.now, change.by, change.reason, trial=trial)
    with _without_places(), write as job:
        check_person(job, change.by)
        yield job


@contextmanager
def _without_places() -> Iterator[None]:
    """Take file and line out of what is told: a command gave the values, not the row.

    A corrected record still holds the place from which it first came.
    """
    try:
        yield
    except JointmapError as error:
        error.problems = tuple(replace(p, file="", line=0) for p in error.problems)
        raise


def check_said(by: str, reason: str, second: str = "") -> None:
    """Refuse a reason that says nothing, and what is too long for a cell."""
    if says_nothing(reason):
        raise WrongUse(Problem("revise.no_reason"))
    for option, text in (("--by", by), ("--reason", reason), ("--second", second)):
        check_cell(text, option)


def check_person(job: Writing, by: str) -> None:
    """Refuse who is no person on record, unless nobody is on record yet."""
    people = job.known("person")
    if not people.is_empty and people.id_of((by,)) is None:
        codes = [str(code) for (code,) in people.by_key]
        near = difflib.get_close_matches(by, codes, n=_SHOWN, cutoff=0.0)
        accepted = ", ".join(sorted(near))
        if len(codes) > _SHOWN:
            accepted = f"{accepted} and {len(codes) - _SHOWN} more"
        facts = {"by": by, "accepted": accepted}
        raise WrongUse(Problem("change.unknown_person", facts))


def second_of(job: Writing, change: Change) -> int | None:
    """Return the id of the second person; None where none is named."""
    if not change.second.strip():
        return None
    check_person(job, change.second)
    return job.known("person").id_of((change.second,))


def free_number(job: Writing, start: str) -> str:
    """Return a number for a decision that no other decision has."""
    known = job.known("decision")
    numbers = (f"{start} ({n})" if n else start for n in itertools.count())
    return next(n for n in numbers if known.id_of((n,)) is None)


def check_day(job: Writing, change: Change) -> None:
    """Refuse a day that is still to come at the site."""
    today = local_day(job, change.now)
    if change.on > today:
        facts = {"day": change.on, "today": today}
        raise WrongUse(Problem("change.after_today", facts))
