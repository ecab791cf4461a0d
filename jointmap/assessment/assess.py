"""One state of the register judged for one day: verdicts, boundaries, due dates."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from jointmap.acceptance import Judgements, StudStates, stud_states
from jointmap.assessment.blocks import blocks
from jointmap.assessment.reckoning import model_now, reckoned
from jointmap.assessment.subjects import read_history, read_subjects
from jointmap.due_list import build_on
from jointmap.intervals import (
    Candidates,
    CountingTests,
    DueItems,
    HistoryColumns,
    SubjectColumns,
    TriggerColumns,
    citation,
    counting_tests,
    stack,
)
from jointmap.register import Joint, Rule
from jointmap.register.columns import Days, Ids, TestColumns
from jointmap.sections import (
    BoundaryStates,
    EvidenceColumns,
    JointStates,
    Suspects,
    boundary_states,
    evidence,
    joint_states,
    suspects,
    test_groups,
)
from jointmap.snapshot.repairs import not_proved, repaired
from jointmap.snapshot.site_columns import Ground, read_ground
from jointmap.snapshot.snapshot import Snapshot
from jointmap.snapshot.tests_as_columns import judged_tests
from jointmap.snapshot.triggers import read_triggers

if TYPE_CHECKING:
    from jointmap.assessment.risk import SiteRisk


@dataclass(frozen=True, slots=True)
class Assessment:
    """Everything that follows from the records for one day; nothing of it is stored."""

    state: Snapshot
    on: dt.date
    ground: Ground
    tests: TestColumns
    judgements: Judgements
    groups: Ids
    studs: StudStates
    evidence: EvidenceColumns
    boundaries: BoundaryStates
    suspects: Suspects
    joints: JointStates
    repaired_on: Days  # per joint, as recorded
    not_proved_on: Days  # the same, where no test has proved it
    subjects: SubjectColumns
    triggers: TriggerColumns
    items: DueItems
    candidates: Candidates
    sources: Mapping[int, str]
    risk: "SiteRisk | None"

    @property
    def history(self) -> HistoryColumns:
        """What was seen of each subject; made anew, for it is as large as the tests."""
        return read_history(
            self.ground, self.subjects, self.tests, self.judgements, self.evidence
        )

    @property
    def counting(self) -> CountingTests:
        """The tests of the history that count."""
        return counting_tests(self.subjects, self.history, self.ground.on)


def assess(state: Snapshot, on: dt.date) -> Assessment:
    """Judge every test up to ``on`` and reckon every next date."""
    day = np.datetime64(on, "D")
    ground = read_ground(state, day)
    tests, judgements = judged_tests(state, ground)
    groups = test_groups(ground.joints, ground.site.reach_metre)
    seen = evidence(
        ground.joints,
        tests,
        judgements,
        groups,
        ground.site.reach_metre,
        ground.past.of(Joint, "boundary_id"),
    )
    bounds = boundary_states(
        ground.boundaries,
        ground.joints,
        ground.paths,
        tests,
        judgements,
        day,
        seen=seen,
    )
    suspected = suspects(
        ground.boundaries,
        ground.joints,
        ground.paths,
        tests,
        judgements,
        day,
        seen=seen,
    )
    studs = stud_states(tests, judgements, ground.joints)
    subjects = read_subjects(ground)
    parts = list(blocks(ground, seen))
    repaired_on = repaired(state, ground)
    not_proved_on = np.concatenate(
        [not_proved(p.ground, p.seen, tests, repaired_on[p.rows]) for p in parts]
    )
    triggers = read_triggers(state, ground, studs, not_proved_on)
    model = model_now(state, ground)
    footing, risk, learned = reckoned(
        ground, tests, judgements, parts, subjects, triggers, model
    )
    items, candidates = build_on(
        subjects,
        footing,
        ground.rules,
        on,
        ground.site.margin_days,
        ground.site.near_limit_days,
        learned,
    )
    del footing, learned  # large, and of no more use
    rules = state.rules
    return Assessment(
        state,
        on,
        ground,
        tests,
        judgements,
        groups,
        studs,
        seen,
        bounds,
        suspected,
        stack(
            [
                joint_states(
                    part.ground.joints,
                    tests,
                    part.seen,
                    bounds,
                    suspected,
                    day,
                    repaired_on=repaired_on[part.rows],
                )
                for part in parts
            ]
        ),
        repaired_on,
        not_proved_on,
        subjects,
        triggers,
        items,
        candidates,
        {**_citations(rules), 0: risk.source if risk else ""},
        risk,
    )


def _citations(rules: Mapping[int, Rule]) -> dict[int, str]:
    return {id_: citation(rule) for id_, rule in rules.items()}
