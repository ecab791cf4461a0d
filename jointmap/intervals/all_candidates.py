"""All candidates that rules give, in one table."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import chain

import numpy as np

from jointmap.intervals.candidates import FROM_RULE, REASONS, Candidates, no_candidates
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
from jointmap.intervals.rules import holds_from, in_order, refuse_unsound
from jointmap.intervals.standing import Raised, Standing, raised_on, standing_of
from jointmap.intervals.tenth import by_tenths
from jointmap.register.columns import Days, Ids, RuleColumns
from jointmap.register.joining import row_of


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
    by_rule = chain(
        from_limits(subjects, standing, rules),
        by_tenths(subjects, standing, rules, on),
        before_next_use(subjects, standing, seen.raised, rules, on),
        from_condition(subjects, standing, seen.active, rules),
        from_occurrences(subjects, standing, seen.raised, rules),
    )
    # One by one: those of a million subjects are large.
    held = (_not_before_rule(part, rules) for part in by_rule)
    return stack([no_candidates(), *held, *([] if learned is None else [learned])])


def _not_before_rule(found: Candidates, rules: RuleColumns) -> Candidates:
    """Return the same, no date before the day from which its rule binds."""
    floor = np.fmax(
        _holds_from(rules, found.rule_id), _holds_from(rules, found.base_rule_id)
    )
    is_before = found.last_allowed_on < floor
    if not is_before.any():
        return found
    return replace(
        found,
        last_allowed_on=np.where(is_before, floor, found.last_allowed_on),
        reason=np.where(is_before, np.int16(REASONS.index(FROM_RULE)), found.reason),
    )


def _holds_from(rules: RuleColumns, rule_id: Ids) -> Days:
    """Return the day from which each rule binds; NaT for a law, and for no rule."""
    every: Days = np.append(holds_from(rules), np.datetime64("NaT", "D"))
    return every[row_of(rules.rule_id, rule_id)]
