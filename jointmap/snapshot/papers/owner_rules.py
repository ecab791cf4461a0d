"""Rules of the owner on which papers are asked for, decided by two persons.

``papers not asked`` lets a state of a person's or an instrument's papers count from its
day, ``papers asked`` ends that; of several the latest holds. ``papers not kept`` is of
history: what has none on record counts up to its last day.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.register import Decision
from jointmap.register.codes import DecisionKind
from jointmap.register.columns import Codes, Days, Flags
from jointmap.register.paper_states import (
    RULED,
    SOUND,
    Counting,
)
from jointmap.register.ruling import ON_PAPERS, PAPERED
from jointmap.snapshot.snapshot import Snapshot

_EVER = np.datetime64("0001-01-01", "D")


@dataclass(frozen=True, slots=True)
class OwnerRule:
    """One decision on papers of persons, or of instruments: states and days."""

    subject: str
    states: tuple[int, ...]
    first_on: np.datetime64
    last_on: np.datetime64
    counting: Counting
    decision: Decision

    def holds(self, states: Codes, on: Days) -> Flags:
        """Return for which tests, in these states on these days, it holds."""
        days: Flags = (self.first_on <= on) & (on <= self.last_on)
        return days & np.isin(states, self.states)


def owner_rules(state: Snapshot) -> tuple[OwnerRule, ...]:
    """Return the rules of the owner, those that hold before others last."""
    decided = [d for d in state.decisions.values() if d.kind in ON_PAPERS]
    past = DecisionKind.PAPERS_NOT_KEPT
    decided.sort(key=lambda d: (d.kind is past, d.decided_on))
    return tuple(rule for d in decided for rule in _rules(d))


def counting(rules: tuple[OwnerRule, ...], states: Codes, on: Days) -> Codes:
    """Return how each state of a paper counts on its day, by these rules of one kind.

    Where none holds, it counts by itself or it does not.
    """
    by_itself = np.isin(states, [s.code for s in SOUND])
    found = np.where(by_itself, Counting.BY_ITSELF.code, Counting.NOT.code)
    for rule in rules:
        found[rule.holds(states, on)] = rule.counting.code
    return found.astype(np.int16)


def _rules(decision: Decision) -> Iterator[OwnerRule]:
    subject = decision.subject.strip().lower()
    states = RULED.get(decision.subject_key.strip().lower(), ())
    is_past = decision.kind is DecisionKind.PAPERS_NOT_KEPT
    asked = decision.kind is DecisionKind.PAPERS_ASKED
    if subject in PAPERED and states:
        yield OwnerRule(
            subject,
            tuple(s.code for s in states),
            _EVER if is_past else np.datetime64(decision.decided_on, "D"),
            np.datetime64(decision.until_on or "9999-12-31", "D"),
            Counting.NOT if asked else Counting.BY_RULE,
            decision,
        )
