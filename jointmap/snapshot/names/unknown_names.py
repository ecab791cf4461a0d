"""A name that nothing of the kinds asked for has: what was looked for, what is near."""

import difflib
from collections.abc import Iterator, Sequence

from jointmap.errors import Problem, WrongUse
from jointmap.register import (
    Alias,
    Boundary,
    CurrentSource,
    Joint,
    ParallelPath,
    Record,
    Structure,
)
from jointmap.register.told import Told
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_arrays

# What has a name that may be asked for: in which column, and the id of its word.
NAMED: dict[type[Record], tuple[str, str]] = {
    Joint: ("tag", "name.joint"),
    Boundary: ("name", "name.boundary"),
    ParallelPath: ("name", "name.path"),
    Structure: ("name", "name.structure"),
    CurrentSource: ("name", "name.source"),
}
MOST_NEAR = 3


def unknown_name(
    state: Snapshot, name: str, kinds: Sequence[type[Record]], more: Sequence[str] = ()
) -> WrongUse:
    """Return the refusal of a name that nothing of some kinds has.

    It tells the kinds that were looked for, the nearest names among them and ``more``,
    and whether it is the name of another kind.
    """
    facts = {
        "name": name,
        "kinds": _either(kinds),
        "nearest": _nearest(state, name, kinds, more) or Told("name.none"),
        "other": _other(state, name, kinds),
    }
    alone = [*kinds] == [Joint]
    return WrongUse(Problem("name.unknown_joint" if alone else "name.unknown", facts))


def _either(kinds: Sequence[type[Record]]) -> Told:
    """Return the words of kinds of which one or the other is meant."""
    asked = (Told("name.joint_asked" if k is Joint else NAMED[k][1]) for k in kinds)
    *others, last = asked
    if not others:
        return last
    return Told("name.either", {"others": tuple(others), "last": last})


def _nearest(
    state: Snapshot, name: str, kinds: Sequence[type[Record]], more: Sequence[str]
) -> tuple[Told | str, ...]:
    told: dict[str, Told | str] = {n.lower(): n for n in more if n}
    told |= dict(_names(state, kinds))
    near = difflib.get_close_matches(name.lower(), told, n=MOST_NEAR, cutoff=0.0)
    # A joint may be near by two of its names.
    return tuple({str(told[n]): told[n] for n in near}.values())


def _names(
    state: Snapshot, kinds: Sequence[type[Record]]
) -> Iterator[tuple[str, Told | str]]:
    """Yield names in small letters with what is told of each; those of today last."""
    if Joint in kinds:
        joints = read_arrays(state.stored, Joint, ["tag"])
        tags = dict(zip(joints["id"].tolist(), joints["tag"].tolist(), strict=True))
        older = read_arrays(state.stored, Alias, ["name", "joint_id"])
        ids = older["joint_id"].tolist()
        for alias, id_ in zip(older["name"].tolist(), ids, strict=True):
            if id_ in tags:
                yield alias.lower(), _told(Joint, tags[id_], kinds)
    for kind in kinds:
        column, _ = NAMED[kind]
        for own in read_arrays(state.stored, kind, [column])[column].tolist():
            yield own.lower(), _told(kind, own, kinds)


def _told(kind: type[Record], name: str, kinds: Sequence[type[Record]]) -> Told | str:
    """Return a name, with the word of its kind where several kinds are asked for."""
    if len(kinds) == 1:
        return name
    return Told("name.of_kind", {"kind": Told(NAMED[kind][1]), "name": name})


def is_named(state: Snapshot, name: str, kinds: Sequence[type[Record]]) -> bool:
    """Return whether something of these kinds has a name as it is written."""
    return any(state.stored.ids_with(k, NAMED[k][0], [name]) for k in kinds)


def _other(state: Snapshot, name: str, kinds: Sequence[type[Record]]) -> Told | str:
    """Return of which other kind it is the name; blank for none."""
    for kind, (_, word) in NAMED.items():
        if kind not in kinds and is_named(state, name, [kind]):
            return Told("name.other", {"kind": Told(word)})
    return ""
