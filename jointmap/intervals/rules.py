"""Rules as columns: put in order, checked, matched to subjects."""

from collections.abc import Iterator

import numpy as np

from jointmap.errors import Problem, Refused
from jointmap.intervals.facts import SubjectColumns
from jointmap.intervals.triggers import trigger_code
from jointmap.register.codes import Basis
from jointmap.register.columns import Days, Ids, RuleColumns
from jointmap.register.rule_codes import (
    NEXT_REQUIRED_TEST,
    NUMBERS_OF_SHAPE,
    RuleShape,
)


def of_shape(rules: RuleColumns, shape: RuleShape) -> list[int]:
    """Return the places of the rules of ``shape``."""
    return [int(i) for i in np.flatnonzero(rules.shape == shape.code)]


def margin_of(rules: RuleColumns, site_days: int) -> int:
    """Return the days of the margin rule in force, the longest of several.

    Without one, the site's own.
    """
    days = [int(rules.days[i]) for i in of_shape(rules, RuleShape.MARGIN)]
    return max(days, default=site_days)


def holds_from(rules: RuleColumns) -> Days:
    """Return the day before which no date of each rule can lie; NaT: no such day.

    The owner's procedures and standards bind from the day they were adopted. A law
    binds whoever adopted it when, so no date of it lies before its own day of effect.
    """
    is_law = rules.basis == Basis.LAW.code
    days: Days = np.where(is_law, rules.binds_from_on, rules.from_on)
    return days


def begun_on(rules: RuleColumns, rule: int, start_on: Days) -> Days:
    """Return from when a rule counts where no test came yet: a law from its own day.

    The later of the start and the day of effect; what had started before a law was made
    has the law's whole time.
    """
    binds_on = rules.binds_from_on[rule]
    return np.where(start_on < binds_on, binds_on, start_on)


def is_owner_base(rules: RuleColumns, rule: int) -> bool:
    """Return whether condition may shorten this rule: the owner's plain months."""
    plain = rules.shape[rule] == RuleShape.PLAIN_MONTHS
    return bool(plain and rules.basis[rule] == Basis.OWNER)


def in_order(rules: RuleColumns) -> RuleColumns:
    """Return the rules by id, so that the order they came in changes nothing."""
    return rules.take(np.argsort(rules.rule_id, kind="stable"))


def refuse_unsound(rules: RuleColumns) -> None:
    """Refuse rules that lack a number, or would lengthen an interval.

    Raises
    ------
    Refused
        All faults at once.
    """
    found = [p for i in range(len(rules)) for p in _faults(rules, i)]
    if found:
        raise Refused(found)


def _faults(rules: RuleColumns, i: int) -> Iterator[Problem]:
    shape = RuleShape.at(int(rules.shape[i]))
    values = {"rule": int(rules.rule_id[i]), "shape": str(shape)}
    # Before the next required test: there is nothing to add to that day.
    before = rules.trigger[i] == trigger_code(NEXT_REQUIRED_TEST)
    for field in NUMBERS_OF_SHAPE[shape] if not before else ():
        value = getattr(rules, field)[i]
        if not (value >= 0 if field == "trigger" else value > 0):
            yield Problem("due.rule_lacks", {**values, "field": field})
    if shape is RuleShape.MULTIPLIER and rules.factor[i] > 1:
        yield Problem(
            "due.rule_lengthens", {**values, "factor": float(rules.factor[i])}
        )


def rows_under(subjects: SubjectColumns, rules: RuleColumns, rule: int) -> Ids:
    """Return the rows of the active subjects that the rule applies to."""
    row = np.flatnonzero(subjects.is_active & (subjects.subject == rules.subject[rule]))
    for name in ("purpose", "severity", "path_kind"):
        wanted = getattr(rules, name)[rule]
        if wanted >= 0:
            row = row[getattr(subjects, name)[row] == wanted]
    kind = rules.structure_kind[rule]
    if kind >= 0:
        a, b = subjects.structure_kind_a[row], subjects.structure_kind_b[row]
        row = row[(a == kind) | (b == kind)]
    if rules.critical_only[rule]:
        row = row[subjects.is_critical[row]]
    if rules.protected_only[rule]:
        row = row[subjects.is_protected[row]]
    return row


def is_under(subjects: SubjectColumns, rules: RuleColumns, rule: int, row: Ids) -> Ids:
    """Return the places in ``row`` whose subject the rule applies to."""
    applies = np.zeros(len(subjects), np.bool_)
    applies[rows_under(subjects, rules, rule)] = True
    return np.flatnonzero(applies[row])
