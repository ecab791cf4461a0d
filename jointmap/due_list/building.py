"""From histories to due items, in one call."""

import datetime as dt
from typing import Protocol

import numpy as np

from jointmap.intervals import (
    Candidates,
    DueItems,
    Footing,
    HistoryColumns,
    SubjectColumns,
    TriggerColumns,
    candidates,
    counting_tests,
    decide,
    footing,
    margin_of,
)
from jointmap.register.columns import Codes, Days, Ids, RuleColumns


class Dated(Protocol):
    """What can be put in due order: items, or lines of several items."""

    @property
    def subject(self) -> Codes:
        """Code of ``codes.Subject``."""

    @property
    def subject_id(self) -> Ids:
        """Id of the subject, or of a line's earliest item."""

    @property
    def last_allowed_on(self) -> Days:
        """NaT: no basis."""

    @property
    def planning_on(self) -> Days:
        """NaT: no basis."""


def build(  # noqa: PLR0913, PLR0917 - three tables, the rules, three numbers of the site, what was learned
    subjects: SubjectColumns,
    history: HistoryColumns,
    triggers: TriggerColumns,
    rules: RuleColumns,
    on: dt.date,
    margin_days: int,
    near_limit_days: int,
    learned: Candidates | None = None,
) -> tuple[DueItems, Candidates]:
    """Return the next date of every active subject, and all dates it was chosen from.

    Parameters
    ----------
    rules
        In force on ``on``; see ``intervals.rule_columns``.
    on
        The day asked about; later tests and triggers are not looked at.
    margin_days, near_limit_days
        The site's: planned so long before the limit, unless a margin rule is in force;
        called near it so long before.
    learned
        Dates by risk and trend, where a failure model is in force.

    Raises
    ------
    Refused
        A subject in two rows; a rule that lacks a number or would lengthen an interval.
    """
    day = np.datetime64(on, "D")
    tests = counting_tests(subjects, history, day)
    seen = footing(subjects, tests, triggers, rules, day)
    return build_on(subjects, seen, rules, on, margin_days, near_limit_days, learned)


def build_on(  # noqa: PLR0913, PLR0917 - as ``build``
    subjects: SubjectColumns,
    seen: Footing,
    rules: RuleColumns,
    on: dt.date,
    margin_days: int,
    near_limit_days: int,
    learned: Candidates | None = None,
) -> tuple[DueItems, Candidates]:
    """Return what ``build`` does, from what the tests came to."""
    day = np.datetime64(on, "D")
    found = candidates(subjects, seen, rules, day, learned)
    margin = margin_of(rules, margin_days)
    items = decide(subjects, seen.standing, found, day, margin, near_limit_days)
    return items, found


def in_due_order(dated: Dated) -> Ids:
    """Return the places by last allowed day, then id; those without a date last."""
    day = dated.last_allowed_on.astype(np.int64)
    day = np.where(np.isnat(dated.last_allowed_on), np.iinfo(np.int64).max, day)
    return np.lexsort((dated.subject_id, dated.subject, day))


def due_until(dated: Dated, day: dt.date) -> Ids:
    """Return the places planned on or before ``day``, in due order."""
    order = in_due_order(dated)
    return order[dated.planning_on[order] <= np.datetime64(day, "D")]
