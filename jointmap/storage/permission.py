"""What one transaction does, noted as it is written, and whether its author may."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import cast

from jointmap.errors import Problem, Refused, WrongUse
from jointmap.register import Decision, Person, Record
from jointmap.register.codes import DecisionKind
from jointmap.register.rights.authority import (
    change_faults,
    first_faults,
    kind_faults,
)
from jointmap.register.rights.needed import (
    LOOKED_AT,
    Changed,
    gives_code,
    is_plain_joint,
)
from jointmap.register.rights.recorder import Standing
from jointmap.storage.known import Known
from jointmap.storage.past_people import PastPeople

Knows = Callable[[str], Known]


@dataclass(slots=True)
class Permission:
    """Kinds written, each with where it stood first; changes that need more."""

    by: str | None
    # Whether anybody, in any revision on record, could bring people in.
    has_begun: bool = False
    changes: list[Changed] = field(default_factory=list)
    _kinds: dict[tuple[str, bool], str] = field(default_factory=dict)

    @property
    def law(self) -> list[Changed]:
        """The changes of rules, limits, models and of the site's own values."""
        return [c for c in self.changes if c.is_law]

    def note(self, id_: int, old: Record | None, new: Record) -> None:
        """Note a record that is written, and what it replaces."""
        self.note_kind(new.KIND, new.origin, is_new=old is None)
        # Of new joints, of which there may be a million, hardly one asks for more.
        if new.KIND in LOOKED_AT and not is_plain_joint(old, new):
            self.changes.append(Changed(id_, old, new))

    def note_kind(self, kind: str, origin: str, *, is_new: bool) -> None:
        """Note that a record of a kind comes in, or is proposed to."""
        self._kinds.setdefault((kind, is_new), origin)

    def note_plain(self, kind: str) -> None:
        """Note rows that are written without a record; refuses kinds that need more."""
        if kind in LOOKED_AT and kind != "joint" and self.by is not None:
            raise WrongUse(Problem("role.plain", {"kind": kind}))
        self.note_kind(kind, "", is_new=True)

    def check(self, known: Knows, past: PastPeople) -> None:
        """Raise ``Refused`` with all that the author may not."""
        if self.by is None or not self._kinds:
            return
        who = self._standing(known, past)
        found = list(first_faults(who)) if who.is_first else []
        if not found:
            for (kind, is_new), origin in self._kinds.items():
                found += kind_faults(who, kind, origin, is_new=is_new)
            found += change_faults(who, self.changes)
        if found:
            raise Refused(found)

    def _standing(self, known: Knows, past: PastPeople) -> Standing:
        if self.has_begun:
            # Only what changes roles, rules or decisions asks about other people.
            people = past.before(None if self.changes else self.by)
        else:
            # Nobody could have brought people in: those of this delivery count.
            now = {i: r for i, (_, r) in known("person").by_id.items()}
            people = cast("dict[int, Person]", now)
        kinds = {c.new.kind for c in self.changes if isinstance(c.new, Decision)}
        is_seen = DecisionKind.SEEN in kinds
        return Standing(
            by=self.by or "",
            people=people,
            is_first=not self.has_begun,
            by_one=bool(kinds) and _is_by_one(known),
            stood_by=past.authors() if is_seen else {},
            appointed=past.appointed() if is_seen else {},
            codes=past.codes() if any(map(gives_code, self.changes)) else {},
        )


def _is_by_one(known: Knows) -> bool:
    return bool(known("decision").having(kind=DecisionKind.RUN_BY_ONE))
