"""What clocks after a bad result count from besides the result itself."""

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.assessment.assess import Assessment
from jointmap.assessment.limits.deferrals import subjects_named
from jointmap.intervals import SubjectColumns
from jointmap.register import Decision
from jointmap.register.codes import Basis, DecisionKind, Subject
from jointmap.register.columns import Days
from jointmap.register.joining import row_of
from jointmap.snapshot.gather import pick

Array = npt.NDArray[Any]
NO_DAY = np.datetime64("NaT", "D")
_JOINT, _BOUNDARY = Subject.JOINT.code, Subject.BOUNDARY.code


def before_next_test(
    found: Assessment, subjects: SubjectColumns, since_on: Days
) -> Days:
    """Return the day before the next test that law requires, after each bad result.

    Of a boundary: of any joint on it, or of itself where it has none.
    """
    own = found.candidates.take(found.candidates.basis == Basis.LAW)
    subject, id_ = (
        values[own.row]
        for values in (found.subjects.subject, found.subjects.subject_id)
    )
    joints = found.ground.joints
    at = row_of(joints.joint_id, np.where(subject == _JOINT, id_, 0))
    boundary = np.where(subject == _BOUNDARY, id_, pick(joints.boundary_id, at, 0))
    rows = [
        _row_in(subjects, _BOUNDARY, boundary),
        _row_in(subjects, _JOINT, np.where(subject == _JOINT, id_, 0)),
    ]
    row, day = np.concatenate(rows), np.tile(own.last_allowed_on, len(rows))
    asked = (row >= 0) & (day > np.append(since_on, NO_DAY)[row])
    far = np.datetime64("9999-12-31", "D")
    next_on = np.full(len(subjects), far)
    np.minimum.at(next_on, row[asked], day[asked])
    return np.where(next_on == far, NO_DAY, next_on - np.timedelta64(1, "D"))


def _row_in(subjects: SubjectColumns, subject: int, ids: Array) -> Array:
    own = np.where(subjects.subject == subject, subjects.subject_id, 0)
    return row_of(own, ids)


def permits(found: Assessment, subjects: SubjectColumns, since_on: Days) -> Days:
    """Return the day of the last permit received since each bad result."""
    days = np.full(len(subjects), NO_DAY)
    for row, decision in _since(
        found, subjects, since_on, DecisionKind.PERMIT_RECEIVED
    ):
        days[row] = np.fmax(days[row], np.datetime64(decision.decided_on, "D"))
    return days


def plans(
    found: Assessment, subjects: SubjectColumns, since_on: Days
) -> Mapping[int, Decision]:
    """Return the first remedial plan since each bad result, by the subject's row."""
    kept: dict[int, Decision] = {}
    for row, decision in _since(found, subjects, since_on, DecisionKind.REMEDIAL_PLAN):
        known = kept.setdefault(row, decision)
        kept[row] = min(known, decision, key=lambda d: d.decided_on)
    return kept


def _since(
    found: Assessment, subjects: SubjectColumns, since_on: Days, kind: DecisionKind
) -> Iterator[tuple[int, Decision]]:
    """Yield the decisions of a kind about subjects that were bad by then."""
    asked = [
        d
        for d in found.state.decisions.values()
        if d.kind is kind and d.decided_on <= found.on
    ]
    if not asked:
        return
    names = subjects_named(found)
    for decision in asked:
        key = decision.subject_key.strip().lower()
        for subject in (Subject.BOUNDARY, Subject.JOINT):
            code, own = names.get((subject, key), (subject.code, 0))
            row = int(_row_in(subjects, code, np.array([own], np.int64))[0])
            if row >= 0 and since_on[row] <= np.datetime64(decision.decided_on, "D"):
                yield row, decision
