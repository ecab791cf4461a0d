"""Candidates for the next date: from calendar rules, condition and occurrences."""

from dataclasses import dataclass
from itertools import chain

import numpy as np
import numpy.typing as npt

from jointmap.register.columns import (
    Codes,
    Days,
    Flags,
    Floats,
    Ids,
    Table,
    in_codes,
    narrow,
)
from jointmap.register.rule_codes import REASONS_OF_SHAPE

FROM_RULE = "due.from_rule"
# Ids of sentences; a column holds the place in this list.
REASONS: tuple[str, ...] = (
    *chain.from_iterable(REASONS_OF_SHAPE.values()),
    "due.condition",
    "due.condition_late",
    "due.occurrence",
    "due.no_rule",
    "due.no_date",
    "due.trend",
    "due.risk",
    "due.risk_average",
    "due.risk_least",
    "due.risk_ratchet",
    "due.risk_cap",
    "due.before_use",
    "due.before_use_idle",
    "due.tenth",
    "due.tenth_last",
    FROM_RULE,
)
FROM_START = "_from_start"
FROM_LAW = "_from_law"


@dataclass(frozen=True, slots=True)
class Candidates(Table):
    """One row per date that something asks for; the earliest of a subject governs.

    Whoever finds dates another way (trend, risk) stacks rows of its own, with
    ``rule_id`` 0, its basis and its reason; its other numbers stay in its own table.
    """

    row: Ids  # place in SubjectColumns
    last_allowed_on: Days
    rule_id: Ids
    basis: Codes
    from_on: Days  # the test, start or occurrence it counts from
    is_from_start: Flags
    is_from_law: Flags  # no test, and the law came after the start
    reason: Codes  # place in REASONS
    years: Codes
    months: Codes  # as applied, after shortening
    days: Codes
    factor: Floats
    base_rule_id: Ids  # of a shortened interval: the owner's rule it shortens
    base_months: Codes
    trigger: Codes  # place in TRIGGERS
    since_on: Days  # when the trigger was raised


_NO_DAY = np.datetime64("NaT", "D")
_BLANKS: dict[str, np.generic] = {
    "rule_id": np.int32(0),
    "basis": np.int16(-1),
    "from_on": _NO_DAY,
    "is_from_start": np.bool_(False),
    "is_from_law": np.bool_(False),
    "reason": np.int16(-1),
    "years": np.int16(0),
    "months": np.int16(0),
    "days": np.int16(0),
    "factor": np.float64("nan"),
    "base_rule_id": np.int32(0),
    "base_months": np.int16(0),
    "trigger": np.int16(-1),
    "since_on": _NO_DAY,
}


def candidates_at(
    row: Ids, last_allowed_on: Days, **given: npt.ArrayLike
) -> Candidates:
    """Return candidates; ``given`` columns are one value or one each, others blank."""
    whole = {
        name: np.broadcast_to(_typed(given.get(name, blank), blank), row.shape)
        for name, blank in _BLANKS.items()
    }
    return Candidates(narrow(row), last_allowed_on, **whole)


def _typed(values: npt.ArrayLike, blank: np.generic) -> npt.NDArray[np.generic]:
    if blank.dtype == np.int16:
        return in_codes(values)
    return np.asarray(values, blank.dtype)


def no_candidates() -> Candidates:
    """Return a table without rows."""
    return candidates_at(np.empty(0, np.int64), np.empty(0, "datetime64[D]"))


def reason_id(candidates: Candidates, index: int) -> str:
    """Return the id of the sentence of one candidate."""
    own = REASONS[int(candidates.reason[index])]
    if candidates.is_from_law[index]:
        return own + FROM_LAW
    return own + FROM_START if candidates.is_from_start[index] else own
