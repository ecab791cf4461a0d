"""One state of the register judged for one day: verdicts, boundaries, due dates."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from jointmap.acceptance import Judgements, StudStates, stud_states
from jointmap.due_list import build
from jointmap.intervals import (
    Candidates,
    DueItems,
    HistoryColumns,
    SubjectColumns,
    TriggerColumns,
    citation,
)
from jointmap.register import Rule
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
from jointmap.storage import Reading
from jointmap.workflows.columns import Ground, read_ground
from jointmap.workflows.repairs import not_proved, repaired
from jointmap.workflows.risk_in_force import read_risk
from jointmap.workflows.subjects import read_history, read_subjects
from jointmap.workflows.tests_as_columns import judged_tests
from jointmap.workflows.triggers import read_triggers

if TYPE_CHECKING:
    from jointmap.workflows.risk import SiteRisk


@dataclass(frozen=True, slots=True)
class Assessment:
    """Everything that follows from the records for one day; nothing of it is stored."""

    state: Reading
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
    history: HistoryColumns
    triggers: TriggerColumns
    items: DueItems
    candidates: Candidates
    sources: Mapping[int, str]
    risk: "SiteRisk | None"


def assess(state: Reading, on: dt.date) -> Assessment:
    """Judge every test up to ``on`` and reckon every next date."""
    day = np.datetime64(on, "D")
    ground = read_ground(state, day)
    tests, judgements = judged_tests(state, ground)
    groups = test_groups(ground.joints, ground.site.reach_metre)
    seen = evidence(ground.joints, tests, judgements, groups, ground.site.reach_metre)
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
    history = read_history(ground, tests, judgements, seen)
    repaired_on = repaired(state, ground)
    not_proved_on = not_proved(ground, seen, tests, repaired_on)
    triggers = read_triggers(state, ground, studs, not_proved_on)
    risk = read_risk(state, ground, tests, judgements, subjects, history)
    items, candidates = build(
        subjects,
        history,
        triggers,
        ground.rules,
        on,
        ground.site.margin_days,
        ground.site.near_limit_days,
        risk.candidates if risk else None,
    )
    rules = state.records(Rule)
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
        joint_states(
            ground.joints,
            tests,
            seen,
            bounds,
            suspected,
            day,
            repaired_on=repaired_on,
        ),
        repaired_on,
        not_proved_on,
        subjects,
        history,
        triggers,
        items,
        candidates,
        {**_citations(rules), 0: risk.source if risk else ""},
        risk,
    )


def _citations(rules: Mapping[int, Rule]) -> dict[int, str]:
    return {id_: citation(rule) for id_, rule in rules.items()}
