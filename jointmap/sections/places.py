"""What the tests say at each place of a boundary: at each joint, else as a whole.

A good reading at one place does not clear another that it does not reach, so a boundary
is looked at place by place, and the worst place speaks.
"""

from typing import NamedTuple

import numpy as np

from jointmap.register.codes import JointState
from jointmap.register.columns import (
    BoundaryColumns,
    Codes,
    Days,
    Flags,
    Ids,
    JointColumns,
    TestColumns,
)
from jointmap.register.joining import NO_ROW, row_of
from jointmap.register.judged import Judgements
from jointmap.register.time_order import first_since, time_key
from jointmap.sections.evidence import (
    ISOLATING,
    SHORTED,
    EvidenceColumns,
    boundary_of,
    tells_boundary,
)
from jointmap.sections.evidence_standing import DOUBTFUL, NO_DAY, standing

# States of a place, the worst first.
BAD, HALF, UNTOLD, DEVICE_ONLY, GOOD = range(5)
_IN_PLACE = [
    s.code
    for s in (JointState.FITTED, JointState.AWAITING_ACCEPTANCE, JointState.IN_DUTY)
]


class Places(NamedTuple):
    """One row per joint, then one per boundary for tests that no joint stands for."""

    boundary: Ids  # row in the boundaries; -1 where the place does not speak for one
    state: Codes
    row: Ids  # the test it rests on; -1 none
    last_good_on: Days
    first_bad_on: Days
    device_row: Ids  # the last test of the device that decided; -1 none
    boundary_row: Ids  # the last boundary test that decided


class _Stream(NamedTuple):
    """Tests of one kind at each place: the last one, last good day, first bad after."""

    row: Ids
    last_good_on: Days
    first_bad_on: Days


def is_in_place(joints: JointColumns) -> Flags:
    """Return which joints stand between the two structures now."""
    return np.isin(joints.state, _IN_PLACE)


def places(
    boundaries: BoundaryColumns,
    joints: JointColumns,
    tests: TestColumns,
    judgements: Judgements,
    seen: EvidenceColumns,
) -> Places:
    """Return what the tests say at each joint and at each boundary without joints."""
    at_joint = row_of(joints.joint_id, seen.joint_id)
    decides = judgements.shows[seen.row] <= SHORTED
    of_device = seen.of_device & decides & standing(seen, tests)
    # A joint that was moved brings no reading of another boundary to this one.
    own = tests.boundary_id[seen.row]
    of_here = (own == 0) | (own == joints.boundary_id[at_joint])
    of_boundary = ~seen.of_device & decides & of_here
    active = is_in_place(joints)
    boundary = row_of(boundaries.boundary_id, joints.boundary_id)
    bare, bare_rows = _bare(boundaries, joints, tests, judgements)
    place = np.concatenate([at_joint[of_boundary], len(joints) + bare])
    rows = np.concatenate([seen.row[of_boundary], bare_rows])
    count = len(joints) + len(boundaries)
    by_boundary = _stream(place, rows, tests, judgements, count)
    by_device = _stream(
        at_joint[of_device], seen.row[of_device], tests, judgements, count
    )
    spoken = ~np.isin(np.arange(len(boundaries)), boundary[active])
    speaks = np.concatenate(
        [
            np.where(active, boundary, NO_ROW),
            np.where(spoken, np.arange(len(boundaries)), NO_ROW),
        ]
    )
    return _conclude(speaks, by_boundary, by_device, tests, judgements)


def _bare(
    boundaries: BoundaryColumns,
    joints: JointColumns,
    tests: TestColumns,
    judgements: Judgements,
) -> tuple[Ids, Ids]:
    """Return (boundary, test) rows of deciding boundary tests."""
    decides = tells_boundary(tests) & (judgements.shows <= SHORTED)
    rows = np.flatnonzero(decides)
    at = row_of(boundaries.boundary_id, boundary_of(joints, tests)[rows])
    return at[at >= 0], rows[at >= 0]


def _stream(
    place: Ids, rows: Ids, tests: TestColumns, judgements: Judgements, count: int
) -> _Stream:
    keys = (tests.test_id[rows], time_key(tests, judgements, rows), place)
    order = np.lexsort(keys)
    place, rows = place[order], rows[order]
    verdict, day = judgements.shows[rows], tests.tested_on[rows]
    # Of several rows of a place the last one written stays.
    last = np.full(count, NO_ROW, np.int64)
    last[place] = rows
    is_good = verdict == ISOLATING
    good_on = np.full(count, NO_DAY)
    good_on[place[is_good]] = day[is_good]
    bad_on = first_since(place, is_good, verdict == SHORTED, day, count)
    return _Stream(last, good_on, bad_on)


def _conclude(
    boundary: Ids,
    whole: _Stream,
    device: _Stream,
    tests: TestColumns,
    judgements: Judgements,
) -> Places:
    said, own = _verdict(whole.row, judgements), _verdict(device.row, judgements)
    rank = np.append(_time_rank(tests, judgements), NO_ROW)
    device_later = rank[device.row] > rank[whole.row]
    device_bad = (own == SHORTED) & ~((said == ISOLATING) & ~device_later)
    bad = (said == SHORTED) | device_bad
    silent = said < 0
    state = np.select(
        [
            bad,
            (said == DOUBTFUL) | (silent & (own == DOUBTFUL)),
            said == ISOLATING,
            silent & (own == ISOLATING),
        ],
        [BAD, HALF, GOOD, DEVICE_ONLY],
        UNTOLD,
    )
    by_device = (device_bad & (said != SHORTED)) | silent
    first_bad = np.where(
        device_bad, np.fmin(whole.first_bad_on, device.first_bad_on), whole.first_bad_on
    )
    good_on = np.where(silent, device.last_good_on, whole.last_good_on)
    return Places(
        boundary,
        state.astype(np.int16),
        np.where(by_device, device.row, whole.row),
        good_on,
        np.where(bad, first_bad, NO_DAY),
        device.row,
        whole.row,
    )


def _verdict(rows: Ids, judgements: Judgements) -> Codes:
    verdict = np.append(judgements.shows, np.int16(NO_ROW))
    return np.where(rows >= 0, verdict[rows], NO_ROW).astype(np.int16)


def _time_rank(tests: TestColumns, judgements: Judgements) -> Ids:
    """Return each test's place in time."""
    rows = np.arange(len(tests))
    order = np.lexsort((tests.test_id, time_key(tests, judgements, rows)))
    rank = np.empty(len(order), np.int64)
    rank[order] = np.arange(len(order))
    return rank
