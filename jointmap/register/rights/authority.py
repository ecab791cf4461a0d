"""Whether who records a change may, and whether two persons stand behind it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta

from jointmap.errors import Problem
from jointmap.register.codes import DecisionKind
from jointmap.register.fields import ABOUT_THE_ROW, Record, form_of
from jointmap.register.rights.needed import (
    Changed,
    Needed,
    acts_of,
    decision_needed,
    may_approve,
)
from jointmap.register.rights.recorder import Standing
from jointmap.register.rights.roles import (
    FOR_TWO,
    LONGEST_DEFERRAL_DAYS,
    MAY_APPROVE,
    MAY_BEGIN,
    MAY_DECIDE,
    MAY_DO,
    Role,
    Roles,
    role_called,
    those_who_may,
)
from jointmap.register.ruling import Decision, Limit, Rule
from jointmap.register.testing import Person
from jointmap.register.told import Told

# What a decision was is not corrected: another one is made. How it came in may be.
_STAYS = tuple(c.name for c in form_of(Decision).columns if c.name not in ABOUT_THE_ROW)


def kind_faults(
    who: Standing, kind: str, origin: str, *, is_new: bool
) -> Iterator[Problem]:
    """Yield why a person may not record a new record of a kind, or correct one."""
    may = those_who_may(kind, is_new=is_new)
    if who.role not in may:
        act = "record a new" if is_new else "correct a"
        yield _refused(who, f"{act} {kind.replace('_', ' ')}", may, origin)


def change_faults(who: Standing, changes: Sequence[Changed]) -> Iterator[Problem]:
    """Yield what is wrong with the changes of one transaction, taken together."""
    made = {
        c.id: c.new for c in changes if isinstance(c.new, Decision) and c.old is None
    }
    for change in changes:
        for problem in _faults(who, change, made):
            yield placed(problem, change.new.origin)
    yield from _last_faults(who, changes)


def _last_faults(who: Standing, changes: Sequence[Changed]) -> Iterator[Problem]:
    """Yield that nobody would be left who may bring people in."""
    after = dict(who.people)
    lost = None
    for change in changes:
        if isinstance(change.new, Person):
            old = after.get(change.id)
            after[change.id] = change.new
            if old is not None and may_begin(old) and not may_begin(change.new):
                lost = change.new
    if lost is not None and not any(map(may_begin, after.values())):
        facts = {"code": lost.code, "accepted": " or ".join(MAY_BEGIN)}
        problem = Problem("role.last", facts, column="role", value=lost.role)
        yield placed(problem, lost.origin)


def may_begin(person: Person) -> bool:
    """Whether a person's role may bring people in."""
    return role_called(person.role) in MAY_BEGIN


def first_faults(who: Standing) -> Iterator[Problem]:
    """Yield why a first delivery may not be by this person."""
    if who.role not in MAY_BEGIN:
        facts = {"by": who.by, "accepted": " or ".join(MAY_BEGIN)}
        yield Problem("role.first", facts)


def word_faults(old: Person | None, new: Person) -> Iterator[Problem]:
    """Yield why a person cannot come in with this word for a role."""
    if role_called(new.role) is None and (old is None or old.role != new.role):
        facts = {"accepted": ", ".join(Role)}
        yield Problem("role.unknown", facts, column="role", value=new.role)


def length_faults(decision: Decision) -> Iterator[Problem]:
    """Yield why a test cannot be put off for so long."""
    last = decision.decided_on + timedelta(days=LONGEST_DEFERRAL_DAYS)
    until = decision.until_on
    if decision.kind is DecisionKind.DEFERRED and until is not None and until > last:
        facts = {"last": last, "days": LONGEST_DEFERRAL_DAYS}
        yield Problem("defer.too_long", facts, column="until_on", value=str(until))


def placed(problem: Problem, origin: str) -> Problem:
    """Return a problem with the file and line that a record came from."""
    file, _, line = origin.rpartition(":")
    if not line.isdigit():
        return problem
    return replace(problem, file=file, line=int(line))


def _faults(
    who: Standing, change: Changed, made: Mapping[int, Decision]
) -> Iterator[Problem]:
    beyond = [act for act in acts_of(change) if who.role not in MAY_DO[act]]
    yield from (_refused(who, str(act), MAY_DO[act], "") for act in beyond)
    if isinstance(change.new, Person):
        old = change.old if isinstance(change.old, Person) else None
        yield from word_faults(old, change.new)
        yield from _code_faults(who, change.id, change.new)
    if isinstance(change.new, Decision):
        yield from _decision_faults(who, change.old, change.new)
    # Nobody is told of a second person whose word would not help.
    found = _uncovered(who, change, made)
    yield from (p for p in found if not (beyond and p.id.startswith("second.")))


def _uncovered(
    who: Standing, change: Changed, made: Mapping[int, Decision]
) -> Iterator[Problem]:
    """Yield why no decision stands behind a change that needs one."""
    needed = decision_needed(change)
    # At first roles are given, to people who come in; none is taken away.
    at_first = who.is_first and isinstance(change.new, Person)
    if needed is not None and (not at_first or _approved(change.old)):
        yield from _cover_faults(who, needed, change.new, made)


