"""Values that wait for a person: put down once, closed when a correction gives them."""

import datetime as dt
import json
from collections.abc import Container, Iterable
from dataclasses import dataclass, field, replace
from typing import TypeAlias, cast

from jointmap.changes.rows.resolve import subject_key
from jointmap.errors import Problem
from jointmap.exchange import Draft
from jointmap.register import FORMS, Held
from jointmap.register.altered import ALTERABLE
from jointmap.storage import Writing

DIFFERS = "row.differs"
# The same of a fact that may be another from a day on, and was not wrong before.
DIFFERS_SINCE = "row.differs_since"
POSITION = "position"
# The heading of what waits as one row.
ROW = "row"
Doubt: TypeAlias = tuple[str, str]
_Question: TypeAlias = tuple[str, str, str | None, str]


def differs(kind: str, label: str) -> str:
    """Return the doubt about a value that differs from what is on record."""
    names = ALTERABLE.get(kind, ())
    labels = {c.label for c in FORMS[kind].columns if c.name in names}
    return DIFFERS_SINCE if label in labels else DIFFERS


def held_of(draft: Draft, problem: Problem, today: dt.date) -> Held:
    """Return the record of a value that waits, with its doubt and its proposal."""
    about = draft.sheet, subject_key(draft), draft.origin
    return held_about(*about, problem, today)


def held_about(
    sheet: str, subject: str, origin: str, problem: Problem, today: dt.date
) -> Held:
    """Return the same for a value of the record that is called ``subject``."""
    details = {k: _plain(v) for k, v in problem.values.items() if k != "proposal"}
    proposal = problem.values.get("proposal")
    return Held(
        sheet=sheet,
        subject_key=subject,
        column=problem.column,
        sent_on=today,
        doubt=problem.id,
        details=json.dumps(details, ensure_ascii=False, sort_keys=True),
        value=problem.value,
        proposal=None if proposal is None else str(proposal),
        origin=origin,
    )


def _plain(value: object) -> object:
    # Numbers stay numbers, so that a sentence made later shows them with their unit.
    return value if isinstance(value, int | float | list) else str(value)


@dataclass(slots=True)
class Holding:
    """What waits, while one delivery is taken in."""

    job: Writing
    _asked: dict[_Question, bool] = field(default_factory=dict)
    _subjects: set[str] = field(default_factory=set)

    def hold(self, held: Held, *, is_new: bool) -> bool:
        """Keep a value that waits; return whether it does.

        The same question is kept once. One that was decided is asked again only about
        what ``is_new`` on record.
        """
        self._recall(held.subject_key)
        waits = self._asked.get(_question(held))
        if waits is False and not is_new:
            return False
        if not waits:
            self._keep(held)
        return True

    def _keep(self, held: Held) -> None:
        id_ = self.job.known("held").id_of(held.key())
        if id_ is None:
            self.job.add(held)
        else:
            # Another value for the same cell on the same day: what was sent last waits.
            self.job.revise(id_, held)
        self._note(held)

    def settle(
        self, subject: str, columns: Iterable[str], gone: Container[Doubt] = ()
    ) -> list[Held]:
        """Close what was held on values that a correction has now given.

        And each doubt, by its id and column, that is ``gone`` by what it has given.
        """
        self._recall(subject)
        # Whatever is corrected, what waits as a row is answered.
        given, closed = {*columns, ROW}, []
        for id_, record in self.job.known("held").having(subject_key=subject):
            held = cast("Held", record)
            is_given = held.column in given or (held.doubt, held.column) in gone
            if held.is_open and is_given:
                self.job.revise(id_, replace(held, is_open=False))
                self._asked[_question(held)] = False
                closed.append(held)
        return closed

    def _recall(self, subject: str) -> None:
        """Read what was asked about a record, when it is first spoken of."""
        if subject not in self._subjects:
            self._subjects.add(subject)
            for _, record in self.job.known("held").having(subject_key=subject):
                self._note(cast("Held", record))

    def _note(self, held: Held) -> None:
        question = _question(held)
        self._asked[question] = held.is_open or self._asked.get(question, False)


def _question(held: Held) -> _Question:
    return held.subject_key, held.column, held.value, held.doubt
