"""How many isolating sides each stud has left, from its readings to side A and B."""

from dataclasses import dataclass

import numpy as np

from jointmap.acceptance.reasons import reason_code
from jointmap.acceptance.studs import is_one_side
from jointmap.register.codes import Layout, Scope, Side, Verdict
from jointmap.register.columns import (
    Codes,
    Days,
    Flags,
    Floats,
    Ids,
    JointColumns,
    Table,
    TestColumns,
)
from jointmap.register.joining import NO_ROW, row_of
from jointmap.register.judged import Judgements
from jointmap.register.stages import NOT_IN_PLACE_CODES
from jointmap.register.time_order import first_since, time_key

CORE = 0  # stands where a stud's number would: the metal core of the gasket
STUD_REASONS: tuple[str, ...] = (
    "stud.all_left",
    "stud.one_lost",
    "stud.one_lost_other_not_provable",
    "stud.all_lost",
    "stud.doubtful",
    "stud.not_read",
    "stud.layout_unknown",
)
_NO_DAY = np.datetime64("NaT", "D")
_SCOPES = [s.code for s in (Scope.STUD, Scope.GASKET_CORE)]


@dataclass(frozen=True, slots=True)
class StudStates(Table):
    """One row per joint and stud that was read, by joint and stud; 0 is the core."""

    joint_id: Ids
    stud: Ids
    tested_on: Days  # the later of the two sides
    sides_possible: Codes  # by the kit's layout; -1 not known
    sides_left: Codes  # isolating; -1 not known
    lost_side: Codes  # place in Side; -1 none, or not known, or both
    lost_on: Days  # the first such reading after the last good one; NaT: none lost
    row_a: Ids  # row in the tests of the last reading to each side; -1 none
    row_b: Ids
    reason: Codes  # place in STUD_REASONS


@dataclass(frozen=True, slots=True)
class StudCounts(Table):
    """One row per joint: its studs counted (the core apart)."""

    joint_id: Ids
    studs: Ids  # that the device has; 0 not on record
    read: Ids
    whole: Ids  # all possible sides isolating
    reduced: Ids  # a side lost, not all
    lost: Ids  # no isolating side left: metal contact through the stud
    not_known: Ids


@dataclass(frozen=True, slots=True)
class _Sides:
    """The last reading to each side of each stud; arrays of (studs, 2)."""

    row: Ids
    low_on: Days  # the first low reading after the last good one
    good: Flags
    low: Flags  # metal contact with this side, or with the other through the ground
    proven: Flags  # metal contact with this side and no other
    ohm: Floats


def stud_states(
    tests: TestColumns, judgements: Judgements, joints: JointColumns
) -> StudStates:
    """Return the state of every stud and core that was read on the device fitted now.

    Installed, the lower of two low readings is the lost side; the other includes it
    through the ground and cannot be proved, so both are never called lost. Before
    tie-in, and by radio frequency, each side is seen alone.
    """
    order, is_last = _in_order(tests, judgements, joints)
    rows = order[is_last]
    joint = row_of(joints.joint_id, tests.joint_id[rows])
    stud = np.where(tests.scope[rows] == Scope.STUD, tests.stud[rows], CORE)
    keys, place = np.unique(np.stack([joint, stud]), axis=1, return_inverse=True)
    at = place.ravel(), tests.side[rows]
    low_on = _low_on(tests, judgements, order, is_last)
    sides = _sides(tests, judgements, rows, low_on, at, keys.shape[1])
    layout = np.where(
        keys[1] == CORE, Layout.TWO_SIDE.code, joints.layout[keys[0]]
    ).astype(np.int16)
    left, lost, reason = _conclude(sides, layout)
    days = np.where(sides.row >= 0, tests.tested_on[sides.row], _NO_DAY)
    return StudStates(
        joints.joint_id[keys[0]],
        keys[1],
        np.fmax(days[:, 0], days[:, 1]),
        _possible(layout),
        left,
        lost,
        _lost_on(sides, left, lost),
        sides.row[:, 0],
        sides.row[:, 1],
        reason,
    )


def stud_counts(states: StudStates, joints: JointColumns) -> StudCounts:
    """Return per joint how many studs were read, and what was found."""
    studs = states.take(states.stud != CORE)
    place = row_of(joints.joint_id, studs.joint_id)

    def count(mask: Flags) -> Ids:
        return np.bincount(place[mask], minlength=len(joints)).astype(np.int64)

    left, whole = studs.sides_left, studs.sides_left == studs.sides_possible
    whole = (whole & (left > 0)) | (left == len(Side))
    reduced = (left >= 0) & ~whole & (left != 0)
    return StudCounts(
        joints.joint_id,
        joints.stud_count,
        count(np.ones(len(studs), np.bool_)),
        count(whole),
        count(reduced),
        count(left == 0),
        count(left < 0),
    )


def _in_order(
    tests: TestColumns, judgements: Judgements, joints: JointColumns
) -> tuple[Ids, Flags]:
    """Return the tests of each joint, stud and side by time, and which are the last.

    They are on today's device. A reading to a side without a washer tells nothing of
    isolation; it is kept to be shown. One on the bench or before tightening tells
    nothing of the stud as it stands.
    """
    place = row_of(joints.joint_id, tests.joint_id)
    device = np.append(joints.device_id, NO_ROW)[place]
    fit = (
        np.isin(tests.scope, _SCOPES) & (tests.side >= 0) & (device == tests.device_id)
    )
    plain = judgements.reason == reason_code("verdict.stud_plain_side")
    fit &= ~np.isin(tests.stage, NOT_IN_PLACE_CODES)
    fit &= (judgements.shows <= Verdict.SHORTED.code) | plain
    rows = np.flatnonzero(fit & (place >= 0))
    keys = (tests.joint_id, tests.scope, tests.stud, tests.side)
    by_time = (tests.test_id[rows], time_key(tests, judgements, rows))
    order: Ids = rows[np.lexsort([*by_time, *(k[rows] for k in keys[::-1])])]
    same = [k[order][1:] == k[order][:-1] for k in keys]
    is_last = np.append(~np.logical_and.reduce(same), True)[: len(order)]
    return order, is_last


