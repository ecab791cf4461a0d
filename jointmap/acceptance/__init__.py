"""What may be concluded from a reading: verdicts, reasons, limits in force."""

from jointmap.acceptance.in_force import in_si, limit_columns, limit_in_force
from jointmap.acceptance.judging import JUDGES, judge
from jointmap.acceptance.kit import kit_resistance, stud_resistance
from jointmap.acceptance.potentials import shifts
from jointmap.acceptance.reasons import REASONS, VERDICT_OF_REASON
from jointmap.acceptance.stud_states import (
    STUD_REASONS,
    StudCounts,
    StudStates,
    stud_counts,
    stud_states,
)
from jointmap.register.judged import Judgements

__all__ = [
    "JUDGES",
    "REASONS",
    "STUD_REASONS",
    "VERDICT_OF_REASON",
    "Judgements",
    "StudCounts",
    "StudStates",
    "in_si",
    "judge",
    "kit_resistance",
    "limit_columns",
    "limit_in_force",
    "shifts",
    "stud_counts",
    "stud_resistance",
    "stud_states",
]
