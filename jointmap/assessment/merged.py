"""Which structures are one metal now, and what would merge."""

import numpy as np

from jointmap.assessment.site_on_day import SiteOnDay


def merged_with(site: SiteOnDay, boundary_id: int) -> list[int]:
    """Return the structures that are one with the boundary's sides; none if apart."""
    joined = site.joined[site.boundary_rows[boundary_id]]
    return merges_if_shorted(site, boundary_id) if joined else []


def merges_if_shorted(site: SiteOnDay, boundary_id: int) -> list[int]:
    """Return the structures that would be one if this boundary shorted."""
    ids, boundary = site.assessed.ground.structures.id, site.boundaries[boundary_id]
    sides = np.isin(ids, (boundary.structure_a_id, boundary.structure_b_id))
    found: list[int] = ids[np.isin(site.one_metal, site.one_metal[sides])].tolist()
    return found
