"""Names that records had before: texts of old go on meaning what they meant.

Tests name sources, sources name structures, decisions name what they are about, all in
words. A record that was given another name since is still meant by the older one.
"""

from collections.abc import Collection, Mapping
from typing import Any

from jointmap.register import Record
from jointmap.storage import Reading


def older_names(state: Reading, kind: type[Record]) -> dict[str, int]:
    """Return the names that no record of a kind has now, with who had each last.

    By the name the id; a kind whose records are called by a ``name``.
    """
    changed: Any = sorted(state.corrected(kind), key=lambda r: r.entry)
    had = {r.record.name: r.id for r in changed}
    return {n: id_ for n, id_ in had.items() if not state.ids_with(kind, "name", [n])}


def names_now(state: Reading, kind: type[Record]) -> Mapping[str, str]:
    """Return what is called otherwise now, by each of its older names."""
    older = older_names(state, kind)
    records: Mapping[int, Any] = state.records(kind) if older else {}
    return {n: records[id_].name for n, id_ in older.items() if id_ in records}


def names_ever(state: Reading, kind: type[Record]) -> dict[str, int]:
    """Return every name that a record of a kind has or had, with its id."""
    now = {name: id_ for id_, name in state.texts(kind, "name").items()}
    return {**older_names(state, kind), **now}


def ids_called(state: Reading, kind: type[Record], names: Collection[str]) -> list[int]:
    """Return the records that have these names; of names that none has, who had them.

    Only for a name of old is what was replaced looked through.
    """
    found = state.ids_with(kind, "name", names)
    if len(found) == len({*names}):
        return found
    return state.ids_with(kind, "name", names, every_revision=True)
