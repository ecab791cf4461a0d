"""Putting a test off: a decision on record, beside a date that stays."""

import datetime as dt
from dataclasses import dataclass
from difflib import get_close_matches

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.assessment.limits.deferrals import Named, subjects_called
from jointmap.assessment.reasons_told import past_law
from jointmap.assessment.site_on_day import day_of
from jointmap.changes.change import Change, begin, check_day
from jointmap.changes.decided import Decided, decision
from jointmap.changes.rows.context import local_day
from jointmap.changes.rows.records_checked import check_days
from jointmap.errors import Problem, WrongUse
from jointmap.pages.asked import assessed
from jointmap.pages.due.steps import basis_of, because_of
from jointmap.pages.showing import Showing, subject_link
from jointmap.register.codes import DecisionKind, Subject
from jointmap.register.told import Told
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say, say_told


@dataclass(frozen=True, slots=True)
class Asked:
    """What is put off: its name (and kind, if two are called so), by whom, how long."""

    name: str
    kind: str
    authority: str
    until: dt.date


def defer(site: SiteFolder, asked: Asked, change: Change) -> list[str]:
    """Record that a test is put off; returns what was done and what it leaves.

    Raises ``WrongUse`` for a name that nothing due has, for two of one name, for what
    has no date, for a person who is not on record; ``Refused`` for no authority or an
    end that is not later than the decision.
    """
    with assessed(site, change.on, None) as (found, frame):
        subject, who = _named(found, asked)
        showing = Showing(found, frame)
        told = _told(showing, who, asked)
        name = subject_link(showing, *who).text
    with begin(site, change) as job:
        check_day(job, change)
        kind = DecisionKind.DEFERRED
        decided = Decided(
            kind, str(subject), name, asked.authority, asked.until, change.on
        )
        record = decision(job, decided, change)
        check_days(record, local_day(job, change.now))
        job.add(record)
    return told


def _named(found: Assessment, asked: Asked) -> tuple[Subject, Named]:
    called = subjects_called(found)
    names = {(s, name.lower()): who for s, name, who in called}
    kinds = [s for s in Subject if asked.kind in ("", str(s))]
    fits = [s for s in kinds if (s, asked.name.strip().lower()) in names]
    if len(fits) == 1:
        return fits[0], names[fits[0], asked.name.strip().lower()]
    if fits:
        facts = {"kinds": ", ".join(map(str, fits))}
        raise WrongUse(Problem("defer.several", facts, value=asked.name))
    written = {name.lower(): name for _, name, _ in called}
    near = get_close_matches(asked.name.lower(), sorted(written), n=3, cutoff=0.0)
    facts = {"nearest": ", ".join(written[n] for n in near) or say("absent.any")}
    raise WrongUse(Problem("defer.unknown", facts, value=asked.name))


def _told(showing: Showing, who: Named, asked: Asked) -> list[str]:
    row = showing.item_rows.get(who, -1)
    name = subject_link(showing, *who).text
    items = showing.assessed.items
    if row < 0 or np.isnat(items.last_allowed_on[row]):
        none = "defer.by_joint" if _has_joints(showing, who) else "defer.not_due"
        because = because_of(showing, row)[0] if row >= 0 else say(none)
        raise WrongUse(Problem("defer.no_date", {"name": name, "because": because}))
    due = day_of(items.last_allowed_on[row])
    facts: dict[str, object] = {"name": name, "until": asked.until, "due": due}
    facts |= {"authority": asked.authority, "basis": basis_of(showing, row)}
    lines = [say("defer.done", facts)]
    if due is not None and asked.until > due:
        lines.append(say("defer.passes", {"days": (asked.until - due).days}))
    law = past_law(showing, asked.until, row)
    if isinstance(law, Told):
        lines.append(say_told(law).strip())
    return lines


def _has_joints(showing: Showing, who: Named) -> bool:
    is_boundary = who[0] == Subject.BOUNDARY
    crossed = {joint.boundary_id for joint in showing.joints.values()}
    return is_boundary and who[1] in crossed
