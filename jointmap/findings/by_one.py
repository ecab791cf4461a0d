"""Whether one person took a decision that asks for two, by what it did."""

from itertools import pairwise

from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.assessment.two_persons import lacks_second
from jointmap.register import Decision, Joint
from jointmap.register.codes import DecisionKind, JointState, Subject
from jointmap.register.revision import Revision
from jointmap.register.rights.needed import Changed, decision_needed
from jointmap.register.told import Told


def is_by_one(site: SiteOnDay, id_: int, decision: Decision) -> bool:
    """Return whether a decision asks for two persons and names one."""
    return lacks_second(decision) or _released_by_one(site, id_, decision)


def told_of_one(site: SiteOnDay, id_: int, decision: Decision) -> Told | None:
    """Return what is told behind the name of one who decided alone; none for two."""
    return Told("decided.by_one") if is_by_one(site, id_, decision) else None


def _released_by_one(site: SiteOnDay, id_: int, decision: Decision) -> bool:
    """Return whether a joint in duty, or left in place, was let go by one."""
    if decision.kind is not DecisionKind.RELEASED or decision.second_person_id:
        return False
    if decision.subject != Subject.JOINT:
        return False
    entry, tag = site.state.decision_entries[id_], decision.subject_key
    left = any(
        j.tag == tag and j.state is JointState.OUT_OF_DUTY for j in site.joints.values()
    )
    return left or any(
        _asks_for_two(old, new)
        for revisions in site.state.corrected_of(Joint)
        if revisions[-1].record.key() == (tag,)
        for old, new in pairwise(revisions)
        if new.entry == entry
    )


def _asks_for_two(old: Revision, new: Revision) -> bool:
    needed = decision_needed(Changed(new.id, old.record, new.record))
    return needed is not None and needed.for_two
