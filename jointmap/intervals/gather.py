"""All candidates that rules give, in one table."""

import numpy as np

from jointmap.intervals.candidates import Candidates, no_candidates
from jointmap.intervals.condition import from_condition, from_occurrences, not_restored
from jointmap.intervals.facts import (
    CountingTests,
    SubjectColumns,
    TriggerColumns,
    stack,
)
from jointmap.intervals.idle import before_next_use
from jointmap.intervals.limits import from_limits
from jointmap.intervals.rules import in_order, refuse_unsound
from jointmap.intervals.standing import raised_on, standing_of
from jointmap.intervals.tenth import by_tenths
from jointmap.register.columns import RuleColumns


def candidates(
    subjects: SubjectColumns,
    tests: CountingTests,
    triggers: TriggerColumns,
    rules: RuleColumns,
    on: np.datetime64,
    learned: Candidates | None = None,
) -> Candidates:
    """Return every date that a rule in force asks for, subject by subject.

    Parameters
    ----------
    subjects
        Whom it is about; the result's ``row`` is a place in here.
    tests
        From ``counting_tests`` of the same subjects and day.
    triggers
        Facts and occurrences; bad results are found in ``tests`` and need no row.
    rules
        In force on ``on``.
    on
        The day asked about; what happened later is not looked at.
    learned
        Dates by risk and trend, which come after those of the rules.

    Raises
    ------
    Refused
        A rule lacks a number, or would lengthen an interval.
    """
    refuse_unsound(rules)
    rules = in_order(rules)
    standing = standing_of(subjects, tests)
    raised = raised_on(subjects, tests, triggers, on)
    active = raised.take(not_restored(raised, tests, len(subjects), rules))
    return stack(
        [
            no_candidates(),
            *from_limits(subjects, standing, rules),
            *by_tenths(subjects, standing, rules, on),
            *before_next_use(subjects, standing, raised, rules, on),
            *from_condition(subjects, standing, active, rules),
            *from_occurrences(subjects, standing, raised, rules),
            *([] if learned is None else [learned]),
        ]
    )