def _code_faults(who: Standing, id_: int, person: Person) -> Iterator[Problem]:
    """Yield that a code was another's, under which things stand on record."""
    first = who.codes.get(person.code, id_)
    if first != id_:
        facts = {"now": who.told_of(first)}
        yield Problem("person.code_taken", facts, column="code", value=person.code)


def _approved(record: Record | None) -> bool:
    return isinstance(record, Person) and may_approve(record)


def _cover_faults(
    who: Standing, needed: Needed, record: Record, made: Mapping[int, Decision]
) -> Iterator[Problem]:
    """Yield why no decision of this transaction stands behind a change."""
    if isinstance(record, Rule | Limit):
        found = made.get(record.decision_id or 0)
        covers = found is not None and found.kind is needed.kind
    else:
        own = (needed.kind, needed.subject, needed.key.lower())
        found = next((d for d in made.values() if _about(d) == own), None)
        covers = found is not None
    facts = {"kind": needed.kind, "what": f"{needed.subject} '{needed.key}'"}
    if not covers or found is None:
        yield Problem("role.no_decision", facts)
    elif needed.for_two and needed.kind not in FOR_TWO:
        yield from _two_faults(who, found)


def _about(decision: Decision) -> tuple[DecisionKind, str, str]:
    subject = decision.subject.strip().lower()
    return decision.kind, subject, decision.subject_key.strip().lower()


def _decision_faults(
    who: Standing, old: Record | None, new: Decision
) -> Iterator[Problem]:
    if old is not None:
        if any(getattr(old, name) != getattr(new, name) for name in _STAYS):
            yield Problem("decision.stays", {"number": new.number})
        return
    beyond = [*_decider_faults(who, new)]
    yield from beyond
    yield from length_faults(new)
    if not beyond and (new.kind in FOR_TWO or new.second_person_id is not None):
        yield from _two_faults(who, new)
    if new.kind is DecisionKind.SEEN:
        yield from _seen_faults(who, new)
    if new.kind is DecisionKind.RUN_BY_ONE:
        yield from _one_faults(who, new)


def _decider_faults(who: Standing, decision: Decision) -> Iterator[Problem]:
    may = MAY_DECIDE[decision.kind]
    deed = f"record a decision '{decision.kind}'"
    person = decision.person_id
    if who.role not in may:
        yield _refused(who, deed, may, "")
    elif person is not None and who.role_of(person) not in may:
        facts = _facts(deed, may) | {"person": who.told_of(person)}
        yield Problem("role.decider", facts)


def _two_faults(who: Standing, decision: Decision) -> Iterator[Problem]:
    facts: dict[str, object] = {"number": decision.number, "kind": decision.kind}
    facts["accepted"] = _others(who, decision.person_id)
    second = decision.second_person_id
    if decision.person_id is None:
        yield Problem("second.no_person", facts, column="person")
    elif second is None:
        if not _is_alone(who, decision):
            yield Problem("second.lacks", facts, column="second_person")
    elif second == decision.person_id:
        code = who.code_of(second)
        yield Problem("second.same", facts, column="second_person", value=code)
    elif who.role_of(second) not in MAY_APPROVE:
        code = who.code_of(second)
        facts |= {"roles": ", ".join(MAY_APPROVE)}
        yield Problem("second.role", facts, column="second_person", value=code)


def _is_alone(who: Standing, decision: Decision) -> bool:
    """Whether one person is enough: there is no other, and that is on record.

    The second person can only come in by the first.
    """
    agreed = who.by_one or decision.kind is DecisionKind.ROLE_GIVEN
    return agreed and len(who.approvers) == 1


def _others(who: Standing, id_: int | None) -> str | Told:
    own = who.code_of(id_)
    return ", ".join(c for c in who.approvers if c != own) or Told("absent.any")


def _seen_faults(who: Standing, decision: Decision) -> Iterator[Problem]:
    if who.code_of(decision.person_id) != who.by:
        yield Problem("seen.own_name", {"by": who.by}, column="person")
    key = decision.subject_key.strip()
    first = who.stood_by.get(key)
    facts = {"by": who.by}
    if decision.subject.strip().lower() != "entry" or first is None:
        yield Problem("seen.what", facts, column="subject_key", value=key)
    elif who.by in first:
        yield Problem("seen.same", facts, column="subject_key", value=key)
    elif who.by in who.appointed.get(key, ()):
        others = set(who.approvers) - first - who.appointed[key]
        if others:
            facts["accepted"] = ", ".join(sorted(others))
            yield Problem("seen.appointed", facts, column="subject_key", value=key)


def _one_faults(who: Standing, decision: Decision) -> Iterator[Problem]:
    if who.code_of(decision.person_id) != who.by:
        yield Problem("one.own_name", {"by": who.by}, column="person")
    if len(who.approvers) > 1:
        facts = {"codes": ", ".join(who.approvers)}
        yield Problem("one.are_two", facts)


def _refused(who: Standing, deed: str, may: Roles, origin: str) -> Problem:
    facts = _facts(deed, may) | {"by": who.by, "role": who.word}
    if who.role is not None:
        id_ = "role.may_not"
    else:
        id_ = "role.no_authority" if who.word else "role.not_yet"
    return placed(Problem(id_, facts), origin)


def _facts(deed: str, may: Roles) -> dict[str, object]:
    return {"deed": deed, "accepted": ", ".join(may)}
