"""Laws that bound something here before they were adopted."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.intervals.facts import SubjectColumns
from jointmap.intervals.rules import rows_under
from jointmap.register.columns import RuleColumns
from jointmap.register.rule_codes import RuleShape

# These stand in the place of another limit of the law; nobody must adopt them.
_INSTEAD = (RuleShape.TENTH_A_YEAR, RuleShape.BEFORE_NEXT_USE)


@dataclass(frozen=True, slots=True)
class LateLaw:
    """One law: how many subjects it bound before it was in force here, since when."""

    rule_id: int
    bound_from_on: np.datetime64
    count: int


def late_laws(subjects: SubjectColumns, rules: RuleColumns) -> Iterator[LateLaw]:
    """Yield each law that is older than its adoption and the first day it bound here.

    ``rules`` are all that were in force at any time. A law whose day of effect is not
    known is none of them. What has no first day was there when the first of all was.
    """
    known = subjects.starts_on[~np.isnat(subjects.starts_on)]
    first = known.min() if len(known) else np.datetime64("NaT", "D")
    instead = np.isin(rules.shape, [shape.code for shape in _INSTEAD])
    for rule in np.flatnonzero((rules.held_from_on < rules.from_on) & ~instead):
        row = rows_under(subjects, rules, int(rule))
        starts = subjects.starts_on[row]
        there = np.where(np.isnat(starts), first, starts)
        bound_on = np.maximum(there, rules.binds_from_on[rule])
        early = bound_on[bound_on < rules.from_on[rule]]
        if len(early):
            yield LateLaw(int(rules.rule_id[rule]), early.min(), len(early))
