"""When a bad or undecided result must be decided, planned for and put right."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.acceptance import REASONS
from jointmap.assessment.assess import Assessment
from jointmap.assessment.clock_starts import before_next_test, permits, plans
from jointmap.assessment.subjects import every_boundary
from jointmap.intervals import (
    CLOCK_SHAPES,
    NEXT_REQUIRED_TEST,
    PERMIT_RECEIVED,
    Clocks,
    SubjectColumns,
    clocks,
    stack,
    trigger_code,
)
from jointmap.register import Decision
from jointmap.register.codes import Subject, Verdict
from jointmap.register.joining import row_of
from jointmap.register.rule_codes import SIDE_LOST, RuleShape
from jointmap.snapshot.feeds import listed, sources_now

Array = npt.NDArray[Any]
# By source: each day on which it was read, with the current it gave.
Outputs = Mapping[int, Sequence[tuple[dt.date, float | None]]]
NO_DAY = np.datetime64("NaT", "D")
_SHORTED, _HALF = Verdict.SHORTED.code, Verdict.DOUBTFUL.code
_SMALL = REASONS.index("verdict.shift_small")
# A source that gives less than this of its usual current explains a small shift.
USUAL_SHARE = 0.8
_NEAR_DAYS = 62


@dataclass(frozen=True, slots=True)
class Running:
    """The clocks of boundaries and joints, and the subjects their rows point at."""

    subjects: SubjectColumns
    clocks: Clocks
    planned: Mapping[int, Decision]  # by subject's row: the plan made since

    def met_by(self, n: int) -> Decision | None:
        """Return the plan that met clock ``n``: to plan is to have decided."""
        fix = self.clocks.shape[n] == RuleShape.FIX_BY
        return None if fix else self.planned.get(int(self.clocks.row[n]))


def running(found: Assessment) -> Running:
    """Return every clock that runs on the day of ``found``."""
    bounds = every_boundary(found.ground)
    joints = found.subjects.take(found.subjects.subject == Subject.JOINT)
    subjects = stack([bounds, joints])
    decide = np.concatenate([_decide_boundaries(found), _joint_days(found, _HALF)])
    bad_b = np.where(_is_bad(found), found.boundaries.first_bad_on, NO_DAY)
    bad = np.concatenate([bad_b, _joint_days(found, _SHORTED)])
    started = {RuleShape.DECIDE_BY: decide}
    started |= {shape: bad for shape in CLOCK_SHAPES if shape not in started}
    lost = np.concatenate([np.full(len(bounds), NO_DAY), _side_lost(found, joints)])
    since = np.fmin(np.fmin(decide, bad), lost)
    counted_from = {
        NEXT_REQUIRED_TEST: before_next_test(found, subjects, since),
        PERMIT_RECEIVED: permits(found, subjects, since),
    }
    found_clocks = clocks(
        subjects, found.ground.rules, started, counted_from, {SIDE_LOST: lost}
    )
    return Running(subjects, found_clocks, plans(found, subjects, since))


def _is_bad(found: Assessment) -> Array:
    states = found.boundaries
    bad: Array = (states.state == _SHORTED) & ~states.joined_on_purpose
    return bad


def _decide_boundaries(found: Assessment) -> Array:
    """Return since when: no cause found, a doubtful reading, a near shift gone."""
    states = found.boundaries
    day = np.append(found.tests.tested_on, NO_DAY)[states.test_row]
    open_ = _is_bad(found) & ~states.cause_found
    return np.select(
        [open_, states.state == _HALF, ~_is_bad(found)],
        [states.first_bad_on, day, _draining(found)],
        NO_DAY,
    )


def _side_lost(found: Assessment, joints: SubjectColumns) -> Array:
    """Return since when each joint has a stud with a side lost, as its trigger says."""
    own = found.triggers.take(found.triggers.trigger == trigger_code(SIDE_LOST))
    days = np.full(len(joints), NO_DAY)
    days[row_of(joints.subject_id, own.subject_id)] = own.since_on
    return days


def _draining(found: Assessment) -> Array:
    """Return since when the near shift of a boundary that passed before is too small.

    The source gave its usual current, as far as its readings tell: then the current may
    be draining somewhere.
    """
    tests, states = found.tests, found.boundaries
    since = np.full(len(states), NO_DAY)
    small = np.flatnonzero(found.judgements.reason == _SMALL)[::-1].tolist()
    now = sources_now(found.state) if small else {}
    read = _outputs(found) if small else {}
    for test in small:
        row = int(row_of(states.boundary_id, tests.boundary_id[[test]])[0])
        passed = row >= 0 and states.last_good_on[row] < tests.tested_on[test]
        if passed and _source_is_usual(found, test, now, read):
            since[row] = tests.tested_on[test]
    return since


def _source_is_usual(
    found: Assessment, row: int, now: Mapping[str, str], read: Outputs
) -> bool:
    record = found.state.tests[int(found.tests.test_id[row])]
    cycling = {now.get(name, name) for name in listed(record.sources_cycling)}
    for id_, source in found.state.sources.items():
        given = _output(read.get(id_, ()), record.tested_on)
        usual = source.usual_current_ampere
        if source.name in cycling and usual and given is not None:
            return given >= USUAL_SHARE * usual
    return True


def _outputs(found: Assessment) -> Outputs:
    """Return the days on which each source was read, with the current it gave."""
    outputs: dict[int, list[tuple[dt.date, float | None]]] = {}
    for test in found.state.tests.values():
        if test.source_id:
            given = test.tested_on, test.test_current_ampere
            outputs.setdefault(test.source_id, []).append(given)
    return outputs


def _output(read: Sequence[tuple[dt.date, float | None]], on: dt.date) -> float | None:
    """Return the output of a source that was last read not long before a day."""
    near = [given for given in read if 0 <= (on - given[0]).days <= _NEAR_DAYS]
    return max(near)[1] if near else None


def _joint_days(found: Assessment, verdict: int) -> Array:
    """Return since when each joint is ``verdict`` by tests of its own device."""
    states = found.joints
    tells = np.append(found.judgements.tells_device, np.False_)[states.test_row]
    return np.where((states.verdict == verdict) & tells, states.since_on, NO_DAY)
