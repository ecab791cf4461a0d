"""Which structures are one metal now, and what would merge."""

import numpy as np
import numpy.typing as npt

from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.register import ParallelPath
from jointmap.register.codes import PathKind, PathState, Verdict, code_of
from jointmap.sections import electrical_groups

_BONDS = (PathKind.BOND_ON_PURPOSE, PathKind.RESISTANCE_BOND, PathKind.DRAINAGE,
          PathKind.TEMPORARY_BOND)  # fmt: skip


def joined_boundaries(site: SiteOnDay) -> npt.NDArray[np.bool_]:
    """Return per boundary whether metal joins its sides now: shorted or bonded."""
    states = site.assessed.boundaries
    shorted = states.state == code_of(Verdict.SHORTED)
    bonded = [
        p.boundary_id
        for id_, p in site.paths.items()
        if p.kind in _BONDS and p.removed_on is None and _joins(site, id_, p)
    ]
    joined: npt.NDArray[np.bool_] = (
        shorted | states.joined_on_purpose | np.isin(states.boundary_id, bonded)
    )
    return joined


def _joins(site: SiteOnDay, id_: int, path: ParallelPath) -> bool:
    """Return whether a bond joins: as found last, or as recorded of one meant to."""
    state = site.path_states[id_].state
    is_meant = state is PathState.NOT_KNOWN and path.state is PathState.JOINING
    return state is PathState.JOINING or is_meant


def merged_with(site: SiteOnDay, boundary_id: int) -> list[int]:
    """Return the structures that are one with the boundary's sides; none if apart."""
    row = site.boundary_rows[boundary_id]
    joined = joined_boundaries(site)
    return _group_of(site, boundary_id, joined) if joined[row] else []


def merges_if_shorted(site: SiteOnDay, boundary_id: int) -> list[int]:
    """Return the structures that would be one if this boundary shorted."""
    joined = joined_boundaries(site)
    joined[site.boundary_rows[boundary_id]] = True
    return _group_of(site, boundary_id, joined)


def _group_of(
    site: SiteOnDay, boundary_id: int, joined: npt.NDArray[np.bool_]
) -> list[int]:
    ground = site.assessed.ground
    bounds, ids = ground.boundaries, ground.structures["id"]
    labels = electrical_groups(
        ids, bounds.structure_a_id, bounds.structure_b_id, joined
    )
    side = site.boundaries[boundary_id].structure_a_id
    own = labels[np.flatnonzero(ids == side)[0]]
    found: list[int] = ids[labels == own].tolist()
    return found
