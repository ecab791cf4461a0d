"""Who may record what: the roles of people, and one table of what each may do.

A role is what a person does at the site, in the trade's words. ``MAY_ADD`` and
``MAY_CORRECT`` say it for each kind of record, ``MAY_DECIDE`` for each kind of
decision, ``MAY_DO`` for changes that the kind of record alone does not tell.
"""

from enum import StrEnum

from jointmap.register.codes import DecisionKind, PathKind


class Role(StrEnum):
    """What a person does at the site; any other word carries no authority."""

    KEEPER = "register keeper"
    ENGINEER = "integrity engineer"
    PLANNER = "planner"
    AUDITOR = "auditor"
    TECHNICIAN = "field technician"
    CONTRACTOR = "piping contractor"
    INSPECTOR = "fitting inspector"
    OPERATOR = "site operator"
    REGULATOR = "regulator"


class Act(StrEnum):
    """A change that the kind of record alone does not tell."""

    CHANGE_DUTY = "take a joint out of duty, or back"
    RENAME = "give a joint another tag"
    JOIN = "permit a boundary to be joined on purpose"
    BOND = "record a bond that is meant to join"
    GIVE_ROLE = "give a role that may approve, or take it away"


Roles = tuple[Role, ...]

_KEEPERS: Roles = (Role.KEEPER, Role.ENGINEER)
_OFFICE: Roles = (*_KEEPERS, Role.PLANNER)
_PAPERS: Roles = (*_OFFICE, Role.INSPECTOR)
_FIELD: Roles = (*_PAPERS, Role.TECHNICIAN, Role.CONTRACTOR)
_ALL_WHO_RECORD: Roles = (*_FIELD, Role.OPERATOR)

MAY_ADD: dict[str, Roles] = {
    "site": _KEEPERS,
    "person": _KEEPERS,
    "qualification": _OFFICE,
    "instrument": _PAPERS,
    "certificate": _PAPERS,
    "line": _KEEPERS,
    "chainage": _KEEPERS,
    "structure": _KEEPERS,
    "source": _KEEPERS,
    "boundary": _KEEPERS,
    "joint": (*_KEEPERS, Role.INSPECTOR, Role.CONTRACTOR),
    "alias": _KEEPERS,
    "test_point": _FIELD,
    "lead": _FIELD,
    "device": _FIELD,
    "installation": _FIELD,
    "path": _FIELD,
    "occurrence": _ALL_WHO_RECORD,
    "crew": _OFFICE,
    "day_off": _OFFICE,
    "road": _OFFICE,
    "position": _FIELD,
    "altered": _KEEPERS,
    "test": _FIELD,
    "rule": _KEEPERS,
    "limit": _KEEPERS,
    "model": _KEEPERS,
    "decision": (*_OFFICE, Role.AUDITOR),
    "attachment": (*_ALL_WHO_RECORD, Role.AUDITOR),
    "photo_place": (*_ALL_WHO_RECORD, Role.AUDITOR),
    # A value as sent that differs or is in doubt: it waits, and changes nothing.
    "held": _ALL_WHO_RECORD,
}

MAY_CORRECT: dict[str, Roles] = {
    **dict.fromkeys(MAY_ADD, _KEEPERS),
    **dict.fromkeys(
        (
            "test_point", "lead", "device", "installation", "path", "occurrence",
            "crew", "day_off", "road", "position", "test", "held",
        ),
        _OFFICE,
    ),
}  # fmt: skip

MAY_DECIDE: dict[DecisionKind, Roles] = {
    DecisionKind.ADOPTED: _KEEPERS,
    DecisionKind.ACCEPTED_PROPOSAL: _OFFICE,
    DecisionKind.REFUSED_PROPOSAL: _OFFICE,
    DecisionKind.DEFERRED: _OFFICE,
    DecisionKind.JOINED_ON_PURPOSE: _KEEPERS,
    DecisionKind.RELEASED: _KEEPERS,
    DecisionKind.ACCEPTED_EXCEPTION: _KEEPERS,
    DecisionKind.REMEDIAL_PLAN: _OFFICE,
    DecisionKind.PERMIT_RECEIVED: _OFFICE,
    DecisionKind.SEEN: (*_KEEPERS, Role.AUDITOR),
    DecisionKind.RUN_BY_ONE: _KEEPERS,
    DecisionKind.ROLE_GIVEN: _KEEPERS,
    DecisionKind.YEARLY_IMPRACTICAL: _KEEPERS,
    DecisionKind.PAPERS_NOT_ASKED: _KEEPERS,
    DecisionKind.PAPERS_ASKED: _KEEPERS,
    DecisionKind.PAPERS_NOT_KEPT: _KEEPERS,
}

MAY_DO: dict[Act, Roles] = dict.fromkeys(Act, _KEEPERS)

# Who may be the second of two, and who may look at what another changed.
MAY_APPROVE: Roles = (Role.KEEPER, Role.ENGINEER, Role.AUDITOR)
# A first delivery is by one of these: they may bring people in.
MAY_BEGIN: Roles = MAY_ADD["person"]

# Decisions that ask for two different persons.
FOR_TWO = frozenset({
    DecisionKind.ADOPTED,
    DecisionKind.DEFERRED,
    DecisionKind.JOINED_ON_PURPOSE,
    DecisionKind.ACCEPTED_EXCEPTION,
    DecisionKind.ROLE_GIVEN,
    DecisionKind.YEARLY_IMPRACTICAL,
    DecisionKind.PAPERS_NOT_ASKED,
    DecisionKind.PAPERS_ASKED,
    DecisionKind.PAPERS_NOT_KEPT,
})  # fmt: skip

# Paths that join because somebody decided so: they are no finding of their own.
MEANT_TO_JOIN = (PathKind.BOND_ON_PURPOSE, PathKind.RESISTANCE_BOND, PathKind.DRAINAGE)

# A test put off for longer is another interval: a rule, not a deferral (our choice).
LONGEST_DEFERRAL_DAYS = 366


def role_called(word: str) -> Role | None:
    """Return the role of a word; None for one that carries no authority.

    >>> role_called("planner"), role_called("boss")
    (<Role.PLANNER: 'planner'>, None)
    """
    return Role(word) if word in set(Role) else None


def those_who_may(kind: str, *, is_new: bool) -> Roles:
    """Return the roles that may record a new record of a kind, or correct one."""
    return (MAY_ADD if is_new else MAY_CORRECT)[kind]
