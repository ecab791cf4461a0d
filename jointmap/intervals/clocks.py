"""Clocks after a bad result or a fact: decide by, plan by, fix by, as rules say."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jointmap.intervals.calendar import add_months
from jointmap.intervals.facts import SubjectColumns, stack
from jointmap.intervals.rules import begun_on, in_order, of_shape, rows_under
from jointmap.register.columns import Codes, Days, Ids, RuleColumns, Table
from jointmap.register.joining import row_of
from jointmap.register.rule_codes import TRIGGERS, RuleShape

CLOCK_SHAPES = (RuleShape.DECIDE_BY, RuleShape.PLAN_BY, RuleShape.FIX_BY)


@dataclass(frozen=True, slots=True)
class Clocks(Table):
    """One row per subject and clock that runs; of several rules the earliest day."""

    row: Ids  # place in the subjects
    shape: Codes  # place in RuleShape
    from_on: Days  # the result that started it
    until_on: Days  # last allowed day, inclusive
    rule_id: Ids


def clocks(
    subjects: SubjectColumns,
    rules: RuleColumns,
    started_on: Mapping[RuleShape, Days],
    counted_from: Mapping[str, Days],
    started_by: Mapping[str, Days],
) -> Clocks:
    """Return the clocks that run.

    Parameters
    ----------
    started_on
        For each of ``CLOCK_SHAPES`` the day it started per subject; NaT where it does
        not run: nothing bad, or shown good since by a test that counts as installed.
    counted_from
        For a rule's trigger the day it counts from instead, per subject; NaT where
        there is none (no permit yet): then that rule says nothing.
    started_by
        For a trigger that is a fact of its own, since when it stands, per subject; NaT
        where it does not. Then no result is asked for.
    """
    rules = in_order(rules)
    parts = [_none()]
    for shape in CLOCK_SHAPES:
        for rule in of_shape(rules, shape):
            rows = rows_under(subjects, rules, rule)
            code = int(rules.trigger[rule])
            word = TRIGGERS[code] if code >= 0 else ""
            since = started_by.get(word, started_on[shape])[rows]
            base = counted_from[word][rows] if word in counted_from else since
            # What was found before a law was made has the law's whole time.
            base = begun_on(rules, rule, base)
            runs = ~np.isnat(since) & ~np.isnat(base)
            parts.append(_of_rule(rules, rule, rows[runs], since[runs], base[runs]))
    return _earliest(stack(parts), rules)


def _of_rule(
    rules: RuleColumns, rule: int, rows: Ids, since: Days, base: Days
) -> Clocks:
    until = base + max(int(rules.days[rule]), 0)
    until = add_months(until, max(int(rules.months[rule]), 0))
    count = len(rows)
    return Clocks(
        rows,
        np.full(count, rules.shape[rule], np.int16),
        since,
        until,
        np.full(count, rules.rule_id[rule], np.int64),
    )


def _none() -> Clocks:
    days = np.zeros(0, "datetime64[D]")
    ids = np.zeros(0, np.int64)
    return Clocks(ids, np.zeros(0, np.int16), days, days, ids)


def _earliest(found: Clocks, rules: RuleColumns) -> Clocks:
    # Of equal days the one of law is named, as for due dates.
    basis = rules.basis[row_of(rules.rule_id, found.rule_id)]
    keys = (found.rule_id, basis, found.until_on, found.shape, found.row)
    order = np.lexsort(keys)
    kept = found.take(order)
    is_first = np.ones(len(kept), np.bool_)
    same = (kept.row[1:] == kept.row[:-1]) & (kept.shape[1:] == kept.shape[:-1])
    is_first[1:] = ~same
    return kept.take(is_first)


def refuses_credit(subjects: SubjectColumns, rules: RuleColumns) -> Ids:
    """Return the rows of the subjects for which a credited test moves no date.

    A boundary test read at another joint shows that this one does not short, but by the
    owner's rule it is not a test of this device.
    """
    named = of_shape(rules, RuleShape.NO_CREDIT)
    rows = [rows_under(subjects, rules, rule) for rule in named]
    return np.unique(np.concatenate([np.zeros(0, np.int64), *rows]))
