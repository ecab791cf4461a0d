"""Repairs that no good test has proved since, of joints and of boundaries."""

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from jointmap.assessment.reasons_told import what_was_done
from jointmap.assessment.site_on_day import SiteOnDay, day_of
from jointmap.findings.finding import About
from jointmap.register import Occurrence
from jointmap.register.codes import OccurrenceKind, PathState, Verdict
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
    yield from _taken_off(site)


def _taken_off(site: SiteOnDay) -> Iterator[Unproved]:
    """Yield each way around that joined and is off, where no good test came since.

    That it is off is no test of what is left.
    """
    for path in site.state.paths.values():
        if path.state is not PathState.JOINING or path.removed_on is None:
            continue
        if not _was_good_since(site, path.boundary_id, path.removed_on):
            about = About.boundary(path.boundary_id)
            what = {"repaired": path.removed_on, "what": path.name}
            yield Unproved(about, "path_taken_off", what)


def _is_open(site: SiteOnDay, record: Occurrence) -> bool:
    """Whether a boundary was not shown good on the day of its repair or later."""
    found = site.assessed
    if record.kind is not OccurrenceKind.REPAIR or record.happened_on > found.on:
        return False
    id_, day = record.boundary_id or 0, record.happened_on
    good = found.boundaries.state[site.boundary_rows[id_]] == Verdict.ISOLATING
    return not (good and _was_good_since(site, id_, day))


def _was_good_since(site: SiteOnDay, boundary_id: int, day: dt.date) -> bool:
    row = site.boundary_rows[boundary_id]
    good_on = site.assessed.boundaries.last_good_on[row]
    return bool(good_on >= np.datetime64(day, "D"))
