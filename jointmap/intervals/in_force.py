"""From the catalogue into force: a rule's record, its columns, its citation."""

import datetime as dt
from collections.abc import Mapping, Sequence
from enum import StrEnum

import numpy as np

from jointmap.errors import Problem, WrongUse
from jointmap.intervals.triggers import trigger_code
from jointmap.register.codes import Mark, code_of
from jointmap.register.columns import Codes, RuleColumns
from jointmap.register.fields import form_of
from jointmap.register.ruling import Rule
from jointmap.tables.interval_rules import RULES


def rule_in_force(
    name: str, from_on: dt.date, until_on: dt.date | None = None, **changes: object
) -> Rule:
    """Return the catalogue's rule ``name`` as a record in force, with ``changes``.

    Raises
    ------
    WrongUse
        The catalogue has no such rule.
    Refused
        A change does not fit the record.
    """
    if name not in RULES:
        raise WrongUse(Problem("due.rule_unknown", {"rule": name}))
    row, values = RULES[name], {}
    for column in form_of(Rule).columns:
        value = getattr(row, column.name, None)
        if column.words is not None:
            value = column.words(value) if value else None
        if value is not None:
            values[column.name] = value
    return Rule(**{**values, "from_on": from_on, "until_on": until_on, **changes})


def rule_columns(rules: Mapping[int, Rule], on: dt.date) -> RuleColumns:
    """Return the rules (by id) in force on a day, first and last day included.

    Raises
    ------
    WrongUse
        A rule's trigger is not in ``TRIGGERS``.
    """
    force = {
        i: r
        for i, r in rules.items()
        if r.from_on <= on and (r.until_on is None or on <= r.until_on)
    }
    own = list(force.values())
    return RuleColumns(
        np.array(list(force), np.int64),
        _codes([r.shape for r in own]),
        _codes([r.basis for r in own]),
        _codes([r.subject for r in own]),
        np.array([r.years or 0 for r in own], np.int64),
        np.array([r.months or 0 for r in own], np.int64),
        np.array([r.days or 0 for r in own], np.int64),
        np.array([r.factor for r in own], np.float64),  # None becomes NaN
        np.array([trigger_code(r.trigger) for r in own], np.int16),
        _codes([r.purpose for r in own]),
        _codes([r.severity for r in own]),
        _codes([r.structure_kind for r in own]),
        _codes([r.path_kind for r in own]),
        np.array([r.critical_only for r in own], np.bool_),
        np.array([r.protected_only for r in own], np.bool_),
    )


def citation(rule: Rule) -> str:
    """Return a rule's source and clause; what was not seen is marked so."""
    words = " ".join(part for part in (rule.source, rule.clause) if part)
    seen = (Mark.SEEN, Mark.OWNER_CHOICE)
    return words if rule.mark in seen else f"{words}, {rule.mark}"


def _codes(words: Sequence[StrEnum | None]) -> Codes:
    return np.array([-1 if w is None else code_of(w) for w in words], np.int16)
