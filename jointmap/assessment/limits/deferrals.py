"""Tests put off by a decision: told beside the date, which never moves."""

from collections.abc import Iterator, Mapping

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.assessment.subject_names import KINDS, subject_names
from jointmap.assessment.two_persons import by_one_person
from jointmap.register import Decision
from jointmap.register.codes import KIND_OF_SUBJECT, DecisionKind, Subject
from jointmap.register.told import Told

# The code of a subject and its id, as due items name it.
Named = tuple[int, int]


def subjects_named(found: Assessment) -> Mapping[tuple[Subject, str], Named]:
    """Return what may be due by subject and name, as written and in small letters.

    Old tags too. Of two names that differ in their letters' size each is its own.
    """
    called = subjects_called(found)
    small = {(s, name.lower()): who for s, name, who in called}
    return small | {(s, name): who for s, name, who in called}


def subjects_called(found: Assessment) -> list[tuple[Subject, str, Named]]:
    """Return what may be due, by subject, its name as written, code and id."""
    aliases = found.state.aliases.values()
    named = [(Subject.JOINT, a.name, a.joint_id) for a in aliases]
    for subject, kind in KINDS.items():
        older = found.state.older_names(kind)
        named += [(subject, name, id_) for name, id_ in older.items()]
    names = subject_names(found)
    for subject, ids in names.ids.items():
        pairs = zip(names.names[subject].tolist(), ids.tolist(), strict=True)
        named += [(subject, name, id_) for name, id_ in pairs]
    return [(s, name, (s.code, id_)) for s, name, id_ in named]


def deferrals_open(found: Assessment) -> Mapping[Named, Decision]:
    """Return the latest deferral of each due subject not tested since it was made."""
    decisions = _deferrals(found)
    if not decisions:
        return {}
    names = subjects_named(found)
    items = found.items
    pairs = zip(items.subject.tolist(), items.subject_id.tolist(), strict=True)
    last_on = dict(zip(pairs, items.last_on, strict=True))
    open_: dict[Named, Decision] = {}
    for decision in decisions:
        who = subject_of(names, decision)
        if who not in last_on or last_on[who] >= np.datetime64(decision.decided_on):
            continue
        open_[who] = decision
    return open_


def deferrals_ever(found: Assessment) -> dict[Named, list[Decision]]:
    """Return every deferral of each due subject, by the day of its decision."""
    names, every = subjects_named(found), dict[Named, list[Decision]]()
    for decision in _deferrals(found):
        who = subject_of(names, decision)
        if who is not None:
            every.setdefault(who, []).append(decision)
    return every


def unknown_deferrals(found: Assessment) -> Iterator[Decision]:
    """Yield the deferrals of what no record is called."""
    names = subjects_named(found)
    return (d for d in _deferrals(found) if subject_of(names, d) is None)


def _deferrals(found: Assessment) -> list[Decision]:
    own = found.state.decisions.values()
    kept = [d for d in own if d.kind is DecisionKind.DEFERRED]
    kept = [d for d in kept if d.decided_on <= found.on]
    return sorted(kept, key=lambda d: (d.decided_on, d.number))


def subject_of(
    names: Mapping[tuple[Subject, str], Named], decision: Decision
) -> Named | None:
    """Return what a decision is about; None where nothing is called so."""
    word = decision.subject.strip().lower()
    for subject, kind in KIND_OF_SUBJECT.items():
        if word in (str(subject), kind):
            kind_of, key = Subject(subject), decision.subject_key.strip()
            return names.get((kind_of, key)) or names.get((kind_of, key.lower()))
    return None


def told_of_deferral(
    found: Assessment, decision: Decision, row: int, who: str, late: Told | str
) -> Told:
    """Return what is told of a deferral beside the due item of ``row``.

    ``late`` is told behind the day of the decision: when it was recorded.
    """
    day = found.items.last_allowed_on[row]
    until = np.datetime64(decision.until_on, "D")
    over = until < np.datetime64(found.on, "D")
    facts = {
        "until": decision.until_on,
        "decided_on": decision.decided_on,
        "who": who,
        "by_one": by_one_person(decision),
        "late": late,
        "authority": decision.authority,
        "why": decision.why,
        "number": decision.number,
        "due": Told("absent.date") if np.isnat(day) else day.item(),
    }
    word = "over" if over else "beyond" if until > day else "open"
    return Told(f"defer.{word}", facts)
