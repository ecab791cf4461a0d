"""From the catalogue into force: a rule's record, its columns, its citation."""

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from jointmap.errors import Problem, WrongUse
from jointmap.intervals.triggers import trigger_code
from jointmap.register.codes import Mark
from jointmap.register.columns import Codes, Days, RuleColumns
from jointmap.register.fields import form_of
from jointmap.register.ruling import Rule
from jointmap.tables.interval_rules import RULES

Texts = npt.NDArray[np.str_]
N = TypeVar("N", bound=np.generic)


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
        if value not in (None, ""):
            values[column.name] = value
    return Rule(**{**values, "from_on": from_on, "until_on": until_on, **changes})


def rule_columns(rules: Mapping[int, Rule], on: dt.date) -> RuleColumns:
    """Return the rules (by id) in force on a day, first and last day included.

    Raises
    ------
    WrongUse
        A rule's trigger is not in ``TRIGGERS``.
    """
    ever = rules_ever(rules, on)
    return ever.take(~(ever.until_on < np.datetime64(on, "D")))


def rules_ever(rules: Mapping[int, Rule], on: dt.date) -> RuleColumns:
    """Return the rules (by id) in force on a day or before it; raises as above."""
    force = {i: r for i, r in rules.items() if r.from_on <= on}
    own = list(force.values())
    return RuleColumns(
        rule_id=np.array(list(force), np.int64),
        shape=_codes(own, "shape"),
        basis=_codes(own, "basis"),
        subject=_codes(own, "subject"),
        years=_column(own, "years", 0, np.int64),
        months=_column(own, "months", 0, np.int64),
        days=_column(own, "days", 0, np.int64),
        factor=_column(own, "factor", math.nan, np.float64),
        trigger=np.array([trigger_code(r.trigger) for r in own], np.int16),
        purpose=_codes(own, "purpose"),
        severity=_codes(own, "severity"),
        structure_kind=_codes(own, "structure_kind"),
        path_kind=_codes(own, "path_kind"),
        critical_only=_column(own, "critical_only", False, np.bool_),
        protected_only=_column(own, "protected_only", False, np.bool_),
        clause=clause_codes([f"{r.source} {r.clause}" for r in own]),
        from_on=_days(own, "from_on"),
        until_on=_days(own, "until_on"),
        binds_from_on=_days(own, "binds_from_on"),
        held_from_on=held_from(
            np.array([r.name for r in own], dtype=str),
            _days(own, "from_on"),
            _days(own, "binds_from_on"),
        ),
    )


def held_from(names: Texts, from_on: Days, binds_from_on: Days) -> Days:
    """Return from when each rule's limits are held against tests.

    A law since it binds, though it was adopted later; of several records of one law the
    first reaches back, so that no time is held against two of them.
    """
    order = np.argsort(from_on, kind="stable")
    _, first = np.unique(names[order], return_index=True)
    reaches = np.zeros(len(names), np.bool_)
    reaches[order[first]] = True
    return np.where(reaches & (binds_from_on < from_on), binds_from_on, from_on)


def citation(rule: Rule) -> str:
    """Return a rule's source and clause; what was not seen is marked so."""
    words = " ".join(part for part in (rule.source, rule.clause) if part)
    seen = (Mark.SEEN, Mark.OWNER_CHOICE)
    return words if rule.mark in seen else f"{words}, {rule.mark}"


def clause_codes(texts: Sequence[str]) -> Codes:
    """Return one number per text, equal for equal texts."""
    _, code = np.unique(np.array(texts, dtype=str), return_inverse=True)
    return code.astype(np.int16)


def _days(rules: Sequence[Rule], name: str) -> Days:
    return np.array([getattr(r, name) for r in rules], "datetime64[D]")


def _codes(rules: Sequence[Rule], name: str) -> Codes:
    words = [getattr(r, name) for r in rules]
    return np.array([-1 if w is None else w.code for w in words], np.int16)


def _column(
    rules: Sequence[Rule], name: str, none: object, kind: type[N]
) -> npt.NDArray[N]:
    values = [getattr(r, name) for r in rules]
    return np.array([none if v is None else v for v in values], kind)