def _low_on(
    tests: TestColumns, judgements: Judgements, order: Ids, is_last: Flags
) -> Days:
    """Return for each last test the first low reading of its side after a good one."""
    group: Ids = np.cumsum(is_last) - is_last
    good = judgements.shows[order] == Verdict.ISOLATING
    low, count = _is_low(judgements, order), int(is_last.sum())
    return first_since(group, good, low, tests.tested_on[order], count)


def _is_low(judgements: Judgements, row: Ids) -> Flags:
    """Return which tests found metal contact, with this side or through the ground."""
    installed = judgements.reason[row] == reason_code("verdict.stud_contact_installed")
    low: Flags = (judgements.shows[row] == Verdict.SHORTED) | installed
    return low


def _sides(
    tests: TestColumns,
    judgements: Judgements,
    rows: Ids,
    low_on: Days,
    at: tuple[Ids, Codes],
    studs: int,
) -> _Sides:
    """Return the last reading of each stud and side; ``at`` is where each row goes."""
    row = np.full((studs, len(Side)), NO_ROW, np.int64)
    since = np.full((studs, len(Side)), _NO_DAY)
    row[at], since[at] = rows, low_on
    read = row >= 0
    proven = read & (judgements.shows[row] == Verdict.SHORTED)
    low = read & _is_low(judgements, row)
    good = read & (judgements.shows[row] == Verdict.ISOLATING)
    # A contact that was seen alone is surer than any that was not.
    ohm = np.where(proven, -1.0, np.where(low, tests.reading_ohm[row], np.inf))
    return _Sides(row, since, good, low, proven, ohm)


def _lost_on(sides: _Sides, left: Codes, lost: Codes) -> Days:
    """Return since when a side is lost; of two lost ones since the first."""
    own = sides.low_on[np.arange(len(lost)), lost]
    either = np.fmin(sides.low_on[:, 0], sides.low_on[:, 1])
    return np.where(lost >= 0, own, np.where(left == 0, either, _NO_DAY))


def _conclude(sides: _Sides, layout: Codes) -> tuple[Codes, Codes, Codes]:
    """Return sides left, the lost side, and the reason, for each stud."""
    two = _two_sides(sides)
    one = _one_side(sides, layout)
    good = _both(sides.good)
    name = np.where(good, _code("stud.all_left"), _code("stud.layout_unknown"))
    unknown = (np.where(good, len(Side), -1), np.full(len(layout), -1), name)
    is_two, is_one = layout == Layout.TWO_SIDE, is_one_side(layout)
    picked = [
        np.select([is_two, is_one], [a, b], c).astype(np.int16)
        for a, b, c in zip(two, one, unknown, strict=True)
    ]
    return picked[0], picked[1], picked[2]


def _two_sides(sides: _Sides) -> tuple[Codes, Codes, Codes]:
    each = np.arange(len(sides.row))
    lost = np.argmin(sides.ohm, axis=1)
    other_good, other_row = sides.good[each, 1 - lost], sides.row[each, 1 - lost]
    any_low = ~_both(~sides.low)
    both_good = _both(sides.good)
    both_lost = _both(sides.proven)
    both_read = _both(sides.row >= 0)
    cases: list[tuple[Flags, int, str]] = [
        (both_good, 2, "stud.all_left"),
        (both_lost, 0, "stud.all_lost"),
        (any_low & other_good, 1, "stud.one_lost"),
        (any_low & (other_row >= 0), 1, "stud.one_lost_other_not_provable"),
        (both_read, -1, "stud.doubtful"),
    ]
    left, reason = _select(cases, "stud.not_read")
    return left, np.where(any_low & (left != 0), lost, -1).astype(np.int16), reason


def _one_side(sides: _Sides, layout: Codes) -> tuple[Codes, Codes, Codes]:
    each = np.arange(len(sides.row))
    washers = (layout == Layout.ONE_SIDE_B).astype(np.int64)
    cases: list[tuple[Flags, int, str]] = [
        (sides.good[each, washers], 1, "stud.all_left"),
        (sides.proven[each, washers], 0, "stud.all_lost"),
        (sides.row[each, washers] >= 0, -1, "stud.doubtful"),
    ]
    left, reason = _select(cases, "stud.not_read")
    return left, np.where(left == 0, washers, -1).astype(np.int16), reason


def _select(cases: list[tuple[Flags, int, str]], otherwise: str) -> tuple[Codes, Codes]:
    masks = [mask for mask, _, _ in cases]
    left = np.select(masks, [np.int16(n) for _, n, _ in cases], np.int16(-1))
    names = [np.int16(_code(name)) for _, _, name in cases]
    return left, np.select(masks, names, np.int16(_code(otherwise)))


def _both(flags: Flags) -> Flags:
    found: Flags = np.logical_and.reduce(flags, axis=1)
    return found


def _possible(layout: Codes) -> Codes:
    two = layout == Layout.TWO_SIDE
    return np.select(
        [two, is_one_side(layout)], [np.int16(2), np.int16(1)], np.int16(-1)
    )


def _code(reason: str) -> int:
    return STUD_REASONS.index(reason)
