"""What was decided, held or attached under the names of a part."""

from collections.abc import Collection, Iterable, Mapping
from typing import Any

import numpy.typing as npt

from jointmap.register import (
    Alias,
    Attachment,
    Boundary,
    CurrentSource,
    Decision,
    Held,
    Installation,
    Instrument,
    IsolationTest,
    Joint,
    ParallelPath,
    Person,
    PhotoPlace,
    Record,
    Rule,
)
from jointmap.register.paper_states import RULED
from jointmap.snapshot.older_names import older_names
from jointmap.storage import Reading
from jointmap.storage.as_columns.arrays import read_arrays
from jointmap.storage.within import Only

Array = npt.NDArray[Any]
Keys = Mapping[int, str]
_NAMED: dict[type[Record], str] = {
    Joint: "tag", Alias: "name", Boundary: "name", ParallelPath: "name",
    CurrentSource: "name",
}  # fmt: skip

# A joint's older names are records of their own.
_HAD_OTHERS = (Boundary, ParallelPath, CurrentSource)


def told_by_name(state: Reading, only: Only) -> Only:
    """Return what was decided, held or attached under the names of a part.

    A key may hold several names: the joints that it names first come along, so that
    it is told of them and of no other.
    """
    names = _names(state, only)
    held, attached = _keys(state, Held), _keys(state, Attachment)
    kept, files = _of_names(held, names), _of_names(attached, names)
    hashes = state.values_of(Attachment, "sha256", files)
    words = [
        w for keys, ids in ((held, kept), (attached, files)) for w in _words(keys, ids)
    ]
    return {
        Joint: state.ids_with(Joint, "tag", words),
        Alias: state.ids_with(Alias, "name", words),
        Decision: _decisions(state, only, names),
        Held: kept,
        Attachment: files,
        PhotoPlace: state.ids_with(PhotoPlace, "sha256", hashes),
    }


def _decisions(state: Reading, only: Only, names: set[str]) -> set[int]:
    """Return the decisions on names and papers, and who has seen them since."""
    keys = _keys(state, Decision)
    named = names | _instruments(state, only) | _persons(state, only)
    own = _of_names(keys, named | {*RULED} | _rules(state))
    entries = state.part({Decision: own}).first_entries(Decision)
    return own | _of_names(keys, {str(entry) for entry in entries.values()})


def _rules(state: Reading) -> set[str]:
    """Return the names of the rules, on whose conditions somebody decided."""
    return {str(name).lower() for name in read_arrays(state, Rule, ["name"])["name"]}


def _instruments(state: Reading, only: Only) -> set[str]:
    ids = state.values_of(IsolationTest, "instrument_id", only[IsolationTest])
    ids |= state.values_of(Installation, "torque_tool_id", only[Installation])
    own = {*state.values_of(Instrument, "name", ids)}
    own.update(older_names(state.part({Instrument: ids}), Instrument))
    return {name.lower() for name in own}


def _persons(state: Reading, only: Only) -> set[str]:
    ids = state.values_of(IsolationTest, "person_id", only[IsolationTest])
    return {code.lower() for code in state.values_of(Person, "code", ids)}


def _names(state: Reading, only: Only) -> set[str]:
    part = state.part(only)
    return {
        str(name).lower()
        for kind, column in _NAMED.items()
        for name in (
            *state.values_of(kind, column, only[kind]),
            *(older_names(part, kind) if kind in _HAD_OTHERS else ()),
        )
    }


def _keys(state: Reading, kind: type[Record]) -> Keys:
    found = read_arrays(state, kind, ["subject_key"])
    return dict(zip(found["id"].tolist(), found["subject_key"].tolist(), strict=True))


def _of_names(keys: Keys, names: Collection[str]) -> set[int]:
    """Return the records whose key is a name, or holds one as a word of its own."""
    asked = {*names}
    return {
        id_
        for id_, key in keys.items()
        if not asked.isdisjoint({key.strip().lower(), *key.lower().split()})
    }


def _words(keys: Keys, ids: Iterable[int]) -> set[str]:
    return {word for id_ in ids for word in (keys[id_], *keys[id_].split())}
