"""Corrections of what is judged by that no second person has looked at yet."""

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import cast

from jointmap.assessment.corrected import Corrected, corrections
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.findings.of_roles import unseen_entries
from jointmap.register import (
    FORMS,
    Altered,
    Device,
    Joint,
    ParallelPath,
    Position,
    form_of,
)
from jointmap.register.codes import KIND_OF_SUBJECT, DecisionKind
from jointmap.register.columns_judged import JUDGED_BY, is_judged_anew, judged_anew
from jointmap.register.dated import LATE_DAYS
from jointmap.register.revision import Revision
from jointmap.register.told import Told

CORRECTION_UNSEEN = Kind(
    "correction_unseen",
    Gravity.LOOK,
    "two_persons",
    day="recorded",
    numbers={"days": LATE_DAYS},
)


@finds(CORRECTION_UNSEEN)
def unseen_corrections(seen: Seen) -> Iterator[Found]:
    """Yield each entry that corrected what is judged by, until another has seen it.

    Also where the entry is of a later day than the one asked about: what it corrected
    is what is known, and reads so on every day.
    """
    found = _by_entry(seen.site)
    yield from unseen_entries(seen, CORRECTION_UNSEEN, "correction_unseen", found)


def _by_entry(site: SiteOnDay) -> Mapping[int, list[str | Told]]:
    found: dict[int, list[str | Told]] = {}
    for kind in JUDGED_BY:
        for each in corrections(site, FORMS[kind].record):
            if _is_told(site, each):
                found.setdefault(each.new.entry, []).append(_told(site, each))
    return found


def _is_told(site: SiteOnDay, each: Corrected) -> bool:
    old, new = each.old.record, each.new.record
    if not is_judged_anew(old, new) or not _reads_otherwise(each):
        return False
    if judged_anew(old, new) != ("removed_on",):
        return True
    return not _is_own_act(site, each)


def _reads_otherwise(each: Corrected) -> bool:
    """Whether a correction changes anything of what reads on the day asked about."""
    before, after = each.before, each.after
    if before is None or after is None:
        return before is not after
    names = JUDGED_BY[after.KIND]
    return any(getattr(before, n) != getattr(after, n) for n in names)


def _is_own_act(site: SiteOnDay, each: Corrected) -> bool:
    """Whether what was removed was replaced or let go by the same entry, on record."""
    entry, record = each.new.entry, each.new.record
    if isinstance(record, ParallelPath):
        return (entry, record.name.lower()) in _released(site)
    record = cast("Device", record)
    joint = site.state.known.joints[record.joint_id]
    if joint.out_of_duty_on is not None:
        return (entry, joint.tag.lower()) in _released(site)
    # A successor from long before takes away what was found of this one since.
    return not _is_late(site, each, record.removed_on) and _has_successor(site, each)


def _has_successor(site: SiteOnDay, each: Corrected) -> bool:
    """Whether the next device came in by the entry that removed this one."""
    record = cast("Device", each.new.record)
    came = site.state.known.came_in(Device, {"joint_id": record.joint_id})
    devices = site.state.known.devices
    return any(
        came[id_] == each.new.entry and devices[id_].fitted_on == record.removed_on
        for id_ in came
    )


def _released(site: SiteOnDay) -> set[tuple[int, str]]:
    """Return what was let go by a decision, with the entry of each."""
    return {
        (site.state.decision_entries[id_], d.subject_key.strip().lower())
        for id_, d in site.state.known.decisions.items()
        if d.kind is DecisionKind.RELEASED
    }


def _told(site: SiteOnDay, each: Corrected) -> str | Told:
    record = each.new.record
    name = site.state.name_of(record)
    if isinstance(record, Position):
        return Told("correction.position", {"name": name})
    changed = judged_anew(each.old.record, record)
    labels = [c.label for c in form_of(type(record)).columns if c.name in changed]
    told = f"{record.KIND} {name} ({', '.join(labels)})"
    day = _altered_from(site, each.new)
    return Told("correction.altered", {"what": told, "day": day}) if day else told


def _altered_from(site: SiteOnDay, new: Revision) -> dt.date | None:
    """Return the day from which an alteration holds; None of what was corrected."""
    known = site.state.known
    rows = known.records_of(Altered, "subject_id", new.id)
    own = [r for n, r in rows if known.altered_entries[n] == new.entry]
    days = (r.until_on for r in own if KIND_OF_SUBJECT[r.subject] == new.record.KIND)
    return min(days, default=None)


@finds(CORRECTION_UNSEEN)
def dated_back(seen: Seen) -> Iterator[Found]:
    """Yield each entry that ended or renamed a joint from a day long before, unseen.

    What was due, missed or called so on the days between reads otherwise since then.
    """
    found: dict[int, list[str]] = {}
    for each in corrections(seen.site, Joint):
        for told in _dated_back(seen.site, each):
            found.setdefault(each.new.entry, []).append(told)
    yield from unseen_entries(seen, CORRECTION_UNSEEN, "dated_back", found)


def _dated_back(site: SiteOnDay, each: Corrected) -> Iterator[str]:
    before, after = cast("Joint", each.before), cast("Joint", each.after)
    ended = after.out_of_duty_on
    is_corrected = "out_of_duty_on" in judged_anew(each.old.record, each.new.record)
    is_ended = ended != before.out_of_duty_on and not is_corrected
    if is_ended and _is_late(site, each, ended):
        yield f"{after.tag} {after.state} since {ended}"
    if after.tag != before.tag:
        for alias in site.state.older_tags.get(each.new.id, []):
            if alias.name == before.tag and _is_late(site, each, alias.until_on):
                yield f"{before.tag} called {after.tag} since {alias.until_on}"


def _is_late(site: SiteOnDay, each: Corrected, day: dt.date | None) -> bool:
    """Whether an entry tells of a day so long before that it is late."""
    recorded = site.state.local_day(each.new.entry)
    return day is not None and (recorded - day).days > LATE_DAYS


CORRECTION_FINDERS: tuple[Finder, ...] = (unseen_corrections, dated_back)
