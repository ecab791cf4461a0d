"""Which current sources were interrupted for a shift test, and which stood steady."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.register import CurrentSource
from jointmap.register.codes import Side, code_of
from jointmap.register.joining import row_of
from jointmap.storage import Reading
from jointmap.workflows.columns import Ground
from jointmap.workflows.feeds import feeds, listed
from jointmap.workflows.gather import pick

Array = npt.NDArray[Any]


@dataclass(frozen=True, slots=True)
class Interrupted:
    """Per test: are the sources written down, and did the far side cycle too."""

    sources_named: Array
    far_side_cycles: Array


def interrupted(
    state: Reading, ground: Ground, found: dict[str, Array], boundary_id: Array
) -> Interrupted:
    """Return what the lists of sources of each shift test say.

    Named are sources when something cycles, every source of the far side that can be
    interrupted stands in the steady list, and every such source of the near side in one
    of the lists. Anodes cannot be switched: they are steady without a word. A far side
    under current with no source on record needs a steady list.
    """
    count = len(boundary_id)
    named, both = np.zeros(count, dtype=bool), np.zeros(count, dtype=bool)
    rows = np.flatnonzero(found["sources_cycling"] != "")
    near, far = _sides(ground, found["interrupted_side"][rows], boundary_id[rows])
    cycling, steady = found["sources_cycling"][rows], found["sources_steady"][rows]
    site = _sources(state)
    protected = dict(
        zip(
            ground.structures["id"].tolist(),
            ground.structures["is_protected"].tolist(),
            strict=True,
        )
    )
    asked = list(zip(cycling, steady, near.tolist(), far.tolist(), strict=True))
    told = {
        case: _told(case, site, bool(protected.get(case[3], False)))
        for case in dict.fromkeys(asked)
    }
    named[rows] = [told[case][0] for case in asked]
    both[rows] = [told[case][1] for case in asked]
    return Interrupted(named, both)


_Site = dict[int, tuple[frozenset[str], bool]]
_Case = tuple[str, str, int, int]


def _sources(state: Reading) -> _Site:
    """Return per structure its sources that can be switched, and if it has any."""
    site: _Site = {}
    fed = feeds(state)
    for id_, source in state.records(CurrentSource).items():
        for structure in fed[id_]:
            known = site.get(structure, (frozenset(), True))[0]
            own = {source.name} if source.can_be_interrupted else set()
            site[structure] = (known | own, True)
    return site


def _told(case: _Case, site: _Site, far_protected: bool) -> tuple[bool, bool]:
    cycling, steady = frozenset(listed(case[0])), frozenset(listed(case[1]))
    near = site.get(case[2], (frozenset(), False))[0]
    far, has_any = site.get(case[3], (frozenset(), False))
    unknown_far = far_protected and not has_any
    named = (
        far <= steady and near <= cycling | steady and bool(steady or not unknown_far)
    )
    return named, bool(far & cycling)


def _sides(ground: Ground, side: Array, boundary_id: Array) -> tuple[Array, Array]:
    rows = row_of(ground.boundaries.boundary_id, boundary_id)
    a = pick(ground.boundaries.structure_a_id, rows, 0)
    b = pick(ground.boundaries.structure_b_id, rows, 0)
    is_b = side == code_of(Side.B)
    return np.where(is_b, b, a), np.where(is_b, a, b)
