"""Every device and parallel path on any route between two structures that are one."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from jointmap.register.columns import Codes, Days, Flags, Ids, Table
from jointmap.register.joining import NO_ROW
from jointmap.sections.electrical import loops
from jointmap.sections.evidence import ISOLATING, SHORTED
from jointmap.sections.evidence_standing import NO_DAY, NOT_INSTALLED
from jointmap.sections.joining import rows_with
from jointmap.sections.looking import Look
from jointmap.sections.paths import APART
from jointmap.sections.places import BAD

SUSPECT_REASONS: tuple[str, ...] = (
    "suspect.open",
    "suspect.third_structure",
    "suspect.cause_elsewhere",
    "suspect.device_good",
    "suspect.boundary_good_here",
    "suspect.path_apart",
    "suspect.device_shorted",
    "suspect.path_joining",
)


@dataclass(frozen=True, slots=True)
class Suspects(Table):
    """One row per shorted boundary and device or path that may be why."""

    boundary_id: Ids  # the shorted one
    joint_id: Ids  # 0: a path
    path_id: Ids  # 0: a joint's device
    through_boundary_id: Ids  # the boundary it stands on; another: third structures
    ruled_out: Flags
    is_cause: Flags  # found joining by a test of its own, or by the record of the path
    reason: Codes  # place in SUSPECT_REASONS


class _Links(NamedTuple):
    """Joints, then paths, with what is known of each."""

    boundary: Ids  # row
    joint_id: Ids
    path_id: Ids
    device_good_on: Days
    here_good_on: Days
    apart_on: Days
    joins: Flags


def find_suspects(
    site: Look, shorted: Flags, joined: Flags, first_bad_on: Days
) -> Suspects:
    """Return who may be the cause, for each boundary that is shorted.

    Routes go over the boundary itself and, by third structures, over other boundaries
    that are shorted or joined on purpose, if they lie on a way from one side to the
    other. Ruled out is what was shown good on the first bad day or later: a device by
    its own test, a joint by a good boundary reading that reaches it, a path by a check.
    """
    ids = site.boundaries.boundary_id
    route, through = _routes(site, shorted, joined)
    links = _links(site)
    which, link = rows_with(links.boundary, through)
    boundary, since = route[which], first_bad_on[route[which]]
    good = links.device_good_on[link] >= since
    here = links.here_good_on[link] >= since
    apart = links.apart_on[link] >= since
    joins = links.joins[link]
    ruled_out = (good | here | apart) & ~joins
    caused = np.isin(boundary, boundary[joins])
    is_path = links.path_id[link] > 0
    cases = [
        (joins & is_path, "path_joining"),
        (joins, "device_shorted"),
        (good, "device_good"),
        (here, "boundary_good_here"),
        (apart, "path_apart"),
        (caused, "cause_elsewhere"),
        (boundary != through[which], "third_structure"),
    ]
    codes = [np.int16(SUSPECT_REASONS.index(f"suspect.{name}")) for _, name in cases]
    reason = np.select([mask for mask, _ in cases], codes, np.int16(0))
    return Suspects(
        ids[boundary],
        links.joint_id[link],
        links.path_id[link],
        ids[through[which]],
        ruled_out,
        joins,
        reason,
    )


def _routes(site: Look, shorted: Flags, joined: Flags) -> tuple[Ids, Ids]:
    """Return pairs of a shorted boundary and a boundary on a route across it."""
    links = np.flatnonzero(shorted | joined)
    label = loops(
        site.boundaries.structure_a_id[links], site.boundaries.structure_b_id[links]
    )
    asked = np.flatnonzero(shorted[links])
    which, row = rows_with(label, label[asked])
    return links[asked[which]], links[row]


def _links(site: Look) -> _Links:
    joints, paths, now = len(site.joints), site.paths, site.paths_now
    active = np.flatnonzero(site.places.boundary[:joints] >= 0)
    there = np.flatnonzero(now.is_there & (site.path_boundary >= 0))
    none_j, none_p = np.full(len(active), NO_DAY), np.full(len(there), NO_DAY)
    device_good = _good_on(site, site.places.device_row[active])
    here_good = _good_on(site, site.places.boundary_row[active])
    is_apart = now.state[there] == APART
    return _Links(
        np.concatenate([site.places.boundary[active], site.path_boundary[there]]),
        np.concatenate([site.joints.joint_id[active], np.zeros(len(there), np.int64)]),
        np.concatenate([np.zeros(len(active), np.int64), paths.path_id[there]]),
        np.concatenate([device_good, none_p]),
        np.concatenate([here_good, none_p]),
        np.concatenate([none_j, np.where(is_apart, now.known_on[there], NO_DAY)]),
        np.concatenate([_device_joins(site, active), site.path_shorts[there]]),
    )


def _good_on(site: Look, rows: Ids) -> Days:
    """Return the day of each test row that was good, as installed."""
    verdict = np.append(site.judgements.shows, np.int16(NO_ROW))[rows]
    day = np.append(site.tests.tested_on, NO_DAY)[rows]
    stage = np.append(site.tests.stage, np.int16(NO_ROW))[rows]
    good = (rows >= 0) & (verdict == ISOLATING) & (stage != NOT_INSTALLED)
    return np.where(good, day, NO_DAY)


def _device_joins(site: Look, active: Ids) -> Flags:
    """Return whether a device was found shorted and no later reading cleared it."""
    rows = site.places.device_row[active]
    verdict = np.append(site.judgements.shows, np.int16(NO_ROW))[rows]
    bad = site.places.state[active] == BAD
    found: Flags = (rows >= 0) & (verdict == SHORTED) & bad
    return found
