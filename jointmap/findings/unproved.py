"""Repairs that no good test has proved since, of joints and of boundaries."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from jointmap.assessment.reasons_told import what_was_done
from jointmap.assessment.site_on_day import SiteOnDay, day_of
from jointmap.findings.finding import About
from jointmap.register import Occurrence
from jointmap.register.codes import OccurrenceKind, Verdict
from jointmap.sections import JOINT_REASONS

_CLAIMED = JOINT_REASONS.index("joint_state.repair_not_proved")


class Unproved(NamedTuple):
    """One such repair: of what, the id of its sentence behind ``find.``, the values."""

    about: About
    id: str
    values: Mapping[str, object]


def unproved_repairs(site: SiteOnDay) -> Iterator[Unproved]:
    """Yield each joint and boundary with a repair that no good test has proved."""
    found = site.assessed
    open_ = ~np.isnat(found.not_proved_on) | (found.joints.reason == _CLAIMED)
    for row in np.flatnonzero(open_).tolist():
        about = About.joint(int(found.joints.joint_id[row]))
        done = what_was_done(site, row)
        facts: dict[str, object] = {
            "done": done,
            "repaired": day_of(found.not_proved_on[row]),
        }
        yield Unproved(about, "repair_not_proved", facts)
    for record in found.state.occurrences.values():
        if record.boundary_id is None or not _is_open(site, record):
            continue
        what = {"repaired": record.happened_on, "what": record.remark or record.place}
        yield Unproved(About.boundary(record.boundary_id), "repair_of_boundary", what)


def _is_open(site: SiteOnDay, record: Occurrence) -> bool:
    """Whether a boundary was not shown good on the day of its repair or later."""
    found = site.assessed
    if record.kind is not OccurrenceKind.REPAIR or record.happened_on > found.on:
        return False
    row = site.boundary_rows[record.boundary_id or 0]
    good = found.boundaries.state[row] == Verdict.ISOLATING
    day = np.datetime64(record.happened_on, "D")
    return not (good and found.boundaries.last_good_on[row] >= day)
