"""What each joint may be called, from its evidence and its boundary's state."""

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from jointmap.register.codes import Stage, Verdict
from jointmap.register.columns import (
    Codes,
    Days,
    Flags,
    Ids,
    JointColumns,
    Table,
    TestColumns,
)
from jointmap.register.joining import NO_ROW, row_of
from jointmap.sections.boundaries import BOND_ON_RECORD, BoundaryStates
from jointmap.sections.evidence import INCONCLUSIVE, ISOLATING, SHORTED, EvidenceColumns
from jointmap.sections.evidence_standing import DOUBTFUL, NO_DAY, bad_since, standing
from jointmap.sections.suspects import Suspects

Array = npt.NDArray[Any]
NOT_TESTED = Verdict.NOT_TESTED.code
JOINT_REASONS: tuple[str, ...] = (
    "joint_state.device_test",
    "joint_state.repair_not_proved",
    "joint_state.boundary_test",
    "joint_state.credited",
    "joint_state.suspect",
    "joint_state.only_suspect",
    "joint_state.cause_elsewhere",
    "joint_state.joined_on_purpose",
    "joint_state.not_decided",
    "joint_state.not_tested",
    "joint_state.bond_on_record",
)


@dataclass(frozen=True, slots=True)
class JointStates(Table):
    """One row per joint, in their order."""

    joint_id: Ids
    verdict: Codes
    reason: Codes  # place in JOINT_REASONS
    test_row: Ids  # the test it rests on; -1 none
    credited: Flags  # read elsewhere in its test group
    last_good_on: Days  # of the device fitted now
    since_on: Days  # the first bad day after the last good one; only of a bad joint
    is_suspect: Flags  # of its own boundary
    suspects: Ids  # how many its boundary has
    tried_row: Ids  # a later test that could not decide; -1 none


def joint_states(  # noqa: PLR0913
    joints: JointColumns,
    tests: TestColumns,
    evidence: EvidenceColumns,
    boundary_states: BoundaryStates,
    suspects: Suspects,
    on: np.datetime64,
    *,
    repaired_on: Days | None = None,
) -> JointStates:
    """Return the state of every joint on the day ``on``.

    The last deciding test of the device fitted now stands, the joint's own or a
    credited one; a bad one of an earlier device stands too until the joint is good as
    installed. ``repaired_on`` is the day a repair was last recorded, per joint; with
    none given, only a new device is one. A joint of a shorted boundary that was not
    itself shown good or bad since is `inconclusive`, one of so many suspects: never
    `shorted` without a device reading.
    """
    upto = evidence.take(evidence.tested_on <= on)
    seen = upto.take(standing(upto, tests))
    decides = seen.take(seen.verdict <= SHORTED)
    last = _last(joints, decides)
    said = _Said(
        _pick(decides.verdict, last, NOT_TESTED),
        _pick(decides.of_device, last, False),
        _pick(decides.credited, last, False),
        _pick(decides.row, last, NO_ROW),
        _is_claimed(joints, decides, last, tests, repaired_on),
    )
    undecided = seen.take(seen.verdict == INCONCLUSIVE)
    tried = _pick(undecided.row, _last(joints, undecided), NO_ROW)
    visit = _pick(seen.row, _last(joints, seen), NO_ROW)
    bound = row_of(boundary_states.boundary_id, joints.boundary_id)
    around = _Around(
        _pick(boundary_states.state, bound, NOT_TESTED) == SHORTED,
        _pick(boundary_states.cause_found, bound, False),
        _pick(boundary_states.joined_on_purpose, bound, False),
        _is_open(joints, suspects),
        _pick(boundary_states.suspects, bound, 0) == 1,
        _pick(boundary_states.reason, bound, NO_ROW) == BOND_ON_RECORD,
    )
    reason = _reasons(said, around, tried >= 0)
    boundary_row = _pick(boundary_states.test_row, bound, NO_ROW)
    by_test = np.isin(
        reason,
        _codes("device_test", "repair_not_proved", "boundary_test", "credited"),
    )
    of_test = by_test | np.isin(reason, _codes("bond_on_record"))
    by_boundary = np.isin(reason, _codes("suspect", "only_suspect", "cause_elsewhere"))
    untested = np.isin(reason, _codes("not_tested"))
    verdict = np.select([by_test, untested], [said.verdict, NOT_TESTED], INCONCLUSIVE)
    rests_on = np.select(
        [of_test, by_boundary, untested], [said.row, boundary_row, visit], tried
    )
    verdict = verdict.astype(np.int16)
    return JointStates(
        joints.joint_id,
        verdict,
        reason,
        rests_on,
        by_test & said.credited,
        _last_good(joints, decides),
        bad_since(joints, upto, tests, np.where(by_test, verdict, NO_ROW)),
        np.isin(reason, _codes("suspect", "only_suspect")),
        _pick(boundary_states.suspects, bound, 0),
        np.where(_is_later(tests, tried, rests_on) & by_test, tried, NO_ROW),
    )


