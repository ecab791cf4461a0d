"""What a joint of a small class said of the class itself, to be left out of its rate.

A joint's record counts in its class and in its own multiplier; in a class of a few that
is the same evidence twice.
"""

import numpy as np

from jointmap.hazard.ages import LifeEvents, events_of
from jointmap.hazard.dates import LifeColumns
from jointmap.hazard.failure_model import ClassFamily, FailureModel
from jointmap.hazard.life_likelihood import NUDGE, LifeRecord, record_of, slopes
from jointmap.intervals.sums import sum_by
from jointmap.register.columns import Codes, Flags, Floats


def own_counts(model: FailureModel, lives: LifeColumns, events: LifeEvents) -> Floats:
    """Return ``LifeColumns.own_counts`` of joints whose classes are the model's.

    The same central differences by which the classes were learned, of one joint each;
    from the record up to the last event that the model has seen.
    """
    small = [
        _is_small(model, model.device, lives.device_class),
        _is_small(model, model.place, lives.place_class),
    ]
    rows = np.flatnonzero(small[0] | small[1])
    if not len(rows):
        return np.broadcast_to(np.zeros(5), (len(lives), 5))
    seen = events.happened_on <= np.datetime64(model.learned_until, "D")
    part = events_of(events.take(seen), rows, len(lives))
    record = record_of(model, lives.take(rows), part)
    found = np.zeros((len(lives), 5))
    found[rows, :4] = _counts(model, record)
    found[rows, 4] = sum_by(record.steps.row, record.steps.years, len(rows))
    found[~small[0], :2] = 0.0
    found[~small[0], 4] = 0.0
    found[~small[1], 2:4] = 0.0
    return found


def _is_small(model: FailureModel, family: ClassFamily, code: Codes) -> Flags:
    joints = family.with_other().joints[code]
    found: Flags = (joints > 0) & (joints < model.small_class)
    return found


def _counts(model: FailureModel, record: LifeRecord) -> Floats:
    """Return effective failures and exposure of each joint: device, then place."""
    rates = [f.with_other().rate for f in (model.device, model.place)]
    codes = (record.lives.device_class, record.lives.place_class)
    found = []
    for which in (0, 1):
        nudged = []
        for nudge in (-NUDGE, 0.0, NUDGE):
            logs = [np.log(rate) for rate in rates]
            logs[which] = logs[which] + nudge
            nudged.append(record.likelihood(model, *logs))
        score, information = slopes(*nudged)
        found += [information + score, information / rates[which][codes[which]]]
    return np.stack(found, axis=1)
