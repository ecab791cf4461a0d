"""The earliest last allowed day by law, which may stand behind another that governs."""

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.register.codes import Basis
from jointmap.register.columns import Days

_NO_DAY = np.datetime64("NaT", "D")
_LATEST = np.iinfo(np.int64).max


def legal_days(found: Assessment) -> Days:
    """Return the earliest day by law of each due item; NaT where no law sets one."""
    candidates, items = found.candidates, found.items
    day = candidates.last_allowed_on
    own = (candidates.basis == Basis.LAW.code) & ~np.isnat(day)
    earliest = np.full(len(found.subjects), _LATEST)
    np.minimum.at(earliest, candidates.row[own], day[own].astype(np.int64))
    mine = earliest[items.row]
    days: Days = np.where(mine == _LATEST, _NO_DAY, mine.astype("datetime64[D]"))
    return days
