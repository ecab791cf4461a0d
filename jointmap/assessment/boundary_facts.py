"""What is known of boundaries: shorts and their causes, where current may go."""

import numpy as np

from jointmap.assessment.section_current import Drawn
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.register.codes import Verdict


def is_shorted(site: SiteOnDay, id_: int) -> bool:
    """Whether a boundary is shorted without being joined on purpose."""
    states, row = site.assessed.boundaries, site.boundary_rows[id_]
    shorted = states.state[row] == Verdict.SHORTED
    return bool(shorted and not states.joined_on_purpose[row])


def causes_of(site: SiteOnDay, id_: int) -> tuple[str, ...]:
    """Return the names of paths found joining a boundary."""
    found = site.assessed.suspects
    own = (found.boundary_id == id_) & found.is_cause & (found.path_id > 0)
    return tuple(site.paths[int(p)].name for p in found.path_id[own])


def current_candidates(
    site: SiteOnDay, structure_ids: tuple[int, ...]
) -> tuple[str, ...]:
    """Return the boundaries of these structures where the current may be going."""
    states = site.assessed.boundaries
    here = np.isin(states.structure_a_id, structure_ids) | np.isin(
        states.structure_b_id, structure_ids
    )
    apart = states.state == Verdict.ISOLATING
    ids = states.boundary_id[here & ~apart].tolist()
    shorted_first = states.state[here & ~apart] != Verdict.SHORTED
    order = np.argsort(shorted_first, kind="stable").tolist()
    return tuple(site.boundaries[ids[n]].name for n in order)


def draw_name(site: SiteOnDay, draw: Drawn) -> str:
    """Return the name of a section, or of those that the same sources feed."""
    return " + ".join(site.structure(s) for s in draw.structure_ids)
