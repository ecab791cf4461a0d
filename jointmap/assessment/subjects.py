"""What may be due, and what was seen of it, as columns."""

from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.acceptance import Judgements
from jointmap.intervals import (
    HistoryColumns,
    SubjectColumns,
    refuses_credit,
    stack,
)
from jointmap.intervals.tenth import MOST_LENGTH_METRE
from jointmap.register.codes import (
    JointState,
    Outcome,
    Scope,
    StructureKind,
    Subject,
    Verdict,
)
from jointmap.register.columns import Codes, Ids, RuleColumns, TestColumns
from jointmap.register.joining import row_of
from jointmap.register.paper_states import lets_count
from jointmap.sections import EvidenceColumns
from jointmap.snapshot.gather import pick
from jointmap.snapshot.site_columns import NO_DAY, Ground

Array = npt.NDArray[Any]


def read_subjects(ground: Ground) -> SubjectColumns:
    """Return joints, parallel paths, boundaries without joints, and sources."""
    return stack([_joints(ground), _paths(ground), _bare(ground), _sources(ground)])


def _joints(ground: Ground) -> SubjectColumns:
    joints = ground.joints
    starts = np.where(np.isnat(joints.in_duty_on), joints.fitted_on, joints.in_duty_on)
    return _subjects(
        Subject.JOINT,
        joints.joint_id,
        purpose=joints.purpose,
        severity=joints.severity,
        structure_kind_a=joints.structure_kind_a,
        structure_kind_b=joints.structure_kind_b,
        is_protected=joints.is_protected,
        starts_on=starts,
        is_active=(joints.state == JointState.IN_DUTY) & ~_joined(ground),
        section=_section_of(ground, joints.boundary_id),
        area=_codes_of(ground.joint_facts.area),
    )


def _codes_of(words: Array) -> Array:
    texts = words.tolist()
    place = {word: n for n, word in enumerate(sorted(set(texts)))}
    return np.fromiter((place[word] for word in texts), np.int16)


def _section_of(ground: Ground, boundary_id: Array) -> Array:
    """Return the short or service-line section on either side, protected by itself.

    0 where neither side is one; longer lines are surveyed each year like any other.
    """
    structures, bounds = ground.structures, ground.boundaries
    own = structures.is_separate & structures.is_protected
    own &= (structures.kind == StructureKind.SERVICE_LINE) | (
        structures.length_metre <= MOST_LENGTH_METRE
    )
    rows = row_of(bounds.boundary_id, boundary_id)
    found = np.zeros(len(boundary_id), np.int64)
    for side in (bounds.structure_b_id, bounds.structure_a_id):
        structure = pick(side, rows, 0)
        has = pick(own, row_of(structures.id, structure), False)
        found = np.where(has, structure, found)
    return found


def _joined(ground: Ground) -> Array:
    """Return which joints stand on a boundary that is joined on purpose today.

    They isolate nothing by permission; the bond has a check of its own.
    """
    joined: Array = np.isin(ground.joints.boundary_id, joined_now(ground))
    return joined


def joined_now(ground: Ground) -> Ids:
    """Return the boundaries that are joined on purpose today, by permission."""
    bounds = ground.boundaries
    started = bounds.joined_from_on <= ground.on
    ended = bounds.joined_until_on < ground.on
    own: Ids = bounds.boundary_id[started & ~ended]
    return own


def _paths(ground: Ground) -> SubjectColumns:
    paths = ground.paths
    rows = row_of(ground.boundaries.boundary_id, paths.boundary_id)
    gone = paths.removed_on <= ground.on
    later = paths.fitted_on > ground.on
    kinds = _kinds_of(ground, rows)
    return _subjects(
        Subject.PATH,
        paths.path_id,
        purpose=pick(ground.boundaries.purpose, rows, -1),
        structure_kind_a=kinds[0],
        structure_kind_b=kinds[1],
        path_kind=paths.kind,
        is_critical=paths.is_critical,
        is_protected=pick(ground.boundaries.is_protected, rows, False),
        starts_on=np.fmax(paths.fitted_on, paths.checked_on),
        is_active=~gone & ~later,
    )


def _bare(ground: Ground) -> SubjectColumns:
    """Boundaries that no joint stands on; the others are seen through their joints."""
    bounds = ground.boundaries
    rows = np.arange(len(bounds))
    kinds = _kinds_of(ground, rows)
    return _subjects(
        Subject.BOUNDARY,
        bounds.boundary_id,
        purpose=bounds.purpose,
        structure_kind_a=kinds[0],
        structure_kind_b=kinds[1],
        is_protected=bounds.is_protected,
        is_active=~np.isin(bounds.boundary_id, ground.joints.boundary_id),
        section=_section_of(ground, bounds.boundary_id),
    )


def boundary_of(ground: Ground, subject: Codes, subject_id: Ids) -> Ids:
    """Return the boundary that each subject is, or stands on; 0 of a source."""
    joint, path, own = (
        np.where(subject == kind.code, subject_id, 0)
        for kind in (Subject.JOINT, Subject.PATH, Subject.BOUNDARY)
    )
    rows = row_of(ground.joints.joint_id, joint)
    found: Ids = np.maximum(own, pick(ground.joints.boundary_id, rows, 0))
    rows = row_of(ground.paths.path_id, path)
    return np.maximum(found, pick(ground.paths.boundary_id, rows, 0))


