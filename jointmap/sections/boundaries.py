"""The state of each boundary: the worst of its places and its parallel paths speaks."""

from dataclasses import dataclass, replace

import numpy as np

from jointmap.register.codes import Verdict
from jointmap.register.columns import (
    BoundaryColumns,
    Codes,
    Days,
    Flags,
    Ids,
    JointColumns,
    PathColumns,
    Table,
    TestColumns,
)
from jointmap.register.joining import NO_ROW, row_of
from jointmap.register.judged import Judgements
from jointmap.sections.evidence import EvidenceColumns, boundary_of, evidence
from jointmap.sections.evidence_standing import NO_DAY
from jointmap.sections.grouping import test_groups
from jointmap.sections.joining import is_last_of
from jointmap.sections.looking import Look, look
from jointmap.sections.paths import APART
from jointmap.sections.places import BAD, DEVICE_ONLY, GOOD, HALF, UNTOLD
from jointmap.sections.suspects import Suspects, find_suspects

# Where no evidence is handed in, credit goes as far as a site's reach goes by default.
REACH_METRE = 50.0

VERDICT_OF_BOUNDARY_REASON: dict[str, Verdict] = {
    "boundary_state.isolating": Verdict.ISOLATING,
    "boundary_state.devices_good": Verdict.ISOLATING,
    "boundary_state.paths_not_known": Verdict.INCONCLUSIVE,
    "boundary_state.part_not_tested": Verdict.INCONCLUSIVE,
    "boundary_state.doubtful": Verdict.DOUBTFUL,
    "boundary_state.shorted": Verdict.SHORTED,
    "boundary_state.cause_found": Verdict.SHORTED,
    "boundary_state.joined_on_purpose": Verdict.INCONCLUSIVE,
    "boundary_state.not_decided": Verdict.INCONCLUSIVE,
    "boundary_state.not_tested": Verdict.NOT_TESTED,
    "boundary_state.bond_on_record": Verdict.INCONCLUSIVE,
}
BOUNDARY_REASONS: tuple[str, ...] = tuple(VERDICT_OF_BOUNDARY_REASON)
BOND_ON_RECORD = BOUNDARY_REASONS.index("boundary_state.bond_on_record")
_VERDICTS = np.array([v.code for v in VERDICT_OF_BOUNDARY_REASON.values()], np.int16)


@dataclass(frozen=True, slots=True)
class BoundaryStates(Table):
    """One row per boundary, in their order."""

    boundary_id: Ids
    structure_a_id: Ids
    structure_b_id: Ids
    state: Codes  # place in Verdict
    reason: Codes  # place in BOUNDARY_REASONS
    joined_on_purpose: Flags
    test_row: Ids  # the test it rests on; -1 none, or the record of a path
    last_good_on: Days  # at the place that speaks
    first_bad_on: Days  # after it
    suspects: Ids  # not ruled out; where the cause was found, only that
    cause_found: Flags


def boundary_states(  # noqa: PLR0913
    boundaries: BoundaryColumns,
    joints: JointColumns,
    paths: PathColumns,
    tests: TestColumns,
    judgements: Judgements,
    on: np.datetime64,
    *,
    seen: EvidenceColumns | None = None,
) -> BoundaryStates:
    """Return the state of every boundary by the tests up to ``on``.

    A boundary is `isolating` where every place on it is: a good reading does not clear
    a place that it does not reach. One bad place, or one path that joins, makes it
    `shorted` and condemns no joint. A bond that is on record as joining and a good
    reading contradict each other: neither is claimed. ``seen`` is the evidence made
    with the site's reach; without it the default reach is taken.
    """
    judged = (judgements, _given(seen, joints, tests, judgements))
    return told(look(boundaries, joints, paths, tests, judged, on))[0]


def suspects(  # noqa: PLR0913
    boundaries: BoundaryColumns,
    joints: JointColumns,
    paths: PathColumns,
    tests: TestColumns,
    judgements: Judgements,
    on: np.datetime64,
    *,
    seen: EvidenceColumns | None = None,
) -> Suspects:
    """Return every device and parallel path that may join a shorted boundary."""
    judged = (judgements, _given(seen, joints, tests, judgements))
    return told(look(boundaries, joints, paths, tests, judged, on))[1]


