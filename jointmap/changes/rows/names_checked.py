"""Names written as words: each speaks of something that is on record."""

import difflib
import json
from collections.abc import Collection, Iterator
from typing import TypeVar, cast

from jointmap.changes.rows.called import is_called
from jointmap.changes.rows.find_record import keys_of
from jointmap.errors import Problem
from jointmap.register import (
    FORMS,
    Alias,
    Chainage,
    Crew,
    Decision,
    IsolationTest,
    Joint,
    Record,
)
from jointmap.register.codes import KIND_OF_SUBJECT
from jointmap.register.rights.needed import LAW
from jointmap.register.ruling import ENTRY, ON_PAPERS
from jointmap.register.told import Told
from jointmap.snapshot.feeds import NO_SOURCE, PORTABLE, listed
from jointmap.storage.known import Knows
from jointmap.wording import say

R = TypeVar("R", bound=Record)
NO_SUBJECT = "row.no_subject"
_SHOWN = 3
_KINDS = {k.replace("_", " "): k for k in FORMS} | KIND_OF_SUBJECT


def no_subject(decision: Decision, job: Knows) -> Iterator[Problem]:
    """Yield a fault where a decision is about nothing that is on record."""
    if decision.subject == ENTRY or decision.kind in ON_PAPERS:
        return
    kind = _KINDS.get(decision.subject.strip().lower())
    if kind is None:
        facts: dict[str, object] = {"accepted": ", ".join(sorted(_KINDS))}
        word = decision.subject
        yield Problem("row.no_kind", facts, column="subject", value=word)
        return
    key = decision.subject_key
    if is_called(job, kind, key.strip()):
        return
    names = _names_of(kind, job)
    if key.strip().lower() not in {name.lower() for name in names}:
        facts = {"kind": kind.replace("_", " "), "nearest": nearest(key, names)}
        yield Problem(NO_SUBJECT, facts, column="subject_key", value=key)


def _names_of(kind: str, job: Knows) -> set[str]:
    names = {*keys_of(job, kind).values()}
    if kind == "joint":
        names |= {a.name for a in _all(job, Alias)}
    if kind in LAW:
        # Without the day from which it holds, as whoever decides on it writes it.
        names |= {str(key[0]) for key in job.known(kind).by_key}
    return names


def nearest(name: str, names: Collection[str]) -> str:
    """Return the names that look most like one, or that there are none."""
    near = difflib.get_close_matches(name, sorted(names), n=_SHOWN, cutoff=0.0)
    return ", ".join(near) or say("absent.any")


def other_joint(alias: Alias, job: Knows) -> Iterator[Problem]:
    """Yield a fault where an older name of a joint is the tag of another."""
    other = job.known("joint").id_of((alias.name,))
    if other not in (None, alias.joint_id):
        yield Problem("row.alias_taken", column="name", value=alias.name)


def names_not_known(record: Record, job: Knows) -> Iterator[Problem]:
    """Yield a doubt for each name that nothing on record has; the row can stand."""
    if isinstance(record, IsolationTest):
        yield from _sources(record, job)
    elif isinstance(record, Crew):
        areas = job.known("joint").words("area")
        for name in listed(record.areas):
            if name not in areas:
                yield _unknown("areas", name, areas, "area")
    elif isinstance(record, Joint) and record.post_kilometre is not None:
        yield from _measuring(record, job)


def _sources(test: IsolationTest, job: Knows) -> Iterator[Problem]:
    """Yield a doubt for each source that is none of those on record, if any are."""
    if not (test.sources_cycling or test.sources_steady):
        return
    known = job.known("source")
    if known.is_empty:
        return
    for column in ("sources_cycling", "sources_steady"):
        for name in listed(getattr(test, column)):
            if known.id_of((name,)) is None and not _is_brought(name, job):
                names = {str(key[0]) for key in known.by_key}
                yield _unknown(column, name, names, "source")


def cycling_and_steady(test: IsolationTest) -> Iterator[Problem]:
    """Yield a fault for each source that is said to cycle and to stand steady."""
    both = {*listed(test.sources_cycling)} & {*listed(test.sources_steady)} - {
        NO_SOURCE
    }
    for name in sorted(both):
        yield Problem("row.cycling_and_steady", column="sources_steady", value=name)


def _is_brought(name: str, job: Knows) -> bool:
    """Return whether a source is none, or one that the tester put on a structure."""
    on = name.removeprefix(PORTABLE)
    return name == NO_SOURCE or (
        on != name and job.known("structure").id_of((on,)) is not None
    )


def _measuring(joint: Joint, job: Knows) -> Iterator[Problem]:
    """Yield a doubt where a post is of no measuring of its line."""
    if joint.line_id is None or not joint.post_measuring:
        return
    found = job.known("chainage").having(line_id=joint.line_id)
    chainages = (cast("Chainage", record) for _, record in found)
    own = {c.measuring: c for c in chainages}
    name = joint.post_measuring
    if name not in own:
        yield _unknown("post_measuring", name, own, Told("row.measuring"))
        return
    posts = [tie[0] for tie in json.loads(own[name].tie_points)]
    if not min(posts) <= cast("float", joint.post_kilometre) <= max(posts):
        facts = {"first": min(posts), "last": max(posts)}
        value = f"{joint.post_kilometre:g} km"
        yield Problem("row.post_beyond", facts, column="post", value=value)


def _unknown(
    column: str, name: str, known: Collection[str], kind: str | Told
) -> Problem:
    facts = {"kind": kind, "nearest": nearest(name, known)}
    return Problem("row.name_unknown", facts, column=column, value=name)


def _all(job: Knows, kind: type[R]) -> Iterator[R]:
    return (cast("R", record) for _, record in job.known(kind.KIND).by_id.values())
