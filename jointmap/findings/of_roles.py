"""Changes of rules that no second person has seen, acts by one, roles of no word."""

from collections.abc import Iterator, Mapping, Sequence
from typing import TypeVar, cast

from jointmap.assessment.limits.deferrals import subject_of
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.by_one import is_by_one
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.register import (
    Boundary,
    Decision,
    Joint,
    Limit,
    Model,
    Person,
    Record,
    Rule,
    Site,
)
from jointmap.register.codes import DecisionKind
from jointmap.register.revision import Revision
from jointmap.register.rights.authority import may_begin
from jointmap.register.rights.needed import changes_authority, may_approve
from jointmap.register.rights.roles import Role, role_called
from jointmap.register.ruling import ENTRY
from jointmap.register.told import Told

_TOLD_ELSEWHERE = (DecisionKind.ADOPTED, DecisionKind.ROLE_GIVEN)
R = TypeVar("R", bound=Record)
_NAMED = 4  # records that a finding names; the others are counted
LAW_UNSEEN = Kind("law_unseen", Gravity.LOOK, "two_persons", "recorded")
BY_ONE = Kind("by_one", Gravity.LOOK, "two_persons", "decided_on")
ROLE_UNKNOWN = Kind("role_unknown", Gravity.LOOK, "two_persons")


@finds(LAW_UNSEEN)
def unseen_rules(seen: Seen) -> Iterator[Found]:
    """Yield each entry that changed rules, limits, models or the site's own values."""
    found = _law_by_entry(seen.site)
    yield from unseen_entries(seen, LAW_UNSEEN, "law_unseen", found)


@finds(LAW_UNSEEN)
def unseen_roles(seen: Seen) -> Iterator[Found]:
    """Yield each entry that changed who may approve, after the first delivery."""
    found = _roles_by_entry(seen.site)
    yield from unseen_entries(seen, LAW_UNSEEN, "role_unseen", found)


def unseen_entries(
    seen: Seen, kind: Kind, id_: str, by_entry: Mapping[int, Sequence[str | Told]]
) -> Iterator[Found]:
    """Yield a finding for each known entry that no second person is known to have seen.

    The day asked about does not matter: values are shown as they are known, whenever
    that was recorded, and so is what is to be said of them.
    """
    site = seen.site
    looked_at = _entries_seen(site)
    for number, names in sorted(by_entry.items()):
        if str(number) in looked_at:
            continue
        entry = site.state.entry(number)
        yield seen.finding(
            kind,
            About.called(f"entry {number}"),
            id_,
            entry=number,
            recorded=site.state.local_day(number),
            by=entry.recorded_by,
            reason=entry.reason,
            count=len(names),
            names=_named(names),
        )


def _named(names: Sequence[str | Told]) -> Told | tuple[str | Told, ...]:
    named = tuple(names[:_NAMED])
    if len(names) == len(named):
        return named
    return Told("correction.more", {"names": named, "more": len(names) - len(named)})


def _law_by_entry(site: SiteOnDay) -> Mapping[int, list[str]]:
    found: dict[int, list[str]] = {}
    for kind in (Rule, Limit, Model, Site):
        for revision in _changing(site, kind):
            if kind is not Site or revision.revision > 1:
                found.setdefault(revision.entry, []).append(_name(revision))
    return found


def _changing(site: SiteOnDay, kind: type[Record]) -> list[Revision]:
    """Return the revisions that are there on the day, or took away what was."""
    there = {(r.id, r.revision) for r in site.state.every_revision(kind)}
    return [
        r
        for r in site.state.known.every_revision(kind)
        if not there.isdisjoint({(r.id, r.revision), (r.id, r.revision - 1)})
    ]


def _roles_by_entry(site: SiteOnDay) -> Mapping[int, list[str]]:
    """Return whose authority each entry changed; those who came first may begin."""
    revisions = site.state.every_revision(Person)
    began = [r.entry for r in revisions if may_begin(cast("Person", r.record))]
    first = min(began, default=0)
    found: dict[int, list[str]] = {}
    before: dict[int, Person] = {}
    for revision in sorted(revisions, key=lambda r: (r.id, r.revision)):
        old, new = before.get(revision.id), cast("Person", revision.record)
        before[revision.id] = new
        if changes_authority(old, new) and revision.entry > first:
            found.setdefault(revision.entry, []).append(_change_of(old, new))
    return found


def _change_of(old: Person | None, new: Person) -> str:
    if old is None:
        return f"{new.code}: {new.role}"
    code = f"{old.code} -> " if old.code != new.code else ""
    role = f"{old.role} -> " if old.role != new.role else ""
    return f"{code}{new.code}: {role}{new.role}"


def _name(revision: Revision) -> str:
    return str(revision.record.key()[0])


