"""At which stages a test speaks of a joint as installed, and until when of one before.

The word in ``stage`` is a sender's; what the record of the joint says weighs more.
"""

import numpy as np

from jointmap.register.codes import JointState, Stage
from jointmap.register.columns import Codes, Days, Flags

# The kit is not in place, or not tight: nothing follows for what is fitted later.
NOT_IN_PLACE = (Stage.BENCH, Stage.BEFORE_TIGHTENING)
BEFORE_INSTALLED = (*NOT_IN_PLACE, Stage.BEFORE_TIE_IN)
NOT_IN_PLACE_CODES = [s.code for s in NOT_IN_PLACE]
BEFORE_INSTALLED_CODES = [s.code for s in BEFORE_INSTALLED]
# A joint is often written down as in duty before the last of its studs is read, and
# the day on which a later device was tied in stands nowhere.
TIE_IN_DAYS = 30
_BEFORE_TIE_IN = Stage.BEFORE_TIE_IN.code
_IN_DUTY = JointState.IN_DUTY.code


def is_tie_in_over(
    stage: Codes, tested_on: Days, state: Codes, in_duty_on: Days, fitted_on: Days
) -> Flags:
    """Return which tests say that they were before a tie-in that was over by then.

    It is over ``TIE_IN_DAYS`` after the joint's first day in duty, or after the day on
    which the device of that day was fitted, the later one. ``state`` is the joint's: of
    one in duty since nobody knows when, the fitting counts; one not yet in duty is not
    tied in.
    """
    unknown = np.isnat(in_duty_on) & (state == _IN_DUTY)
    since = np.where(unknown, fitted_on, in_duty_on)
    # No day in duty and no duty: no end. ``fmax`` would else take the fitting.
    last: Days = np.where(np.isnat(since), since, np.fmax(since, fitted_on))
    end: Days = last + np.timedelta64(TIE_IN_DAYS, "D")
    over: Flags = (tested_on > end) & (stage == _BEFORE_TIE_IN)
    return over
