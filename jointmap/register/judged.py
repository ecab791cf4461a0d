"""What was concluded from each test, as columns; made by ``acceptance``."""

from dataclasses import dataclass

import numpy as np

from jointmap.register.codes import Verdict
from jointmap.register.columns import Codes, Flags, Floats, Ids, Table


@dataclass(frozen=True, slots=True)
class Judgements(Table):
    """One row per test, in the order of the tests."""

    verdict: Codes
    reason: Codes  # place in acceptance.REASONS
    limit_id: Ids  # that decided; 0 none
    compared: Floats  # SI; NaN where no number was compared
    against: Floats  # SI
    counts: Flags  # may move a due date
    tells_device: Flags  # of the one device, not of the boundary

    @property
    def shows(self) -> Codes:
        """What each test is evidence of: its verdict, but for a good one that is none.

        A good result that does not count shows nothing, as if it could not decide; a
        bad one is an alarm all the same.
        """
        idle = (self.verdict == Verdict.ISOLATING) & ~self.counts
        return np.where(idle, np.int16(Verdict.INCONCLUSIVE.code), self.verdict)
