"""What each test says of each joint: its own tests, and credit from boundary tests."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from jointmap.register.codes import Layout, Scope, Side, Stage, Verdict
from jointmap.register.columns import (
    Codes,
    Days,
    Flags,
    Ids,
    JointColumns,
    Table,
    TestColumns,
    narrow,
)
from jointmap.register.joining import Was, row_of
from jointmap.register.judged import Judgements
from jointmap.register.stages import NOT_IN_PLACE_CODES
from jointmap.register.time_order import time_key
from jointmap.sections.joining import rows_with
from jointmap.sections.stays import Stays
from jointmap.tables import METHODS

ISOLATING, SHORTED = Verdict.ISOLATING.code, Verdict.SHORTED.code
INCONCLUSIVE = Verdict.INCONCLUSIVE.code
_PARTS = [s.code for s in (Scope.STUD, Scope.GASKET_CORE)]
_ONE_SIDE = [x.code for x in (Layout.ONE_SIDE_A, Layout.ONE_SIDE_B)]
_OF_BOUNDARY = np.array([m.tells == "boundary" for m in METHODS] + [False])


@dataclass(frozen=True, slots=True)
class EvidenceColumns(Table):
    """One row per joint and test that says something of it, by joint and time."""

    joint_id: Ids
    test_id: Ids
    row: Ids  # in the tests
    tested_on: Days
    verdict: Codes  # as to this joint: a shorted boundary condemns no joint
    counts: Flags
    credited: Flags  # read elsewhere in its test group
    of_device: Flags  # by a test of this one device, not of the boundary
    this_device: Flags  # since the device fitted now


class _Pairs(NamedTuple):
    """Rows of joints and of tests that belong together."""

    joint: Ids
    test: Ids


def evidence(
    joints: JointColumns,
    tests: TestColumns,
    judgements: Judgements,
    groups: Ids,
    reach_metre: float,
    before: Was | None = None,
) -> EvidenceColumns:
    """Return every test that says something of each joint.

    A joint's own device tests say what they say; not those on the bench or before
    tightening, when the kit was not in place. Of the studs only this: a stud in metal
    contact with both flanges, each seen alone, shorts the device. That studs are good
    does not show the gasket, so it is no evidence for the joint.

    A boundary test that decides is credited to the joints of the same boundary and
    group within ``reach_metre`` of the place where it was read. Without a place a good
    one is credited only where the boundary is one group; a bad one concerns every joint
    of the boundary. A bad one is `inconclusive` as to each joint. Nothing is credited
    to a joint from before it was there. ``before`` holds the boundaries on which joints
    stood until they were moved: a reading counts for those that stood there on its day.
    """
    own = _own(joints, tests, judgements)
    stays = Stays.of(joints, groups, reach_metre, before)
    of_boundary = _boundary_pairs(stays, tests, judgements, reach_metre)
    joint = np.concatenate([own.joint, of_boundary.joint])
    test = np.concatenate([own.test, of_boundary.test])
    of_device = np.arange(len(joint)) < len(own.joint)
    order = np.lexsort(
        (
            tests.test_id[test],
            time_key(tests, judgements, test),
            joints.joint_id[joint],
        )
    )
    return _columns(
        joints, tests, judgements, _Pairs(joint[order], test[order]), of_device[order]
    )


def boundary_of(joints: JointColumns, tests: TestColumns) -> Ids:
    """Return the boundary of each test, by its own word or by its joint's."""
    place = row_of(joints.joint_id, tests.joint_id)
    of_joint = np.where(place >= 0, _at(joints.boundary_id, place), 0)
    return np.where(tests.boundary_id > 0, tests.boundary_id, of_joint)


def tells_boundary(tests: TestColumns) -> Flags:
    """Return which tests are about the boundary, not about one device."""
    about: Flags = np.isin(tests.scope, [s.code for s in (Scope.JOINT, Scope.BOUNDARY)])
    about &= _OF_BOUNDARY[tests.method]
    return about


def _at(values: Ids, rows: Ids) -> Ids:
    return values[rows] if len(values) else np.zeros(len(rows), values.dtype)


def _columns(
    joints: JointColumns,
    tests: TestColumns,
    judgements: Judgements,
    pairs: _Pairs,
    of_device: Flags,
) -> EvidenceColumns:
    joint, test = pairs
    day, fitted = tests.tested_on[test], joints.fitted_on[joint]
    as_found = tests.stage[test] == Stage.AS_FOUND
    verdict = judgements.shows[test]
    condemned = ~of_device & (verdict == SHORTED)
    return EvidenceColumns(
        narrow(joints.joint_id[joint]),
        tests.test_id[test],
        narrow(test),
        day,
        np.where(condemned, INCONCLUSIVE, verdict).astype(np.int16),
        judgements.counts[test],
        ~of_device & (tests.joint_id[test] != joints.joint_id[joint]),
        of_device,
        ~((day < fitted) | ((day == fitted) & as_found)),
    )


