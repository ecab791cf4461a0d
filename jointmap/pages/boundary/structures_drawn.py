"""Structures and boundaries as a drawing: the whole site, or what is round one."""

from collections.abc import Iterable

import numpy as np
from markupsafe import Markup

from jointmap.pages.showing import Showing
from jointmap.plain_text import own_markup
from jointmap.reports.views import NO_DRAWING
from jointmap.site_map.structures_diagram import DrawnBoundary, structures_svg
from jointmap.wording import say

# More structures than this make a drawing that nobody can read.
MOST_STRUCTURES = 80
# Many customers on one main are told by number, not drawn one by one.
MOST_AROUND = 14


def site_drawing(showing: Showing) -> Markup:
    """Return all structures and boundaries; nothing where they are too many."""
    rows = range(len(showing.assessed.boundaries))
    return _drawing(showing, rows, None)


def drawing_around(showing: Showing, id_: int) -> Markup:
    """Return a boundary with the boundaries that its two structures have besides."""
    bounds = showing.assessed.boundaries
    row = showing.boundary_rows[id_]
    sides = [bounds.structure_a_id[row], bounds.structure_b_id[row]]
    near = np.isin(bounds.structure_a_id, sides) | np.isin(bounds.structure_b_id, sides)
    near[row] = False
    # Worst first: what is not shown isolating tells more than what is.
    others = np.flatnonzero(near)
    order = others[np.argsort(bounds.state[others] == 0, kind="stable")]
    return _drawing(showing, [row, *order[:MOST_AROUND].tolist()], row)


def _drawing(showing: Showing, rows: Iterable[int], asked: int | None) -> Markup:
    bounds, joined = showing.assessed.boundaries, showing.joined
    place: dict[int, int] = {}
    drawn = []
    for row in rows:
        ends = (int(bounds.structure_a_id[row]), int(bounds.structure_b_id[row]))
        a, b = (place.setdefault(end, len(place)) for end in ends)
        name = showing.boundaries[int(bounds.boundary_id[row])].name
        state = int(bounds.state[row])
        drawn.append(DrawnBoundary(a, b, name, state, bool(joined[row]), row == asked))
    if not place or len(place) > MOST_STRUCTURES:
        return NO_DRAWING
    names = [showing.structure(id_) for id_ in place]
    label = say("diagram.label", {"structures": len(names), "boundaries": len(drawn)})
    return own_markup(structures_svg(names, drawn, label))
