"""Device lives as inspections saw them, for curves that assume no error."""

import numpy as np

from jointmap.hazard.ages import Change, Gathered
from jointmap.hazard.weibull import LifeIntervals
from jointmap.register.codes import Verdict
from jointmap.register.columns import Floats, Ids


def seen_lives(steps: Gathered) -> LifeIntervals:
    """Return one life per device with a test: last age good, first age shorted.

    Verdicts are taken at their word and doubtful ones left out; a device is known good
    at age 0. What comes after its first short is another story.
    """
    renewal = (steps.change == Change.DEVICE).astype(np.int64)
    # A renewal ends a life: what stands before it, itself included, is one device.
    device = np.cumsum(renewal) - renewal
    key = device + len(steps) * steps.row
    _, life = np.unique(key, return_inverse=True)
    lives = int(life.max(initial=-1)) + 1
    first_bad = np.full(lives, np.inf)
    bad = steps.verdict == Verdict.SHORTED
    np.minimum.at(first_bad, life[bad], steps.device_until_year[bad])
    good = steps.verdict == Verdict.ISOLATING
    good &= steps.device_until_year < first_bad[life]
    last_good = _greatest(life[good], steps.device_until_year[good], lives)
    told = (last_good > 0) | np.isfinite(first_bad)
    told &= last_good < first_bad
    return LifeIntervals(last_good[told], first_bad[told], np.ones(int(told.sum())))


def _greatest(life: Ids, age: Floats, lives: int) -> Floats:
    found = np.zeros(lives)
    np.maximum.at(found, life, age)
    return found
