"""Which current sources were interrupted for a shift test, and which stood steady."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.assembly import Coded
from jointmap.register import CurrentSource
from jointmap.register.codes import Side, code_of
from jointmap.register.joining import row_of
from jointmap.snapshot.feeds import feeds, listed
from jointmap.snapshot.gather import pick
from jointmap.snapshot.site_columns import Ground
from jointmap.storage import Reading

Array = npt.NDArray[Any]


@dataclass(frozen=True, slots=True)
class Interrupted:
    """Per test: are the sources written down, and did the far side cycle too."""

    sources_named: Array
    far_side_cycles: Array


@dataclass(frozen=True, slots=True)
class Sources:
    """What a site's sources are called, where they feed, and which can be switched."""

    site: "_Site"
    protected: Mapping[int, bool]  # by structure

    def interrupted(
        self, ground: Ground, found: dict[str, Array], boundary_id: Array
    ) -> Interrupted:
        """Return what the lists of sources of each shift test say.

        Named are sources when something cycles, every source of the far side that can
        be interrupted stands in the steady list, and every such source of the near side
        in one of the lists. Anodes cannot be switched: they are steady without a word.
        A far side under current with no source on record needs a steady list.
        """
        count = len(boundary_id)
        named, both = np.zeros(count, dtype=bool), np.zeros(count, dtype=bool)
        rows = np.flatnonzero(found["sources_cycling"] != "")
        lists = [found[n][rows].tolist() for n in ("sources_cycling", "sources_steady")]
        asked = Coded.of(list(zip(*lists, strict=True)))
        near, far = _sides(ground, found["interrupted_side"][rows], boundary_id[rows])
        # Texts, near and far sides of a part are few enough to share one number.
        base = int(max(near.max(initial=0), far.max(initial=0))) + 1
        _, first, case = np.unique(
            (asked.place.astype(np.int64) * base + near) * base + far,
            return_index=True,
            return_inverse=True,
        )
        told = [self._told(asked[n], int(near[n]), int(far[n])) for n in first.tolist()]
        named[rows], both[rows] = np.array(told, bool).reshape(-1, 2)[case].T
        return Interrupted(named, both)

    def _told(self, lists: tuple[str, str], near: int, far: int) -> tuple[bool, bool]:
        cycling, steady = frozenset(listed(lists[0])), frozenset(listed(lists[1]))
        own = self.site.get(near, (frozenset(), False))[0]
        other, has_any = self.site.get(far, (frozenset(), False))
        unknown = self.protected.get(far, False) and not has_any
        named = other <= steady and own <= cycling | steady
        return named and bool(steady or not unknown), bool(other & cycling)


# Per structure its sources that can be switched, and whether it has any.
_Site = dict[int, tuple[frozenset[str], bool]]


def read_sources(state: Reading, ground: Ground) -> Sources:
    """Return the sources of a state, by the structures they feed."""
    site: _Site = {}
    fed = feeds(state)
    for id_, source in state.records(CurrentSource).items():
        for structure in fed[id_]:
            known = site.get(structure, (frozenset(), True))[0]
            own = {source.name} if source.can_be_interrupted else set()
            site[structure] = (known | own, True)
    ids = ground.structures["id"].tolist()
    protected = ground.structures["is_protected"].tolist()
    return Sources(site, dict(zip(ids, protected, strict=True)))


def _sides(ground: Ground, side: Array, boundary_id: Array) -> tuple[Array, Array]:
    rows = row_of(ground.boundaries.boundary_id, boundary_id)
    a = pick(ground.boundaries.structure_a_id, rows, 0)
    b = pick(ground.boundaries.structure_b_id, rows, 0)
    is_b = side == code_of(Side.B)
    return np.where(is_b, b, a), np.where(is_b, a, b)
