"""Which structures each current source feeds: its own, and others it names."""

from collections.abc import Container, Iterator, Mapping
from enum import StrEnum

from jointmap.errors import Problem
from jointmap.register import CurrentSource, Structure
from jointmap.snapshot.snapshot import Snapshot


class _Listed(StrEnum):
    """In a list of sources: there is none, or one that was put on a structure."""

    NONE = "none"
    PORTABLE = "portable source on "


NO_SOURCE, PORTABLE = str(_Listed.NONE), str(_Listed.PORTABLE)


def listed(text: str) -> tuple[str, ...]:
    """Return the names of a list as sheets write it, separated by ``;``."""
    return tuple(part.strip() for part in text.split(";") if part.strip())


def feeds(state: Snapshot) -> dict[int, tuple[int, ...]]:
    """Return for each source, by id, the ids of the structures it feeds."""
    others = any(s.also_feeds for s in state.sources.values())
    ids = state.names_ever(Structure) if others else {}
    return {
        id_: (s.structure_id, *(ids[n] for n in listed(s.also_feeds) if n in ids))
        for id_, s in state.sources.items()
    }


def sources_of(
    state: Snapshot, fed: Mapping[int, tuple[int, ...]], structure_id: int
) -> dict[int, CurrentSource]:
    """Return the sources that feed a structure, by id; ``fed`` as ``feeds`` has it."""
    sources = state.sources
    return {id_: s for id_, s in sources.items() if structure_id in fed[id_]}


def sources_now(state: Snapshot) -> dict[str, str]:
    """Return what a source of a test's lists is called now, by its older names."""
    brought = state.names_now(Structure).items()
    return {
        **{f"{PORTABLE}{older}": f"{PORTABLE}{now}" for older, now in brought},
        **state.names_now(CurrentSource),
    }


def feed_faults(
    source: CurrentSource, own: str, known: Container[str]
) -> Iterator[Problem]:
    """Yield a fault for each further structure that is not on record, or said twice."""
    names = listed(source.also_feeds)
    for place, name in enumerate(names):
        if name == own or name in names[:place]:
            yield Problem("row.fed_twice", column="also_feeds", value=name)
        elif name not in known:
            facts = {"kind": "structure"}
            yield Problem(
                "row.unknown_reference", facts, column="also_feeds", value=name
            )
