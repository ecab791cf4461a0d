"""Which current sources were interrupted for a shift test, and which stood steady."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from jointmap.assembly import Coded
from jointmap.register import CurrentSource, Structure
from jointmap.register.codes import Side
from jointmap.register.columns import Days
from jointmap.register.joining import row_of
from jointmap.snapshot.feeds import (
    NO_SOURCE,
    PORTABLE,
    feeds,
    listed,
    sources_now,
)
from jointmap.snapshot.gather import pick
from jointmap.snapshot.site_columns import Ground
from jointmap.snapshot.snapshot import Snapshot

Array = npt.NDArray[Any]
_ONE_DAY = np.timedelta64(1, "D")


@dataclass(frozen=True, slots=True)
class Interrupted:
    """Per test: are the sources written down, and which side cycled."""

    sources_named: Array
    far_side_cycles: Array
    near_side_steady: Array  # no source of the interrupted side was interrupted


@dataclass(frozen=True, slots=True)
class Sources:
    """What a site's sources are called, where they feed, and which can be switched."""

    # As they fed until each of the days, and as they feed since the last of these.
    sites: Sequence["_Site"]
    until_on: Days
    protected: Mapping[int, bool]  # by structure
    names: Mapping[int, str]  # of structures
    now: Mapping[str, str]  # what has another name today, by its older ones

    def interrupted(
        self, ground: Ground, found: dict[str, Array], boundary_id: Array
    ) -> Interrupted:
        """Return what the lists of sources of each shift test say.

        Named are sources when something cycles, every source of the far side that can
        be interrupted stands in the steady list, and every such source of the near side
        in one of the lists. Anodes cannot be switched: they are steady without a word.
        A far side under current with no source on record needs a steady list. The near
        side stood steady where nothing that cycled feeds it: a source of its own, or
        one that was brought and not put on the far side (a structure may have had
        another name that day). Anodes named as cycling drove nothing. Where none of its
        own is on record any name is believed.
        """
        told = np.zeros((len(boundary_id), 3), dtype=bool)
        rows = np.flatnonzero(found["sources_cycling"] != "")
        lists = [found[n][rows].tolist() for n in ("sources_cycling", "sources_steady")]
        asked = Coded.of(list(zip(*lists, strict=True)))
        near, far = _sides(ground, found["interrupted_side"][rows], boundary_id[rows])
        # Texts, near and far sides of a part are few enough to share one number.
        base = int(max(near.max(initial=0), far.max(initial=0))) + 1
        fed = np.searchsorted(self.until_on, found["tested_on"][rows], side="right")
        texts = asked.place.astype(np.int64) * len(self.sites) + fed
        _, first, case = np.unique(
            (texts * base + near) * base + far, return_index=True, return_inverse=True
        )
        said = [
            self._told(self.sites[fed[n]], asked[n], int(near[n]), int(far[n]))
            for n in first.tolist()
        ]
        told[rows] = np.array(said, bool).reshape(-1, 3)[case]
        return Interrupted(*told.T)

    def _told(
        self, site: "_Site", lists: tuple[str, str], near: int, far: int
    ) -> tuple[bool, bool, bool]:
        cycling, steady = (
            frozenset(self.now.get(name, name) for name in listed(text))
            for text in lists
        )
        own, other = (site.get(side, _NO_SOURCES) for side in (near, far))
        unknown = self.protected.get(far, False) and not other.all
        named = other.switched <= steady and own.switched <= cycling | steady
        return (
            named and bool(steady or not unknown),
            bool(other.switched & cycling),
            not self._drives(cycling, own, self.names.get(far, "")),
        )

    @staticmethod
    def _drives(cycling: frozenset[str], own: "_Feeding", far: str) -> bool:
        """Return whether a source that cycled feeds the near side and has a switch."""
        near = cycling - {NO_SOURCE, f"{PORTABLE}{far}"}
        brought = any(name.startswith(PORTABLE) for name in near)
        return brought or bool(own.switched & near if own.all else near)


class _Feeding(NamedTuple):
    """The sources that feed a structure, by name: those that can be switched, all."""

    switched: frozenset[str]
    all: frozenset[str]


_NO_SOURCES = _Feeding(frozenset(), frozenset())
_Site = dict[int, _Feeding]


def read_sources(state: Snapshot, ground: Ground) -> Sources:
    """Return the sources of a state, by the structures they feed and fed before."""
    until_on = ground.past.days_of(CurrentSource)
    before = (state.on_day(day) for day in (until_on - _ONE_DAY).tolist())
    sites = [_site_of(each) for each in (*before, state)]
    ids = ground.structures.id.tolist()
    protected = ground.structures.is_protected.tolist()
    names, now = state.stored.texts(Structure, "name"), sources_now(state)
    of_structures = dict(zip(ids, protected, strict=True))
    return Sources(sites, until_on, of_structures, names, now)


def _site_of(state: Snapshot) -> _Site:
    site: _Site = {}
    fed = feeds(state)
    for id_, source in state.sources.items():
        for structure in fed[id_]:
            known, own = site.get(structure, _NO_SOURCES), frozenset({source.name})
            switched = own if source.can_be_interrupted else frozenset()
            site[structure] = _Feeding(known.switched | switched, known.all | own)
    return site


def _sides(ground: Ground, side: Array, boundary_id: Array) -> tuple[Array, Array]:
    rows = row_of(ground.boundaries.boundary_id, boundary_id)
    a = pick(ground.boundaries.structure_a_id, rows, 0)
    b = pick(ground.boundaries.structure_b_id, rows, 0)
    is_b = side == Side.B
    return np.where(is_b, b, a), np.where(is_b, a, b)
