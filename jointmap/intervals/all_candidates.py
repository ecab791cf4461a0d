"""All candidates that rules give, in one table."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jointmap.intervals.candidates import Candidates, no_candidates
from jointmap.intervals.condition import from_condition, from_occurrences, not_restored
from jointmap.intervals.counted_limits import from_limits
from jointmap.intervals.facts import (
    CountingTests,
    SubjectColumns,
    TriggerColumns,
    refuse_twice,
    stack,
)
from jointmap.intervals.idle import before_next_use
from jointmap.intervals.rules import in_order, refuse_unsound
from jointmap.intervals.standing import Raised, Standing, raised_on, standing_of
from jointmap.intervals.tenth import by_tenths
from jointmap.register.columns import RuleColumns


@dataclass(frozen=True, slots=True)
class Footing:
    """What the tests of some subjects come to: all that their dates are made from."""

    standing: Standing  # one row per subject
    raised: Raised
    active: Raised  # of the raised, what still shortens


def footing(
    subjects: SubjectColumns,
    tests: CountingTests,
    triggers: TriggerColumns,
    rules: RuleColumns,
    on: np.datetime64,
) -> Footing:
    """Return the footing of ``subjects``.

    Parameters
    ----------
    tests
        From ``counting_tests`` of the same subjects and day.
    triggers
        Facts and occurrences; bad results are found in ``tests`` and need no row.
    rules
        In force on ``on``.
    on
        The day asked about; what happened later is not looked at.
    """
    rules = in_order(rules)
    raised = raised_on(subjects, tests, triggers, on)
    active = raised.take(not_restored(raised, tests, len(subjects), rules))
    return Footing(standing_of(subjects, tests), raised, active)


def joined(parts: Sequence[Footing]) -> Footing:
    """Return the footing of subjects that stand one part after the other."""
    sizes = [len(part.standing) for part in parts]
    starts = np.cumsum([0, *sizes[:-1]])
    moved = [
        [replace(t, row=t.row + start) for t in (part.raised, part.active)]
        for part, start in zip(parts, starts, strict=True)
    ]
    raised, active = (stack(list(tables)) for tables in zip(*moved, strict=True))
    return Footing(stack([part.standing for part in parts]), raised, active)


def candidates(
    subjects: SubjectColumns,
    seen: Footing,
    rules: RuleColumns,
    on: np.datetime64,
    learned: Candidates | None = None,
) -> Candidates:
    """Return every date that a rule in force asks for, subject by subject.

    Parameters
    ----------
    subjects
        Whom it is about; the result's ``row`` is a place in here.
    seen
        Of the same subjects, rules and day.
    learned
        Dates by risk and trend, which come after those of the rules.

    Raises
    ------
    Refused
        A subject in two rows; a rule that lacks a number or would lengthen an interval.
    """
    refuse_twice(subjects)
    refuse_unsound(rules)
    rules = in_order(rules)
    standing = seen.standing
    return stack(
        [
            no_candidates(),
            *from_limits(subjects, standing, rules),
            *by_tenths(subjects, standing, rules, on),
            *before_next_use(subjects, standing, seen.raised, rules, on),
            *from_condition(subjects, standing, seen.active, rules),
            *from_occurrences(subjects, standing, seen.raised, rules),
            *([] if learned is None else [learned]),
        ]
    )
