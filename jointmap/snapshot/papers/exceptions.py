"""Accepted exceptions: tests that count although a paper does not cover their day."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jointmap.register import Decision, Instrument, Person
from jointmap.register.codes import DecisionKind
from jointmap.register.columns import Codes, Days, Flags, Ids
from jointmap.register.joining import row_of
from jointmap.register.paper_states import PaperState
from jointmap.snapshot.gather import pick
from jointmap.snapshot.papers.in_date import Papers
from jointmap.snapshot.snapshot import Snapshot
from jointmap.tables import METHODS

_BEFORE_ALL = np.datetime64("0001-01-01", "D")
# What somebody may accept: that a paper is missing, not that nobody is named or that
# an instrument reads what it cannot read.
_ACCEPTED = (
    PaperState.ENDED,
    PaperState.NOT_YET,
    PaperState.NONE_ON_RECORD,
    PaperState.OTHER_TASK,
)


@dataclass(frozen=True, slots=True)
class Accepted:
    """One accepted exception about a person or an instrument, and its days."""

    subject: str  # kind of the record: person or instrument
    id: int
    owner_id: Ids  # owners with a paper that had ended by the day it was decided
    after_on: Days  # the last day of that paper
    until_on: np.datetime64  # the day it was decided
    decision: Decision

    def means(self, id_: Ids, owner_id: Ids, on: Days) -> Flags:
        """Return which tests by or with these, on these days, are meant."""
        after = pick(self.after_on, row_of(self.owner_id, owner_id), _BEFORE_ALL)
        meant: Flags = (id_ == self.id) & (on > after) & (on <= self.until_on)
        return meant

    def lets_count(self, person_id: Ids) -> Flags:
        """Return whose tests it lets count: of others than those who decided it.

        A test without a person is not shown to be of another.
        """
        deciding = [self.decision.person_id or 0, self.decision.second_person_id or 0]
        others: Flags = (person_id > 0) & ~np.isin(person_id, deciding)
        return others


def accepted_exceptions(
    state: Snapshot, papers: Mapping[str, Papers]
) -> tuple[Accepted, ...]:
    """Return the accepted exceptions about persons and instruments; most have none.

    ``papers`` are those of each of the two kinds of record.
    """
    decided = [
        d
        for d in state.decisions.values()
        if d.kind is DecisionKind.ACCEPTED_EXCEPTION
        and d.subject.strip().lower() in papers
    ]
    return tuple(_meant(state, decided, papers)) if decided else ()


def excepted(
    exceptions: Sequence[Accepted],
    states: Codes,
    id_: Ids,
    owner_id: Ids,
    on: Days,
    person_id: Ids,
) -> Flags:
    """Return which tests an exception about their own kind of paper lets count."""
    found = np.zeros(len(states), np.bool_)
    for one in exceptions:
        found |= one.means(id_, owner_id, on) & one.lets_count(person_id)
    return found & np.isin(states, [s.code for s in _ACCEPTED])


def _meant(
    state: Snapshot, decided: Sequence[Decision], papers: Mapping[str, Papers]
) -> Iterator[Accepted]:
    """Yield each exception that names a person or an instrument on record."""
    for decision in decided:
        subject, on = decision.subject.strip().lower(), decision.decided_on
        id_ = _named(state, subject).get(decision.subject_key.strip().lower())
        if id_ is not None:
            owners, ends = papers[subject].last_end(on)
            own = owners == id_
            if subject == Person.KIND:
                own = owners // (len(METHODS) + 1) == id_
            until = np.datetime64(on, "D")
            yield Accepted(subject, id_, owners[own], ends[own], until, decision)


def _named(state: Snapshot, subject: str) -> Mapping[str, int]:
    """Return persons or instruments by name, in small letters as a load takes them."""
    if subject == Instrument.KIND:
        return {n.lower(): id_ for n, id_ in state.names_ever(Instrument).items()}
    return {person.code.lower(): id_ for id_, person in state.people.items()}
