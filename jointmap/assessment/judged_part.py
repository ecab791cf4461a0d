"""A part of a state judged for a day, where it tells what the whole site would."""

import datetime as dt
from collections.abc import Callable, Collection

import numpy as np

from jointmap.assessment.assess import Assessment, assess
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.assessment.whole_site import hangs_on_whole_site
from jointmap.snapshot.parts.part import Part, fed_around, part_found, sides_of
from jointmap.snapshot.snapshot import Snapshot

# Judges what is asked about from a part of a state; None where it needs the whole.
Judge = Callable[[Snapshot, dt.date], Assessment | None]
# Structures with more boundaries than this around them are judged with the whole site.
MOST_AROUND = 100


def judged_part(part: Part, on: dt.date) -> Assessment | None:
    """Return a part judged for a day; None where an answer needs the whole site."""
    found = assess(part.state, on)
    return None if hangs_on_whole_site(found, part.boundaries) else found


def judged_around(
    state: Snapshot,
    on: dt.date,
    boundaries: Collection[int],
    joints: Collection[int] = (),
    beside: Collection[int] = (),
) -> Assessment | None:
    """Return boundaries judged with all that is one metal with them, or fed with them.

    Those ``beside`` are judged as well, without what is around them.

    Around a structure all its boundaries are judged, since any of them may join it to
    more. None where these are too many, or an answer needs the whole site.
    """
    sides = sides_of(state, boundaries)
    while True:
        sides, around = fed_around(state, sides)
        if len(around) > MOST_AROUND:
            return None
        part = part_found(state, joints, around | {*beside})
        asked = frozenset((*boundaries, *beside))
        found = judged_part(Part(part.state, asked), on)
        if found is None:
            return None
        beyond = _joined_to(found, around) - sides
        if not beyond:
            return found
        sides |= beyond


def _joined_to(found: Assessment, boundaries: set[int]) -> set[int]:
    """Return the structures on both sides of what joins now among some boundaries."""
    bounds = found.ground.boundaries
    joined = SiteOnDay(found).joined & np.isin(bounds.boundary_id, [*boundaries])
    ends = (bounds.structure_a_id[joined], bounds.structure_b_id[joined])
    return {*np.concatenate(ends).tolist()}
