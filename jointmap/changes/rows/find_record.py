"""Finding one record by what a person calls it."""

import difflib
from collections.abc import Mapping
from typing import cast

from jointmap.errors import Problem, WrongUse
from jointmap.exchange import SHEETS, Sheet
from jointmap.register import FORMS, Alias, Joint, Record
from jointmap.register.codes import KIND_OF_SUBJECT
from jointmap.storage.known import Knows
from jointmap.wording import say

_SHOWN = 5
# Places and files have commands and sheets of their own; what is held is decided.
CORRECTED_BY_SHEET = ("position", "chainage", "line", "road")


def kind_called(word: str) -> Sheet:
    """Return the sheet of a record kind; raises ``WrongUse`` that lists the kinds."""
    kind = word.strip().lower().replace(" ", "_").replace("-", "_")
    sheets = {s.kind: s for s in SHEETS.values() if s.columns}
    if kind in CORRECTED_BY_SHEET:
        raise WrongUse(Problem("revise.by_sheet", {"sheet": sheets[kind].name}))
    if kind not in sheets:
        accepted = ", ".join(k.replace("_", " ") for k in sorted(sheets))
        raise WrongUse(Problem("revise.kind", {"accepted": accepted}, value=word))
    return sheets[kind]


def any_kind_called(word: str) -> str:
    """Return a kind of record, of sheets or not; ``WrongUse`` that lists the kinds."""
    kind = word.strip().lower().replace(" ", "_").replace("-", "_")
    if kind not in FORMS:
        accepted = ", ".join(k.replace("_", " ") for k in sorted(FORMS))
        raise WrongUse(Problem("revise.kind", {"accepted": accepted}, value=word))
    return kind


def record_called(job: Knows, kind: str, key: str) -> int:
    """Return the id of the one record whose natural key holds every word of ``key``.

    An older name of a joint stands for its tag. Raises ``WrongUse`` for none, with the
    nearest, and for several, with some of them.
    """
    written = key.strip()
    if is_by_name(kind) and (found := job.known(kind).id_of((written,))) is not None:
        return found
    names = keys_of(job, kind)
    exact = [id_ for id_, name in names.items() if name.lower() == written.lower()]
    wanted = set(key.lower().split())
    fitting = exact or _fitting(names, wanted)
    if not fitting:
        fitting = _fitting(names, _renamed(job, wanted))
    if len(fitting) == 1:
        return fitting[0]
    facts: dict[str, object] = {"kind": kind.replace("_", " ")}
    if not fitting:
        raise WrongUse(
            Problem("revise.unknown", facts | nearest(key, names), value=key)
        )
    shown = "; ".join(names[id_] for id_ in fitting[:_SHOWN])
    facts |= {"count": len(fitting), "shown": shown}
    raise WrongUse(Problem("revise.several", facts, value=key))


def _fitting(names: Mapping[int, str], wanted: set[str]) -> list[int]:
    return [i for i, name in names.items() if wanted <= set(name.lower().split())]


def _renamed(job: Knows, wanted: set[str]) -> set[str]:
    """Return ``wanted`` with the tags of joints in the place of older names."""
    joints = job.known("joint").by_id
    for _, record in job.known("alias").by_id.values():
        alias = cast("Alias", record)
        older = set(alias.name.lower().split())
        if older <= wanted:
            tag = cast("Joint", joints[alias.joint_id][1]).tag
            wanted = wanted - older | set(tag.lower().split())
    return wanted


def nearest(key: str, names: Mapping[int, str]) -> dict[str, object]:
    """Return the names that are most like ``key``, as facts of a problem."""
    wanted = set(key.lower().split())
    shared = {name: len(wanted & set(name.lower().split())) for name in names.values()}
    most = max(shared.values(), default=0)
    likely = [name for name, count in shared.items() if count == most]
    near = difflib.get_close_matches(key, likely, n=_SHOWN, cutoff=0.0)
    return {"nearest": "; ".join(near) or say("absent.any")}


def keys_of(job: Knows, kind: str) -> dict[int, str]:
    """Return what every record of a kind is called, by id; reads whole kinds."""
    _read_whole(job, kind)
    return {id_: key_of(job, r) for id_, (_, r) in job.known(kind).by_id.items()}


def _read_whole(job: Knows, kind: str) -> None:
    job.known(kind).read_whole()
    form = FORMS[kind]
    for column in form.columns:
        if column.name in form.key and column.refers:
            _read_whole(job, column.refers)
    if "subject_id" in form.key:
        for target in KIND_OF_SUBJECT.values():
            _read_whole(job, target)


def is_by_name(kind: str) -> bool:
    """Whether one name is the natural key of a kind."""
    form = FORMS[kind]
    columns = {c.name: c for c in form.columns}
    return len(form.key) == 1 and columns[form.key[0]].type is str


def key_of(job: Knows, record: Record) -> str:
    """Return a record's natural key as text, with what it refers to by name."""
    columns = {c.name: c for c in FORMS[record.KIND].columns}
    parts = []
    for name in record.KEY:
        value = getattr(record, name)
        target = columns[name].refers
        if name == "subject_id":
            target = KIND_OF_SUBJECT[str(record.key()[0])]
        if target and value is not None:
            value = key_of(job, job.known(target).record(value))
        if value not in (None, ""):
            parts.append(str(value))
    return " ".join(parts)
