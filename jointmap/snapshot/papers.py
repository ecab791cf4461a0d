"""Papers that hold from a day until a day, and the one answer to "in date on a day"."""

import datetime as dt
from dataclasses import dataclass
from typing import Any, overload

import numpy as np

from jointmap.register.columns import Codes, Days, Flags, Ids
from jointmap.snapshot.gather import is_within
from jointmap.snapshot.snapshot import Snapshot

IN_DATE, ENDED, NONE_ON_RECORD = 1, 0, -1
# Ended, and let count by an accepted exception.
EXCEPTED = 2


@dataclass(frozen=True, slots=True)
class Papers:
    """One row per paper: whose it is, and the first and the last day it covers.

    A paper covers a day whatever other papers its owner has.
    """

    owner_id: Ids
    from_on: Days
    until_on: Days
    exempt: Ids  # owners who need no paper

    def in_date(self, owner_id: Ids, on: Days) -> Codes:
        """Return how each asked (owner, day) stands: a code per row.

        ``IN_DATE`` also for an owner who needs no paper, ``ENDED`` where no paper on
        record covers the day, ``NONE_ON_RECORD`` where there is none at all.
        """
        valid = is_within(self.owner_id, self.from_on, self.until_on, owner_id, on)
        valid |= np.isin(owner_id, self.exempt)
        has_any = np.isin(owner_id, self.owner_id)
        stands = np.select([valid, has_any], [IN_DATE, ENDED], NONE_ON_RECORD)
        return stands.astype(np.int16)

    def until(self, owner_id: int, on: dt.date) -> dt.date | None:
        """Return the last day of the papers of one owner that cover a day, if any."""
        first, last = self.from_on, self.until_on
        own = (self.owner_id == owner_id) & covers(first, last, np.datetime64(on, "D"))
        found: list[dt.date] = last[own].astype("datetime64[D]").tolist()
        return max(found, default=None)


@overload
def covers(first: dt.date, last: dt.date, on: dt.date) -> bool: ...
@overload
def covers(first: Days, last: Days, on: np.datetime64) -> Flags: ...
def covers(first: Any, last: Any, on: Any) -> Any:
    """Return whether a span of days holds a day, both ends included."""
    return (first <= on) & (on <= last)


def certificates(state: Snapshot) -> Papers:
    """Return the certificates of instruments; those that need none are exempt."""
    papers = state.certificates.values()
    known = state.instruments.items()
    exempt = [id_ for id_, instrument in known if not instrument.needs_certificate]
    return Papers(
        np.array([p.instrument_id for p in papers], np.int64),
        np.array([p.valid_from_on for p in papers], "datetime64[D]"),
        np.array([p.valid_until_on for p in papers], "datetime64[D]"),
        np.array(exempt, np.int64),
    )
