"""After a short and its repair: no longer interval than before, until proved good.

A repaired ageing joint looks new to the model, and would often get a longer interval
than the one under which it failed. Judgement of this project.
"""

from dataclasses import replace

import numpy as np

from jointmap.hazard.ages import Change, Gathered, LifeEvents, gathered
from jointmap.hazard.dates import LifeColumns, risk_dates
from jointmap.hazard.failure_model import FailureModel
from jointmap.register.codes import Verdict
from jointmap.register.columns import Days, Flags, Ids


def ratchet_dates(
    model: FailureModel, lives: LifeColumns, events: LifeEvents, on: np.datetime64
) -> tuple[Days, Ids]:
    """Return the latest next day of each joint just repaired, and the days it allows.

    NaT and 0 for joints with no repair after a short, or with a good test since.
    """
    steps, _ = gathered(lives.starts_on, events, model.repeat_days)
    rows = len(lives)
    renewed = _last_place(steps, steps.change != Change.NONE, rows)
    good = _last_place(steps, steps.verdict == Verdict.ISOLATING, rows)
    before = np.arange(len(steps)) < renewed[steps.row]
    bad = (steps.verdict == Verdict.SHORTED) & before
    shorted = _last_place(steps, bad, rows)
    joints = np.flatnonzero((shorted >= 0) & (renewed > good))
    found_on = np.full(rows, np.datetime64("NaT", "D"))
    found_on[joints] = steps.happened_on[shorted[joints]]
    place = np.full(rows, -1)
    place[joints] = np.arange(len(joints))
    earlier = events.take(events.happened_on < found_on[events.row])
    then = risk_dates(
        model, lives.take(joints), replace(earlier, row=place[earlier.row]), on
    )
    allowed = np.zeros(rows, np.int64)
    days = np.fmin(then.end_on, then.average_on) - then.last_on
    allowed[joints] = np.where(np.isnat(days), 0, days.astype(np.int64))
    until = np.full(rows, np.datetime64("NaT", "D"))
    known = joints[~np.isnat(days)]
    until[known] = steps.happened_on[renewed[known]] + allowed[known]
    return until, allowed


def _last_place(steps: Gathered, which: Flags, rows: int) -> Ids:
    """Return the place of each joint's last such event; -1: none."""
    at = np.flatnonzero(which)
    last = np.full(rows, -1)
    # Assigned in order of time: the last stays.
    last[steps.row[at]] = at
    return last
