"""Dates by risk and trend among the candidates, with the numbers behind each."""

from dataclasses import dataclass

import numpy as np

from jointmap.hazard.ages import LifeEvents, events_of
from jointmap.hazard.dates import LifeColumns, RiskDates, risk_dates
from jointmap.hazard.failure_model import FailureModel
from jointmap.hazard.ratchet import ratchet_dates
from jointmap.intervals.calendar import add_months
from jointmap.intervals.candidates import REASONS, Candidates, candidates_at
from jointmap.intervals.facts import stack
from jointmap.register.codes import Basis, Consequence
from jointmap.register.columns import Days, Flags, Ids

# Joints reckoned at a time: what lies between record and date is large.
_AT_A_TIME = 100_000
_RISK, _OWNER = Basis.RISK.code, Basis.OWNER.code


@dataclass(frozen=True, slots=True)
class Risk:
    """What a model in force says of each joint, and the candidates that follow."""

    dates: RiskDates
    candidates: Candidates


def risk_of(
    model: FailureModel,
    lives: LifeColumns,
    events: LifeEvents,
    subject_row: Ids,
    on: np.datetime64,
) -> Risk:
    """Return the risk of each joint and its dates as candidates.

    Where the target is reached sooner than the least interval, the least interval is
    the date and says that inspection cannot meet the target. A law's or owner's earlier
    date governs all the same.

    Parameters
    ----------
    subject_row
        Place of each joint in ``SubjectColumns``.
    """
    parts = [
        _of_joints(model, lives, events, subject_row, on, start)
        for start in range(0, max(len(lives), 1), _AT_A_TIME)
    ]
    return Risk(stack([p.dates for p in parts]), stack([p.candidates for p in parts]))


def _of_joints(
    model: FailureModel,
    lives: LifeColumns,
    events: LifeEvents,
    subject_row: Ids,
    on: np.datetime64,
    start: int,
) -> Risk:
    joints = np.arange(start, min(start + _AT_A_TIME, len(lives)))
    if len(joints) < len(lives):
        events = events_of(events, joints, len(lives))
        lives, subject_row = lives.take(joints), subject_row[joints]
    dates = risk_dates(model, lives, events, on)
    found = [
        *_by_chance(model, dates, subject_row),
        _by_ratchet(model, lives, events, subject_row, on),
        _by_cap(model, lives, dates, subject_row),
    ]
    return Risk(dates, stack(found))


def _by_chance(
    model: FailureModel, dates: RiskDates, subject_row: Ids
) -> list[Candidates]:
    least_on = dates.last_on + np.timedelta64(model.least_days, "D")
    first = np.fmin(dates.end_on, dates.average_on)
    soon = first < least_on
    by_end = ~soon & (dates.end_on <= dates.average_on)
    by_average = ~soon & (dates.average_on < dates.end_on)
    least = _candidates(soon, subject_row, least_on, dates, "due.risk_least")
    days = np.full(len(least), model.least_days)
    return [
        _candidates(by_end, subject_row, dates.end_on, dates, "due.risk"),
        _candidates(
            by_average, subject_row, dates.average_on, dates, "due.risk_average"
        ),
        _with_days(least, days),
    ]


def _candidates(
    where: Flags, subject_row: Ids, due_on: Days, dates: RiskDates, reason: str
) -> Candidates:
    return candidates_at(
        subject_row[where],
        due_on[where],
        basis=_RISK,
        from_on=dates.last_on[where],
        reason=REASONS.index(reason),
    )


def _with_days(made: Candidates, days: Ids) -> Candidates:
    return candidates_at(
        made.row,
        made.last_allowed_on,
        basis=made.basis,
        from_on=made.from_on,
        reason=made.reason,
        days=days,
    )


def _by_ratchet(
    model: FailureModel,
    lives: LifeColumns,
    events: LifeEvents,
    subject_row: Ids,
    on: np.datetime64,
) -> Candidates:
    until_on, days = ratchet_dates(model, lives, events, on)
    days = np.maximum(days, model.least_days)
    at = ~np.isnat(until_on)
    return candidates_at(
        subject_row[at],
        until_on[at],
        basis=_RISK,
        from_on=until_on[at] - days[at],
        reason=REASONS.index("due.risk_ratchet"),
        days=days[at],
    )


def _by_cap(
    model: FailureModel, lives: LifeColumns, dates: RiskDates, subject_row: Ids
) -> Candidates:
    months = model.by_consequence([*map(str, Consequence), ""])[2][lives.consequence]
    at = months > 0
    return candidates_at(
        subject_row[at],
        add_months(dates.last_on[at], months[at]),
        basis=_OWNER,
        from_on=dates.last_on[at],
        reason=REASONS.index("due.risk_cap"),
        months=months[at],
    )
