"""A second person has looked at what another changed: on record, by that person."""

from jointmap.changes.change import Change, begin, check_day
from jointmap.changes.decided import Decided, decision
from jointmap.errors import Problem, WrongUse
from jointmap.register.codes import DecisionKind
from jointmap.register.ruling import ENTRY
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say


def see(site: SiteFolder, number: int, change: Change) -> str:
    """Record that the changes of one entry were seen; returns what was done.

    Raises ``Refused`` for one's own entry, for none of that number, and for a role that
    may not approve; ``WrongUse`` where this person has said so before.
    """
    with begin(site, change) as job:
        check_day(job, change)
        decided = Decided(DecisionKind.SEEN, ENTRY, str(number))
        record = decision(job, decided, change)
        asked = ("kind", "person_id", "subject_key")
        if job.known("decision").having(**{n: getattr(record, n) for n in asked}):
            raise WrongUse(Problem("seen.already", {"entry": number}))
        job.add(record)
    return say("seen.done", {"entry": number, "by": change.by})
