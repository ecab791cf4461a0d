"""When the next test must come at the latest, and which rule says so.

Columns in, columns out: ``counting_tests``, ``footing``, ``candidates``, ``decide``;
``due_list.build`` takes these steps in one call.
"""

from jointmap.intervals.all_candidates import Footing, candidates, footing, joined
from jointmap.intervals.candidates import (
    FROM_RULE,
    REASONS,
    Candidates,
    candidates_at,
    reason_id,
)
from jointmap.intervals.clocks import CLOCK_SHAPES, Clocks, clocks, refuses_credit
from jointmap.intervals.decide import DueItems, decide, state_on
from jointmap.intervals.facts import (
    CountingTests,
    HistoryColumns,
    SubjectColumns,
    TriggerColumns,
    counting_tests,
    stack,
)
from jointmap.intervals.held_limits import Away, HeldLimits, OffDuty, held_limits
from jointmap.intervals.in_force import (
    citation,
    clause_codes,
    held_from,
    rule_columns,
    rule_in_force,
    rules_ever,
)
from jointmap.intervals.late_laws import late_laws
from jointmap.intervals.missed import missed_years, no_limits
from jointmap.intervals.rules import margin_of
from jointmap.intervals.standing import Standing, standing_of
from jointmap.intervals.triggers import WHILE_IT_STANDS, trigger_code
from jointmap.register.rule_codes import (
    NEXT_REQUIRED_TEST,
    PERMIT_RECEIVED,
    TRIGGERS,
)

__all__ = [
    "CLOCK_SHAPES",
    "FROM_RULE",
    "NEXT_REQUIRED_TEST",
    "PERMIT_RECEIVED",
    "REASONS",
    "TRIGGERS",
    "WHILE_IT_STANDS",
    "Away",
    "Candidates",
    "Clocks",
    "CountingTests",
    "DueItems",
    "Footing",
    "HeldLimits",
    "HistoryColumns",
    "OffDuty",
    "Standing",
    "SubjectColumns",
    "TriggerColumns",
    "candidates",
    "candidates_at",
    "citation",
    "clause_codes",
    "clocks",
    "counting_tests",
    "decide",
    "footing",
    "held_from",
    "held_limits",
    "joined",
    "late_laws",
    "margin_of",
    "missed_years",
    "no_limits",
    "reason_id",
    "refuses_credit",
    "rule_columns",
    "rule_in_force",
    "rules_ever",
    "stack",
    "standing_of",
    "state_on",
    "trigger_code",
]
