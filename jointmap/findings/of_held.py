"""Values that wait for a person."""

import json
from collections.abc import Iterator
from dataclasses import replace

from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.register import Held
from jointmap.register.told import Told

POSITION_DOUBT = Kind("position_doubt", Gravity.LOOK, "record", "sent")
AWAITING_DECISION = Kind("awaiting_decision", Gravity.LOOK, "record", "sent")
TORQUE_DOUBT = Kind("torque_doubt", Gravity.LOOK, "fitting", "sent")


@finds(POSITION_DOUBT, AWAITING_DECISION, TORQUE_DOUBT)
def held_values(seen: Seen) -> Iterator[Found]:
    """Yield every value that waits for a person."""
    for record in seen.site.state.held.values():
        if record.is_open:
            kind, id_ = _kind_of_held(record)
            why = Told(record.doubt, json.loads(record.details or "{}"))
            facts: dict[str, object] = {
                "column": record.column,
                "value": record.value,
                "why": why,
                "sent": record.sent_on,
            }
            found = seen.finding(kind, held_about(seen.site, record), id_, **facts)
            yield _with_proposal(found, record)


def _kind_of_held(record: Held) -> tuple[Kind, str]:
    if record.column == "position":
        return POSITION_DOUBT, "position_doubt"
    if "torque" in record.column:
        return TORQUE_DOUBT, "held"
    return AWAITING_DECISION, "held"


def _with_proposal(found: Found, record: Held) -> Found:
    if not record.proposal:
        return found
    return replace(found, more=Told("find.proposal", {"proposal": record.proposal}))


def held_about(site: SiteOnDay, record: Held) -> About:
    """Return the joint that a held value belongs to, if it names one."""
    for word in (record.subject_key, *record.subject_key.split()):
        if word in site.state.joint_ids:
            return About.joint(site.state.joint_ids[word])
    return About.called(record.subject_key)


HELD_FINDERS: tuple[Finder, ...] = (held_values,)