def told(site: Look) -> tuple[BoundaryStates, Suspects]:
    """Return boundary states with their suspects counted, and the suspects."""
    states = _states(site)
    found = find_suspects(
        site,
        states.state == Verdict.SHORTED,
        states.joined_on_purpose,
        states.first_bad_on,
    )
    row = row_of(states.boundary_id, found.boundary_id)
    caused = np.isin(np.arange(len(states)), row[found.is_cause])
    counted = found.is_cause | (~found.ruled_out & ~caused[row])
    number = np.bincount(row[counted], minlength=len(states)).astype(np.int64)
    reason = np.where(caused, _code("boundary_state.cause_found"), states.reason)
    return replace(
        states, reason=reason.astype(np.int16), suspects=number, cause_found=caused
    ), found


def _given(
    seen: EvidenceColumns | None,
    joints: JointColumns,
    tests: TestColumns,
    judgements: Judgements,
) -> EvidenceColumns:
    if seen is not None:
        return seen
    groups = test_groups(joints, REACH_METRE)
    return evidence(joints, tests, judgements, groups, REACH_METRE)


def _states(site: Look) -> BoundaryStates:
    boundaries, count = site.boundaries, len(site.boundaries)
    speaker, best = _speakers(site)
    state = site.places.state[speaker]
    shorted = np.isin(np.arange(count), site.path_boundary[site.path_shorts])
    first_bad = np.fmin(site.places.first_bad_on[speaker], _paths_since(site))
    row = np.where(shorted & (state != BAD), NO_ROW, site.places.row[speaker])
    state = np.where(shorted, BAD, state)
    joined = (boundaries.joined_from_on <= site.on) & ~(
        boundaries.joined_until_on < site.on
    )
    reason = _reasons(site, state, best, joined)
    return BoundaryStates(
        boundaries.boundary_id,
        boundaries.structure_a_id,
        boundaries.structure_b_id,
        _VERDICTS[reason],
        reason,
        joined,
        row,
        site.places.last_good_on[speaker],
        np.where(state == BAD, first_bad, NO_DAY),
        np.zeros(count, np.int64),
        np.zeros(count, np.bool_),
    )


def _speakers(site: Look) -> tuple[Ids, Codes]:
    """Return the place that speaks for each boundary, the worst, and the best state."""
    told_ = site.places
    rows = np.flatnonzero(told_.boundary >= 0)
    since = np.where(told_.state == BAD, told_.first_bad_on, told_.last_good_on)
    keys = (since, told_.state, told_.boundary)
    order = rows[np.lexsort([k[rows] for k in keys])]
    # Read backwards, the last of each boundary is its worst place.
    worst = order[::-1][is_last_of(told_.boundary[order[::-1]])][::-1]
    best = order[is_last_of(told_.boundary[order])]
    return worst, told_.state[best]


def _paths_since(site: Look) -> Days:
    since = np.full(len(site.boundaries), NO_DAY)
    rows = np.flatnonzero(site.path_shorts & (site.path_boundary >= 0))
    order = rows[np.argsort(site.paths_now.known_on[rows], kind="stable")[::-1]]
    since[site.path_boundary[order]] = site.paths_now.known_on[order]
    return since


def _reasons(site: Look, state: Codes, best: Codes, joined: Flags) -> Codes:
    rows = np.arange(len(state))
    there = site.paths_now.is_there & (site.paths_now.state != APART)
    open_path = np.isin(rows, site.path_boundary[there])
    of_tests = row_of(site.boundaries.boundary_id, boundary_of(site.joints, site.tests))
    tried = site.judgements.shows == Verdict.INCONCLUSIVE
    seen = np.isin(rows, of_tests[tried])
    bonded = np.isin(rows, site.path_boundary[site.path_bonds])
    cases = [
        (joined, "joined_on_purpose"),
        (state == BAD, "shorted"),
        (state == HALF, "doubtful"),
        ((state == GOOD) & bonded, "bond_on_record"),
        (state == GOOD, "isolating"),
        ((state == DEVICE_ONLY) & open_path, "paths_not_known"),
        (state == DEVICE_ONLY, "devices_good"),
        (best > UNTOLD, "part_not_tested"),
        (seen, "not_decided"),
    ]
    codes = [np.int16(_code(f"boundary_state.{name}")) for _, name in cases]
    otherwise = np.int16(_code("boundary_state.not_tested"))
    return np.select([mask for mask, _ in cases], codes, otherwise)


def _code(reason: str) -> int:
    return BOUNDARY_REASONS.index(reason)