def _own(joints: JointColumns, tests: TestColumns, judgements: Judgements) -> _Pairs:
    joint = row_of(joints.joint_id, tests.joint_id)
    in_place = (joint >= 0) & ~np.isin(tests.stage, NOT_IN_PLACE_CODES)
    whole = (tests.scope == Scope.JOINT) & judgements.tells_device & in_place
    rows = np.flatnonzero(whole)
    part = np.isin(tests.scope, _PARTS) & in_place & (judgements.shows == SHORTED)
    rows = np.concatenate([rows, _shorting(tests, np.flatnonzero(part))])
    return _Pairs(joint[rows], rows)


def _shorting(tests: TestColumns, rows: Ids) -> Ids:
    """Return one row per stud and day found in contact with both flanges."""
    keys = np.stack(
        [
            tests.joint_id[rows],
            tests.scope[rows],
            tests.stud[rows],
            tests.tested_on[rows].astype("datetime64[D]").astype(np.int64),
        ]
    )
    _, first, place = np.unique(keys, axis=1, return_index=True, return_inverse=True)
    seen = np.zeros((len(first), len(Side)), np.bool_)
    seen[place.ravel(), tests.side[rows]] = True
    # A one-side kit's other end touches its flange by design.
    by_design = np.isin(tests.layout[rows[first]], _ONE_SIDE)
    by_design &= tests.scope[rows[first]] == Scope.STUD
    return rows[first[seen.all(axis=1) | by_design]]


def _boundary_pairs(
    stays: Stays, tests: TestColumns, judgements: Judgements, reach_metre: float
) -> _Pairs:
    joints, groups = stays.joints, stays.groups
    about = np.flatnonzero(tells_boundary(tests))
    place = stays.at(tests.joint_id, tests.tested_on)
    of_joint = np.where(place >= 0, _at(joints.boundary_id, place), 0)
    boundary = np.where(tests.boundary_id > 0, tests.boundary_id, of_joint)
    here = (place >= 0) & (of_joint == boundary)
    decides = judgements.shows <= SHORTED
    spread = _spread(
        joints, place, about[here[about] & decides[about]], groups, reach_metre
    )
    alone = about[here[about] & ~decides[about]]
    free = about[~here[about] & decides[about] & (boundary[about] > 0)]
    unplaced = _unplaced(joints, boundary, free, judgements, groups)
    stay = np.concatenate([spread.joint, place[alone], unplaced.joint])
    test = np.concatenate([spread.test, alone, unplaced.test])
    there = _was_there(joints, tests, stay, test)
    there &= stays.holds(stay, tests.tested_on[test])
    return _Pairs(stays.row[stay[there]], test[there])


def _was_there(
    joints: JointColumns, tests: TestColumns, joint: Ids, test: Ids
) -> Flags:
    """Return which readings of a boundary found the joint there, as far as is known."""
    own = tests.joint_id[test] == joints.joint_id[joint]
    was_there: Flags = own | ~(tests.tested_on[test] < joints.there_since[joint])
    return was_there


def _spread(
    joints: JointColumns, place: Ids, rows: Ids, groups: Ids, reach_metre: float
) -> _Pairs:
    at = place[rows]
    which, joint = rows_with(groups, groups[at])
    seed = at[which]
    away = np.hypot(
        joints.x_metre[joint] - joints.x_metre[seed],
        joints.y_metre[joint] - joints.y_metre[seed],
    )
    near = (joint == seed) | (away <= reach_metre)
    return _Pairs(joint[near], rows[which[near]])


def _unplaced(
    joints: JointColumns,
    boundary: Ids,
    rows: Ids,
    judgements: Judgements,
    groups: Ids,
) -> _Pairs:
    which, joint = rows_with(joints.boundary_id, boundary[rows])
    test = rows[which]
    kept = _is_one_group(joints, groups)[joint] | (judgements.shows[test] == SHORTED)
    return _Pairs(joint[kept], test[kept])


def _is_one_group(joints: JointColumns, groups: Ids) -> Flags:
    """Return for each joint whether its boundary is one test group."""
    pairs = np.unique(np.stack([joints.boundary_id, groups]), axis=1)
    many, count = np.unique(pairs[0], return_counts=True)
    return np.isin(joints.boundary_id, many[count == 1])
