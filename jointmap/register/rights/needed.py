"""What a change needs beside a role: an act of its own, and a decision on record."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, cast

from jointmap.register.codes import LEFT_DUTY, DecisionKind, JointState
from jointmap.register.fields import Record
from jointmap.register.fitting import ParallelPath
from jointmap.register.place import Boundary, Joint, Site
from jointmap.register.rights.roles import MAY_APPROVE, MEANT_TO_JOIN, Act, role_called
from jointmap.register.testing import Person

# What verdicts and dates are judged by: each change of one is told first, and shown
# until a second person has seen it. The site's own record holds reach and margins.
LAW = ("rule", "limit", "model", "site")


@dataclass(frozen=True, slots=True)
class Changed:
    """A record written in one transaction, and what it replaces."""

    id: int
    old: Record | None
    new: Record

    @property
    def is_law(self) -> bool:
        """Whether it changes what is judged by; a first site record changes nothing."""
        is_first_site = self.new.KIND == "site" and self.old is None
        return self.new.KIND in LAW and not is_first_site


@dataclass(frozen=True, slots=True)
class Needed:
    """The decision that has to come with a change, and whether it asks for two."""

    kind: DecisionKind
    subject: str
    key: str
    for_two: bool = True


def acts_of(change: Changed) -> Iterator[Act]:
    """Yield what a change is, beyond a new or a corrected record of its kind."""
    find = _ACTS.get(change.new.KIND)
    if find is not None:
        yield from find(change.old, change.new)


def decision_needed(change: Changed) -> Needed | None:
    """Return the decision that a change asks for; None for most."""
    find = _NEEDED.get(change.new.KIND)
    return None if find is None else find(change.old, change.new)


def gives_authority(old: Person | None, new: Person) -> bool:
    """Whether a person gets a role that may approve what others do."""
    return may_approve(new) and (old is None or old.role != new.role)


def changes_authority(old: Person | None, new: Person) -> bool:
    """Whether somebody may approve from now on, no longer, or by another code."""
    return _authority(old) != _authority(new)


def may_approve(person: Person) -> bool:
    """Whether a person's role may approve what another decided."""
    return role_called(person.role) in MAY_APPROVE


def _authority(person: Person | None) -> tuple[str, str] | None:
    if person is None or not may_approve(person):
        return None
    return person.code, person.role


def is_plain_joint(old: Record | None, new: Record) -> bool:
    """Whether a joint comes in new, and is not said to be out of duty already."""
    return isinstance(new, Joint) and old is None and new.state not in LEFT_DUTY


def gives_code(change: Changed) -> bool:
    """Whether somebody has a code from now on."""
    new, old = change.new, change.old
    return isinstance(new, Person) and (old is None or old.key() != new.key())


def _joint_acts(old: Joint | None, new: Joint) -> Iterator[Act]:
    if old is None:
        if new.state in LEFT_DUTY:
            yield Act.CHANGE_DUTY
        return
    if _leaves_duty(old, new) or (old.state in LEFT_DUTY) != (new.state in LEFT_DUTY):
        yield Act.CHANGE_DUTY
    if old.tag != new.tag:
        yield Act.RENAME


def _path_acts(old: ParallelPath | None, new: ParallelPath) -> Iterator[Act]:
    before = old is not None and old.kind in MEANT_TO_JOIN
    if new.kind in MEANT_TO_JOIN and not before:
        yield Act.BOND


def _permission(boundary: Boundary | None) -> tuple[Any, ...]:
    if boundary is None:
        return ("", None, None)
    return boundary.joined_by, boundary.joined_from_on, boundary.joined_until_on


def _is_permission(old: Boundary | None, new: Boundary) -> bool:
    return _permission(old) != _permission(new)


def _joint_needs(old: Joint | None, new: Joint) -> Needed | None:
    if old is None:
        return None
    leaves = _leaves_duty(old, new)
    ends = new.state in LEFT_DUTY and old.state is not new.state
    if not leaves and not ends:
        return None
    for_two = leaves or new.state is JointState.OUT_OF_DUTY
    return Needed(DecisionKind.RELEASED, "joint", new.tag, for_two)


def _leaves_duty(old: Joint, new: Joint) -> bool:
    """Whether a joint in duty is not any more, by whatever word, or was not yet."""
    if old.state is not JointState.IN_DUTY:
        return False
    return new.state is not JointState.IN_DUTY or _starts_later(old, new)


def _starts_later(old: Joint, new: Joint) -> bool:
    """Whether duty is said to begin later, or on a day where none was said."""
    before, after = old.in_duty_on, new.in_duty_on
    if before is None or after is None:
        return before is not after
    return after > before


def _site_needs(old: Site | None, new: Site) -> Needed | None:
    return None if old is None else Needed(DecisionKind.ADOPTED, "site", new.code)


def _person_needs(old: Person | None, new: Person) -> Needed | None:
    if not changes_authority(old, new):
        return None
    return Needed(DecisionKind.ROLE_GIVEN, "person", new.code)


def _boundary_needs(old: Boundary | None, new: Boundary) -> Needed | None:
    if not _is_permission(old, new):
        return None
    return Needed(DecisionKind.JOINED_ON_PURPOSE, "boundary", new.name)


def _law_needs(old: Record | None, new: Record) -> Needed:
    del old
    return Needed(DecisionKind.ADOPTED, new.KIND, cast("Any", new).name)


_ACTS: dict[str, Callable[..., Iterator[Act]]] = {
    "joint": _joint_acts,
    "path": _path_acts,
    "boundary": lambda old, new: iter([Act.JOIN] * _is_permission(old, new)),
    "person": lambda old, new: iter([Act.GIVE_ROLE] * changes_authority(old, new)),
}
_NEEDED: dict[str, Callable[..., Needed | None]] = {
    "site": _site_needs,
    "person": _person_needs,
    "boundary": _boundary_needs,
    "joint": _joint_needs,
    "rule": _law_needs,
    "limit": _law_needs,
    "model": _law_needs,
}
# Kinds of which more than the kind decides who may; of joints only what is corrected.
LOOKED_AT = frozenset({*_ACTS, *_NEEDED, "decision"})
