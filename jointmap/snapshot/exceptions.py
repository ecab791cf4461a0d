"""Accepted exceptions: tests that count although an instrument's paper had ended."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from jointmap.register import Decision, Instrument, IsolationTest
from jointmap.register.codes import DecisionKind
from jointmap.register.columns import Codes, Days, Flags, Ids
from jointmap.snapshot.papers import ENDED, EXCEPTED
from jointmap.snapshot.snapshot import Snapshot


@dataclass(frozen=True, slots=True)
class Accepted:
    """One accepted exception about an instrument, and the days it is meant for."""

    instrument_id: int
    after_on: np.datetime64  # the last day of the paper that had ended
    until_on: np.datetime64  # the day it was decided
    decision: Decision

    def means(self, instrument_id: Ids, on: Days) -> Flags:
        """Return which tests with these instruments on these days are meant."""
        meant: Flags = (on > self.after_on) & (on <= self.until_on)
        meant &= instrument_id == self.instrument_id
        return meant

    def lets_count(self, person_id: Ids) -> Flags:
        """Return whose tests it lets count: of others than those who decided it.

        A test without a person is not shown to be of another.
        """
        deciding = [self.decision.person_id or 0, self.decision.second_person_id or 0]
        others: Flags = (person_id > 0) & ~np.isin(person_id, deciding)
        return others


def accepted_exceptions(state: Snapshot) -> tuple[Accepted, ...]:
    """Return the accepted exceptions about instruments; most sites have none."""
    decided = [
        d
        for d in state.decisions.values()
        if d.kind is DecisionKind.ACCEPTED_EXCEPTION
        and d.subject.strip().lower() == Instrument.KIND
    ]
    return tuple(_meant(state, decided)) if decided else ()


def with_exceptions(
    exceptions: Sequence[Accepted],
    valid: Codes,
    instrument_id: Ids,
    on: Days,
    person_id: Ids,
) -> Codes:
    """Return how each test's instrument stands, those accepted marked as such."""
    found = valid.copy()
    for one in exceptions:
        meant = one.means(instrument_id, on) & one.lets_count(person_id)
        found[meant & (valid == ENDED)] = EXCEPTED
    return found


def exception_of(
    exceptions: Sequence[Accepted], test: IsolationTest
) -> Accepted | None:
    """Return the exception that means a test; of several, one that lets it count."""
    instrument, person = (
        np.array([id_ or 0], np.int64) for id_ in (test.instrument_id, test.person_id)
    )
    on = np.array([test.tested_on], "datetime64[D]")
    own = [e for e in exceptions if e.means(instrument, on)[0]]
    return max(own, key=lambda e: bool(e.lets_count(person)[0]), default=None)


def _meant(state: Snapshot, decided: Sequence[Decision]) -> Iterator[Accepted]:
    """Yield each exception about an instrument whose paper had ended by its day."""
    ids, papers = state.names_ever(Instrument), state.certificates.values()
    for decision in decided:
        id_, on = ids.get(decision.subject_key.strip()), decision.decided_on
        ended = [
            p.valid_until_on
            for p in papers
            if p.instrument_id == id_ and p.valid_until_on < on
        ]
        if id_ is not None and ended:
            after = np.datetime64(max(ended), "D")
            yield Accepted(id_, after, np.datetime64(on, "D"), decision)
