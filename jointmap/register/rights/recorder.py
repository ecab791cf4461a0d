"""Who records a change, and the roles that count for it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from jointmap.register.rights.needed import may_approve
from jointmap.register.rights.roles import Role, role_called
from jointmap.register.testing import Person
from jointmap.register.told import Told


@dataclass(frozen=True, slots=True)
class Standing:
    """Who records, and the roles that count: those on record before."""

    by: str
    people: Mapping[int, Person]
    is_first: bool = False  # nobody on record could ever bring people in
    by_one: bool = False  # a decision on record: one person runs the site
    # By an entry's number: who recorded it, and who decided what came in with it.
    stood_by: Mapping[str, frozenset[str]] = field(default_factory=dict)
    # By an entry's number: who may approve since that entry.
    appointed: Mapping[str, frozenset[str]] = field(default_factory=dict)
    codes: Mapping[str, int] = field(default_factory=dict)  # who had each code first

    @property
    def word(self) -> str:
        """The word on record for what the one who records does."""
        found = [p.role for p in self.people.values() if p.code == self.by]
        return found[0] if found else ""

    @property
    def role(self) -> Role | None:
        """The role of the one who records; None for a word that carries none."""
        return role_called(self.word)

    @property
    def approvers(self) -> tuple[str, ...]:
        """The codes of those who may be the second of two."""
        found = [p.code for p in self.people.values() if may_approve(p)]
        return tuple(sorted(found))

    def role_of(self, id_: int | None) -> Role | None:
        """Return the role of a person on record."""
        person = self.people.get(id_ or 0)
        return None if person is None else role_called(person.role)

    def code_of(self, id_: int | None) -> str:
        """Return the code of a person on record; blank for one who is not."""
        person = self.people.get(id_ or 0)
        return "" if person is None else person.code

    def told_of(self, id_: int | None) -> str | Told:
        """Return how a person is called; one who comes in has no code yet."""
        return self.code_of(id_) or Told("absent.person_yet")
