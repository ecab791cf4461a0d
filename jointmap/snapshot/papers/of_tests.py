"""How the person and the instrument of each test stand, and what lets them count."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.register import Decision, Instrument, IsolationTest, Person
from jointmap.register.columns import Codes, Days, Flags, Ids
from jointmap.register.joining import row_of
from jointmap.register.paper_states import Counting, PaperState, paper_code
from jointmap.snapshot.gather import pick
from jointmap.snapshot.papers.exceptions import (
    Accepted,
    accepted_exceptions,
    excepted,
)
from jointmap.snapshot.papers.in_date import (
    Papers,
    certificates,
    owner_for,
    qualifications,
)
from jointmap.snapshot.papers.owner_rules import OwnerRule, counting, owner_rules
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_arrays
from jointmap.tables import METHOD_CODES, METHODS
from jointmap.tables.who_reads import BY_EYE, methods_of_kind

Array = npt.NDArray[Any]


@dataclass(frozen=True, slots=True)
class Asked:
    """Some tests, by what their papers are asked by."""

    person_id: Ids
    instrument_id: Ids
    method: Codes
    on: Days

    @classmethod
    def of(cls, test: IsolationTest) -> "Asked":
        """Return one test as columns."""
        return cls(
            np.array([test.person_id or 0], np.int64),
            np.array([test.instrument_id or 0], np.int64),
            np.array([METHOD_CODES.get(test.method, -1)], np.int16),
            np.array([test.tested_on], "datetime64[D]"),
        )


@dataclass(frozen=True, slots=True)
class PapersOfTests:
    """All that is on record of papers, and what was decided on them."""

    papers: Mapping[str, Papers]
    any_task: Ids  # persons with a qualification, whatever for
    reads: "KindsThatRead"
    exceptions: tuple[Accepted, ...]
    rules: tuple[OwnerRule, ...]

    def persons(self, asked: Asked) -> Codes:
        """Return a paper code for the person of each test."""
        owner = owner_for(asked.person_id, asked.method)
        states = self.papers[Person.KIND].in_date(owner, asked.on)
        none = states == PaperState.NONE_ON_RECORD
        other = none & np.isin(asked.person_id, self.any_task)
        states[other] = PaperState.OTHER_TASK.code
        states[asked.person_id == 0] = PaperState.NONE_NAMED.code
        return self._coded(Person.KIND, states, asked)

    def instruments(self, asked: Asked) -> Codes:
        """Return a paper code for the instrument of each test."""
        named = asked.instrument_id > 0
        states = self.papers[Instrument.KIND].in_date(asked.instrument_id, asked.on)
        states[~named] = PaperState.NONE_NAMED.code
        states[~named & np.isin(asked.method, [*BY_EYE])] = PaperState.NOT_NEEDED.code
        states[self.reads.cannot(asked)] = PaperState.OTHER_KIND.code
        return self._coded(Instrument.KIND, states, asked)

    def rule_on(self, subject: str, asked: Asked, state: int) -> Decision:
        """Return the rule of the owner by which the one test counts in a state."""
        states = np.array([state], np.int16)
        ruled = (r for r in self._rules(subject) if r.holds(states, asked.on)[0])
        return [r.decision for r in ruled][-1]

    def exception_on(self, subject: str, asked: Asked) -> Accepted | None:
        """Return the exception that means the one test; of several one that lets it."""
        own = self._of(asked, subject)
        meant = (e for e in self._excepted(subject) if e.means(*own, asked.on)[0])
        who = asked.person_id
        return max(meant, key=lambda e: bool(e.lets_count(who)[0]), default=None)

    def _coded(self, subject: str, states: Codes, asked: Asked) -> Codes:
        counts = counting(self._rules(subject), states, asked.on)
        own = self._excepted(subject)
        if own:
            which = self._of(asked, subject)
            let = excepted(own, states, *which, asked.on, asked.person_id)
            counts[let & (counts != Counting.BY_RULE)] = Counting.BY_EXCEPTION.code
        return paper_code(states, counts)

    def _rules(self, subject: str) -> tuple[OwnerRule, ...]:
        return tuple(r for r in self.rules if r.subject == subject)

    def _excepted(self, subject: str) -> tuple[Accepted, ...]:
        return tuple(e for e in self.exceptions if e.subject == subject)

    @staticmethod
    def _of(asked: Asked, subject: str) -> tuple[Ids, Ids]:
        """Return whom or what each test was made by or with, and as which owner."""
        if subject == Instrument.KIND:
            return asked.instrument_id, asked.instrument_id
        return asked.person_id, owner_for(asked.person_id, asked.method)


@dataclass(frozen=True, slots=True)
class KindsThatRead:
    """The instruments of a kind that the table has, and which methods each can read."""

    instrument_id: Ids
    reads: Flags  # a row per instrument, a column per method and one for none

    @classmethod
    def of(cls, state: Snapshot) -> "KindsThatRead":
        """Return those of a state."""
        known = {i: methods_of_kind(r.kind) for i, r in state.instruments.items()}
        rows = [(i, codes) for i, codes in known.items() if codes is not None]
        reads = np.zeros((len(rows), len(METHODS) + 1), np.bool_)
        reads[:, -1] = True
        for row, (_, codes) in enumerate(rows):
            reads[row, [*codes]] = True
        return cls(np.array([i for i, _ in rows], np.int64), reads)

    def cannot(self, asked: Asked) -> Flags:
        """Return which tests were made with a kind that cannot make the reading."""
        row = row_of(self.instrument_id, asked.instrument_id)
        found: Flags = row >= 0
        known = np.flatnonzero(found)
        found[known] = ~self.reads[row[known], asked.method[known]]
        return found


def named_in_tests(state: Snapshot, test_id: Ids) -> Mapping[str, Ids]:
    """Return who made each test and what with, by the kind of record; 0: none named."""
    found = read_arrays(state.stored, IsolationTest, ["person_id", "instrument_id"])
    rows = row_of(found["id"], test_id)
    return {
        kind: pick(found[f"{kind}_id"], rows, 0)
        for kind in (Person.KIND, Instrument.KIND)
    }


def papers_of_tests(state: Snapshot) -> PapersOfTests:
    """Return what the papers of tests are judged by."""
    papers = {Person.KIND: qualifications(state), Instrument.KIND: certificates(state)}
    having = {q.person_id for q in state.qualifications.values()}
    return PapersOfTests(
        papers,
        np.array(sorted(having), np.int64),
        KindsThatRead.of(state),
        accepted_exceptions(state, papers),
        owner_rules(state),
    )