def every_boundary(ground: Ground) -> SubjectColumns:
    """Return all boundaries, with and without joints, as rules of clocks see them."""
    found = _bare(ground)
    return replace(found, is_active=np.ones(len(found), dtype=bool))


def _sources(ground: Ground) -> SubjectColumns:
    rows = row_of(ground.structures.id, ground.sources.structure_id)
    ids = ground.sources.id
    return _subjects(
        Subject.SOURCE,
        ids,
        structure_kind_a=pick(ground.structures.kind, rows, -1),
        is_protected=np.ones(len(ids), dtype=bool),
        is_active=np.ones(len(ids), dtype=bool),
    )


def _kinds_of(ground: Ground, rows: Array) -> list[Array]:
    bounds, structures = ground.boundaries, ground.structures
    sides = (bounds.structure_a_id, bounds.structure_b_id)
    return [
        pick(structures.kind, row_of(structures.id, pick(side, rows, 0)), -1)
        for side in sides
    ]


def _subjects(subject: Subject, ids: Array, **given: Array) -> SubjectColumns:
    count = len(ids)
    code = np.full(count, -1, dtype=np.int16)
    blank: dict[str, Array] = {
        "purpose": code,
        "severity": code,
        "structure_kind_a": code,
        "structure_kind_b": code,
        "path_kind": code,
        "is_critical": np.zeros(count, dtype=bool),
        "is_protected": np.zeros(count, dtype=bool),
        "starts_on": np.full(count, NO_DAY),
        "section": np.zeros(count, dtype=np.int64),
        "area": np.zeros(count, dtype=np.int16),
    }
    own = np.full(count, subject.code, dtype=np.int16)
    return SubjectColumns(subject=own, subject_id=ids, **{**blank, **given})


def read_history(
    ground: Ground,
    subjects: SubjectColumns,
    tests: TestColumns,
    judgements: Judgements,
    seen: EvidenceColumns,
) -> HistoryColumns:
    """Return what was seen of each subject: joints by evidence, others by own tests."""
    joints = joint_history(subjects, ground.rules, judgements, seen)
    return stack([joints, other_history(tests, judgements)])


def joint_history(
    subjects: SubjectColumns,
    rules: RuleColumns,
    judgements: Judgements,
    seen: EvidenceColumns,
) -> HistoryColumns:
    """Return what was seen of joints, which are among ``subjects``."""
    # A bad boundary test was made all the same: it moves the date of those it was read
    # for, as a bad result of the boundary and not of the device.
    bad = ~seen.of_device & (judgements.verdict[seen.row] == Verdict.SHORTED)
    bad &= judgements.counts[seen.row]
    return HistoryColumns(
        np.full(len(seen), Subject.JOINT.code, dtype=np.int16),
        seen.joint_id,
        seen.test_id,
        seen.tested_on,
        np.where(bad, np.int16(Verdict.SHORTED.code), seen.verdict),
        (seen.counts | bad) & ~_refused(subjects, rules, seen),
        seen.credited | bad,
    )


def other_history(tests: TestColumns, judgements: Judgements) -> HistoryColumns:
    """Return what was seen of paths, boundaries and sources by their own tests."""
    return stack(
        [
            _own(Subject.PATH, Scope.PATH, tests.path_id, tests, judgements),
            _own(
                Subject.BOUNDARY, Scope.BOUNDARY, tests.boundary_id, tests, judgements
            ),
            _readings(tests),
        ]
    )


def _refused(
    subjects: SubjectColumns, rules: RuleColumns, seen: EvidenceColumns
) -> Array:
    """Return the credited tests that the owner's rule does not count for the device."""
    joints = subjects.take(subjects.subject == Subject.JOINT)
    refusing = joints.subject_id[refuses_credit(joints, rules)]
    refused: Array = seen.credited & np.isin(seen.joint_id, refusing)
    return refused


def _readings(tests: TestColumns) -> HistoryColumns:
    """Return the readings of sources: taken is what counts, there is no verdict."""
    measured = tests.outcome == Outcome.MEASURED
    rows = np.flatnonzero((tests.source_id > 0) & measured)
    count = len(rows)
    return HistoryColumns(
        np.full(count, Subject.SOURCE.code, dtype=np.int16),
        tests.source_id[rows],
        tests.test_id[rows],
        tests.tested_on[rows],
        np.full(count, Verdict.ISOLATING.code, dtype=np.int16),
        lets_count(tests.person_paper[rows]) & lets_count(tests.instrument_paper[rows]),
        np.zeros(count, dtype=bool),
    )


def _own(
    subject: Subject,
    scope: Scope,
    ids: Array,
    tests: TestColumns,
    judgements: Judgements,
) -> HistoryColumns:
    rows = np.flatnonzero((tests.scope == scope.code) & (ids > 0))
    return HistoryColumns(
        np.full(len(rows), subject.code, dtype=np.int16),
        ids[rows],
        tests.test_id[rows],
        tests.tested_on[rows],
        judgements.verdict[rows],
        judgements.counts[rows],
        np.zeros(len(rows), dtype=bool),
    )