def _entries_seen(site: SiteOnDay) -> set[str]:
    """Return the entries that a second person is known to have looked at."""
    return {
        d.subject_key.strip()
        for d in site.state.decisions.values()
        if d.kind is DecisionKind.SEEN
        if d.subject.strip().lower() == ENTRY
    }


@finds(BY_ONE)
def by_one_person(seen: Seen) -> Iterator[Found]:
    """Yield each decision that asks for two and was taken by one, until it is seen."""
    site = seen.site
    for id_, decision in _decisions_not_seen(site):
        if is_by_one(site, id_, decision):
            by = site.person(decision.person_id) or Told("absent.person")
            yield _of_decision(seen, id_, decision, "by_one", by=by)


@finds(BY_ONE)
def in_names_of_others(seen: Seen) -> Iterator[Found]:
    """Yield each decision of two persons that a third recorded, until it is seen.

    Changes of rules and of roles are findings by themselves.
    """
    site = seen.site
    codes = {i: p.code for i, p in site.state.people.items()}
    for id_, decision in _decisions_not_seen(site):
        two = decision.person_id, decision.second_person_id
        by = site.state.entry(site.state.decision_entries[id_]).recorded_by
        names = [codes[who] for who in two if who is not None]
        if None in two or by in names or decision.kind in _TOLD_ELSEWHERE:
            continue
        more = {"by": by, "names": " and ".join(names), "second": names[-1]}
        yield _of_decision(seen, id_, decision, "by_others", **more)


def _decisions_not_seen(site: SiteOnDay) -> Iterator[tuple[int, Decision]]:
    looked_at, on = _entries_seen(site), site.assessed.on
    for id_, decision in site.state.known.decisions.items():
        is_seen = str(site.state.decision_entries[id_]) in looked_at
        if not is_seen and (decision.decided_on <= on or _has_effect(site, decision)):
            yield id_, decision


def _has_effect(site: SiteOnDay, decision: Decision) -> bool:
    """Whether what was decided later reads on the day asked about all the same.

    An end of duty and a permission hold from days of their own, which may be earlier.
    Changes of rules and of roles are findings by themselves; what else is decided holds
    from the day of the decision.
    """
    key, on = decision.subject_key.strip().lower(), site.assessed.on
    if decision.kind is DecisionKind.RELEASED:
        ends = [j.out_of_duty_on for j in _called(site, Joint, "tag", key)]
        return any(end is not None and end <= on for end in ends)
    if decision.kind is DecisionKind.JOINED_ON_PURPOSE:
        begins = [b.joined_from_on for b in _called(site, Boundary, "name", key)]
        return any(begin is not None and begin <= on for begin in begins)
    return False


def _called(site: SiteOnDay, kind: type[R], column: str, key: str) -> list[R]:
    found = site.state.of_kind(kind).values()
    return [r for r in found if getattr(r, column).lower() == key]


def _of_decision(
    seen: Seen, id_: int, decision: Decision, said: str, **more: object
) -> Found:
    site = seen.site
    who = subject_of(seen.subjects_named, decision)
    return seen.finding(
        BY_ONE,
        About.called(decision.subject_key) if who is None else About.of(*who),
        said,
        number=decision.number,
        decided_on=decision.decided_on,
        what=decision.kind,
        why=decision.why,
        entry=site.state.decision_entries[id_],
        **more,
    )


@finds(BY_ONE)
def run_by_one(seen: Seen) -> Iterator[Found]:
    """Yield the decision that one person runs the site, while there is no second."""
    state, on = seen.site.state, seen.site.assessed.on
    if sum(map(may_approve, state.people.values())) > 1:
        return
    for decision in state.decisions.values():
        if decision.kind is DecisionKind.RUN_BY_ONE and decision.decided_on <= on:
            facts = {"number": decision.number, "decided_on": decision.decided_on}
            by = seen.site.person(decision.person_id)
            about = About.called(decision.subject_key)
            yield seen.finding(BY_ONE, about, "run_by_one", by=by, **facts)


@finds(ROLE_UNKNOWN)
def roles_of_no_word(seen: Seen) -> Iterator[Found]:
    """Yield each person whose role on record carries no authority."""
    for person in seen.site.state.people.values():
        if role_called(person.role) is None:
            facts = {"code": person.code, "role": person.role}
            accepted = ", ".join(cast("list[str]", list(Role)))
            about = About.called(person.code)
            yield seen.finding(
                ROLE_UNKNOWN, about, "role_unknown", accepted=accepted, **facts
            )


ROLE_FINDERS: tuple[Finder, ...] = (
    unseen_rules,
    unseen_roles,
    by_one_person,
    in_names_of_others,
    run_by_one,
    roles_of_no_word,
)
