"""The earliest date governs: the last allowed day, its basis, its state."""

from dataclasses import dataclass

import numpy as np

from jointmap.intervals.candidates import REASONS, Candidates
from jointmap.intervals.facts import SubjectColumns, day_key
from jointmap.intervals.standing import Standing
from jointmap.register.codes import DueState, Verdict
from jointmap.register.columns import Codes, Days, Flags, Ids, Table

# Room for the codes of Basis and for REASONS below a day in one whole number.
_BASES, _REASONS = 8, 32
_IDLE = REASONS.index("due.before_use_idle")
# Candidates ranked at a time, so that their ranks take little memory.
_AT_A_TIME = 1_000_000


@dataclass(frozen=True, slots=True)
class DueItems(Table):
    """One row per active subject: its next date and why."""

    row: Ids  # place in SubjectColumns
    subject: Codes
    subject_id: Ids
    last_on: Days  # last test that counts
    last_verdict: Codes
    needs_action: Flags  # last result shorted: a next test is no remedy
    last_allowed_on: Days  # NaT: no basis, or none while out of use
    planning_on: Days
    governing: Ids  # place in Candidates; -1: none
    rule_id: Ids  # 0: no rule, from trend or risk
    basis: Codes
    reason: Codes  # place in candidates.REASONS
    state: Codes


def decide(
    subjects: SubjectColumns,
    standing: Standing,
    candidates: Candidates,
    on: np.datetime64,
    margin_days: int,
    near_limit_days: int,
) -> DueItems:
    """Return what governs each active subject on ``on``.

    The earliest date governs; of equal dates the basis first in ``codes.Basis``. The
    planning day is the last allowed day less the margin, never before the day from
    which the governing date counts.
    """
    row = np.flatnonzero(subjects.is_active)
    governing = governing_of(candidates, len(subjects))[row]
    has = governing >= 0
    chosen = candidates.take(governing[has])
    last_allowed_on = _spread(has, chosen.last_allowed_on, np.datetime64("NaT", "D"))
    margin = np.timedelta64(margin_days, "D")
    planned = np.fmax(chosen.last_allowed_on - margin, chosen.from_on)
    planned[np.isnat(chosen.last_allowed_on)] = np.datetime64("NaT")
    planning_on = _spread(has, planned, np.datetime64("NaT", "D"))
    undated = np.isnat(standing.counts_from_on[row])
    none = np.where(undated, REASONS.index("due.no_date"), REASONS.index("due.no_rule"))
    reason = none.astype(np.int16)
    reason[has] = chosen.reason
    verdict = standing.last_verdict[row]
    return DueItems(
        row,
        subjects.subject[row],
        subjects.subject_id[row],
        standing.last_on[row],
        verdict,
        verdict == Verdict.SHORTED,
        last_allowed_on,
        planning_on,
        governing,
        _spread(has, chosen.rule_id, np.int64(0)),
        _spread(has, chosen.basis, np.int16(-1)),
        reason,
        state_on(reason, last_allowed_on, planning_on, on, near_limit_days),
    )


def governing_of(candidates: Candidates, rows: int) -> Ids:
    """Return the place of each row's governing candidate; -1 where it has none."""
    best = np.full(rows, np.iinfo(np.int64).max)
    for part in _parts(len(candidates)):
        own = candidates.take(part)
        np.minimum.at(best, own.row, _rank(own))
    governing = np.full(rows, -1, np.int64)
    # From the last to the first, so that the first of equal ones stays.
    for part in reversed(_parts(len(candidates))):
        own = candidates.take(part)
        first = np.flatnonzero(_rank(own) == best[own.row])[::-1]
        governing[own.row[first]] = first + part.start
    return governing


def _parts(rows: int) -> list[slice]:
    return [slice(at, at + _AT_A_TIME) for at in range(0, rows, _AT_A_TIME)]


def _rank(candidates: Candidates) -> Ids:
    key = day_key(candidates.row, candidates.last_allowed_on)
    return (key * _BASES + candidates.basis) * _REASONS + candidates.reason


def state_on(
    reason: Codes,
    last_allowed_on: Days,
    planning_on: Days,
    on: np.datetime64,
    near_limit_days: int,
) -> Codes:
    """Return how each date stands on a day; codes of ``DueState``."""
    left = last_allowed_on - on
    month_ends = (on.astype("datetime64[M]") + 1).astype("datetime64[D]")
    states = [
        (reason == _IDLE, DueState.BEFORE_NEXT_USE),
        (np.isnat(last_allowed_on), DueState.NO_BASIS),
        (left < np.timedelta64(0, "D"), DueState.PAST_LIMIT),
        (left <= np.timedelta64(near_limit_days, "D"), DueState.NEAR_LIMIT),
        (planning_on < month_ends, DueState.DUE_THIS_MONTH),
    ]
    found = np.select(
        [where for where, _ in states],
        [np.int16(state.code) for _, state in states],
        np.int16(DueState.IN_TIME.code),
    )
    return found.astype(np.int16)


def _spread(has: Flags, values: Ids | Codes | Days, blank: np.generic) -> np.ndarray:
    whole = np.full(len(has), blank, values.dtype)
    whole[has] = values
    return whole
