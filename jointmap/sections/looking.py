"""Everything the state of the boundaries hangs on, put together once."""

from typing import NamedTuple

import numpy as np

from jointmap.register.columns import (
    BoundaryColumns,
    Days,
    Flags,
    Ids,
    JointColumns,
    PathColumns,
    TestColumns,
)
from jointmap.register.joining import NO_ROW, row_of
from jointmap.register.judged import Judgements
from jointmap.sections.evidence import EvidenceColumns
from jointmap.sections.paths import JOINING, PathNow, contradicting, paths_now
from jointmap.sections.places import Places, places


class Look(NamedTuple):
    """One site on one day; each path with its boundary's row, and what it does."""

    boundaries: BoundaryColumns
    joints: JointColumns
    paths: PathColumns
    tests: TestColumns
    judgements: Judgements
    seen: EvidenceColumns
    on: np.datetime64
    places: Places
    paths_now: PathNow
    path_boundary: Ids
    path_shorts: Flags
    path_bonds: Flags  # a bond of plain metal that is on record as joining


def look(
    boundaries: BoundaryColumns,
    joints: JointColumns,
    paths: PathColumns,
    tests: TestColumns,
    judged: tuple[Judgements, EvidenceColumns],
    on: np.datetime64,
) -> Look:
    """Put together what the tests say at each place and what is known of each path."""
    judgements, seen = judged
    told = places(boundaries, joints, tests, judgements, seen)
    now = paths_now(paths, tests, judgements, on)
    boundary = row_of(boundaries.boundary_id, paths.boundary_id)
    good_on = _good_on(boundaries, joints, paths, told)
    shorts = (now.state == JOINING) & now.is_there & ~(good_on > now.known_on)
    return Look(
        boundaries,
        joints,
        paths,
        tests,
        judgements,
        seen,
        on,
        told,
        now,
        boundary,
        shorts,
        contradicting(paths, now),
    )


def _good_on(
    boundaries: BoundaryColumns, joints: JointColumns, paths: PathColumns, told: Places
) -> Days:
    """Return the last day a boundary test was good where each path is."""
    read = told.boundary_row >= 0
    day = np.where(read, told.last_good_on, np.datetime64("NaT", "D"))
    known = ~np.isnat(day) & (told.boundary >= 0)
    anywhere = np.full(len(boundaries) + 1, np.datetime64("0001-01-01", "D"))
    np.maximum.at(anywhere, told.boundary[known], day[known])
    at = row_of(joints.joint_id, paths.joint_id)
    here = np.append(day, np.datetime64("NaT", "D"))[np.where(at >= 0, at, NO_ROW)]
    boundary = row_of(boundaries.boundary_id, paths.boundary_id)
    return np.where(at >= 0, here, anywhere[boundary])
