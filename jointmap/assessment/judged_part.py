"""A part of a state judged for a day, where it tells what the whole site would."""

import datetime as dt
from collections.abc import Callable, Collection

import numpy as np

from jointmap.assessment.assess import Assessment, assess
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.assessment.whole_site import hangs_on_whole_site
from jointmap.register import Boundary
from jointmap.snapshot.part import Part, part_found
from jointmap.snapshot.part_rows import feeding
from jointmap.storage import Reading

# Judges what is asked about from a part of a state; None where it needs the whole.
Judge = Callable[[Reading, dt.date], Assessment | None]
# Structures with more boundaries than this around them are judged with the whole site.
MOST_AROUND = 100
_SIDES = ("structure_a_id", "structure_b_id")


def judged_part(part: Part, on: dt.date) -> Assessment | None:
    """Return a part judged for a day; None where an answer needs the whole site."""
    found = assess(part.state, on)
    return None if hangs_on_whole_site(found, part.boundaries) else found


def judged_around(
    state: Reading,
    on: dt.date,
    boundaries: Collection[int],
    joints: Collection[int] = (),
) -> Assessment | None:
    """Return boundaries judged with all that is one metal with them, or fed with them.

    Around a structure all its boundaries are judged, since any of them may join it to
    more. None where these are too many, or an answer needs the whole site.
    """
    sides = _sides_of(state, boundaries)
    while True:
        sides = _fed_together(state, sides)
        around = _with_side(state, sides)
        if len(around) > MOST_AROUND:
            return None
        part = part_found(state, joints, around)
        found = judged_part(Part(part.state, frozenset(boundaries)), on)
        if found is None:
            return None
        beyond = _joined_to(found, around) - sides
        if not beyond:
            return found
        sides |= beyond


def _sides_of(state: Reading, boundaries: Collection[int]) -> set[int]:
    return {s for name in _SIDES for s in state.values_of(Boundary, name, boundaries)}


def _with_side(state: Reading, structures: set[int]) -> set[int]:
    """Return the boundaries with one of some structures on a side."""
    return {
        id_ for name in _SIDES for id_ in state.ids_with(Boundary, name, structures)
    }


def _fed_together(state: Reading, structures: set[int]) -> set[int]:
    """Return structures with all that share a source with them, however far."""
    fed = structures
    while True:
        _, more = feeding(state, fed)
        if more == fed:
            return fed
        fed = more


def _joined_to(found: Assessment, boundaries: set[int]) -> set[int]:
    """Return the structures on both sides of what joins now among some boundaries."""
    bounds = found.ground.boundaries
    joined = SiteOnDay(found).joined & np.isin(bounds.boundary_id, [*boundaries])
    ends = (bounds.structure_a_id[joined], bounds.structure_b_id[joined])
    return {*np.concatenate(ends).tolist()}
