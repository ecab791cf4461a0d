"""Papers that hold from a day until a day, and the one answer to "in date on a day"."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, overload

import numpy as np

from jointmap.register.columns import Codes, Days, Flags, Ids
from jointmap.register.joining import row_of
from jointmap.register.paper_states import PaperState
from jointmap.register.testing import Certificate, Qualification
from jointmap.snapshot.gather import is_within, pick
from jointmap.snapshot.snapshot import Snapshot
from jointmap.tables import METHODS
from jointmap.tables.who_reads import methods_of_task

_NEVER = np.datetime64("9999-12-31", "D")
_IN_ORDER = (
    PaperState.NOT_NEEDED,
    PaperState.VALID,
    PaperState.ENDED,
    PaperState.NOT_YET,
)


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
        """Return how each asked (owner, day) stands: a code of ``PaperState``.

        Not needed for an owner who needs no paper; ended where one had ended before
        the day and none covers it; not yet valid where all begin later.
        """
        exempt = np.isin(owner_id, self.exempt)
        valid = is_within(self.owner_id, self.from_on, self.until_on, owner_id, on)
        first_end = self._first_end(owner_id)
        none = np.int16(PaperState.NONE_ON_RECORD.code)
        flags = exempt, valid, first_end < on, first_end < _NEVER
        return np.select(flags, [np.int16(s.code) for s in _IN_ORDER], none)

    def until(self, owner_id: int, on: dt.date) -> dt.date | None:
        """Return the last day of the papers of one owner that cover a day, if any."""
        first, last = self.from_on, self.until_on
        own = (self.owner_id == owner_id) & covers(first, last, np.datetime64(on, "D"))
        found: list[dt.date] = last[own].astype("datetime64[D]").tolist()
        return max(found, default=None)

    def last_end(self, before: dt.date) -> tuple[Ids, Days]:
        """Return the owners with a paper that had ended by a day, and its last day."""
        ended = np.flatnonzero(self.until_on < np.datetime64(before, "D"))
        order = ended[np.lexsort((self.until_on[ended], self.owner_id[ended]))]
        owners = self.owner_id[order]
        is_last = np.diff(owners, append=-1) != 0
        return owners[is_last], self.until_on[order][is_last]

    def _first_end(self, owner_id: Ids) -> Days:
        """Return the last day of the first paper to end of each asked owner."""
        order = np.lexsort((self.until_on, self.owner_id))
        owners, first = np.unique(self.owner_id[order], return_index=True)
        return pick(self.until_on[order][first], row_of(owners, owner_id), _NEVER)


@overload
def covers(first: dt.date, last: dt.date, on: dt.date) -> bool: ...
@overload
def covers(first: Days, last: Days, on: np.datetime64) -> Flags: ...
def covers(first: Any, last: Any, on: Any) -> Any:
    """Return whether a span of days holds a day, both ends included."""
    return (first <= on) & (on <= last)


def certificates(state: Snapshot) -> Papers:
    """Return the certificates of instruments; those that need none are exempt."""
    known = state.instruments.items()
    exempt = [id_ for id_, instrument in known if not instrument.needs_certificate]
    own = [(p.instrument_id, p) for p in state.certificates.values()]
    return _papers(own, exempt)


def qualifications(state: Snapshot) -> Papers:
    """Return the qualifications of persons: one for each method that its task covers.

    The owner is ``owner_for`` a person and a method.
    """
    own = [
        (int(owner_for(p.person_id, method)), p)
        for p in state.qualifications.values()
        for method in methods_of_task(p.task)
    ]
    return _papers(own, [])


@overload
def owner_for(person_id: int, method: int) -> int: ...
@overload
def owner_for(person_id: Ids, method: Codes) -> Ids: ...
def owner_for(person_id: Any, method: Any) -> Any:
    """Return the owner of papers that a person is for a method, by its code."""
    return person_id * (len(METHODS) + 1) + method + 1


def _papers(
    own: Iterable[tuple[int, Certificate | Qualification]], exempt: list[int]
) -> Papers:
    rows = list(own)
    return Papers(
        np.array([owner for owner, _ in rows], np.int64),
        np.array([p.valid_from_on for _, p in rows], "datetime64[D]"),
        np.array([p.valid_until_on for _, p in rows], "datetime64[D]"),
        np.array(exempt, np.int64),
    )