class _Said(NamedTuple):
    """Per joint: its last deciding test."""

    verdict: Codes
    of_device: Flags
    credited: Flags
    row: Ids
    is_claimed: Flags  # bad, and a repair or a new device recorded since


class _Around(NamedTuple):
    """Per joint: how its boundary stands, and whether it may be why."""

    is_shorted: Flags
    cause_found: Flags
    joined_on_purpose: Flags
    is_open: Flags
    is_only: Flags
    is_bonded: Flags  # a bond on record joins what a test shows apart


def _reasons(said: _Said, around: _Around, tried: Flags) -> Codes:
    tested = said.verdict <= SHORTED
    own = tested & said.of_device
    may_be = around.is_shorted & around.is_open
    claimed = own & said.is_claimed
    cases: list[tuple[Flags, str]] = [
        (claimed & (said.verdict == SHORTED), "repair_not_proved"),
        (own & (said.verdict == SHORTED), "device_test"),
        (around.joined_on_purpose, "joined_on_purpose"),
        (may_be & around.cause_found, "cause_elsewhere"),
        (may_be & around.is_only, "only_suspect"),
        (may_be, "suspect"),
        (claimed, "repair_not_proved"),
        (own, "device_test"),
        (around.is_bonded & (said.verdict == ISOLATING), "bond_on_record"),
        (tested & said.credited, "credited"),
        (tested, "boundary_test"),
        (tried, "not_decided"),
    ]
    codes = [np.int16(_codes(name)[0]) for _, name in cases]
    otherwise = np.int16(_codes("not_tested")[0])
    return np.select([mask for mask, _ in cases], codes, otherwise)


def _is_claimed(
    joints: JointColumns,
    decides: EvidenceColumns,
    last: Ids,
    tests: TestColumns,
    repaired_on: Days | None,
) -> Flags:
    """Return which joints were last found bad, with a repair recorded since."""
    claimed = np.zeros(len(joints), np.bool_)
    at = np.flatnonzero(last >= 0)
    found = decides.take(last[at])
    fitted_on = np.where(found.this_device, NO_DAY, joints.fitted_on[at])
    done_on = fitted_on if repaired_on is None else np.fmax(fitted_on, repaired_on[at])
    as_left = tests.stage[found.row] == Stage.AS_LEFT
    since = (done_on > found.tested_on) | ((done_on == found.tested_on) & ~as_left)
    claimed[at] = since & np.isin(found.verdict, (DOUBTFUL, SHORTED)) & found.of_device
    return claimed


def _is_later(tests: TestColumns, row: Ids, than: Ids) -> Flags:
    day = np.append(tests.tested_on, NO_DAY)
    later: Flags = day[row] > day[than]
    return later


def _is_open(joints: JointColumns, suspects: Suspects) -> Flags:
    """Return which joints are on their own boundary's list and not ruled out."""
    own = suspects.boundary_id == suspects.through_boundary_id
    return np.isin(joints.joint_id, suspects.joint_id[own & ~suspects.ruled_out])


def _last(joints: JointColumns, seen: EvidenceColumns) -> Ids:
    """Return for each joint the last of its rows, which are in order of time."""
    rows = np.full(len(joints), NO_ROW, np.int64)
    rows[row_of(joints.joint_id, seen.joint_id)] = np.arange(len(seen))
    return rows


def _last_good(joints: JointColumns, decides: EvidenceColumns) -> Days:
    good = decides.take(decides.verdict == ISOLATING)
    return _pick(good.tested_on, _last(joints, good), NO_DAY)


def _pick(values: Array, rows: Ids, missing: object) -> Array:
    """Return ``values[rows]``, and ``missing`` where a row is -1."""
    padded = np.append(values, np.array([missing], values.dtype))
    return padded[rows]


def _codes(*names: str) -> list[int]:
    return [JOINT_REASONS.index(f"joint_state.{name}") for name in names]
