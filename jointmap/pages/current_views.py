"""What sections draw against their design, as pages show it."""

import numpy as np

from jointmap.assessment.section_current import Drawn
from jointmap.pages.showing import Showing
from jointmap.register.codes import Verdict, code_of
from jointmap.reports.views_boundary import CurrentRow
from jointmap.wording import say
from jointmap.wording.quantities import show


def candidates(showing: Showing, structure_ids: tuple[int, ...]) -> list[str]:
    """Return the boundaries of these structures where the current may be going."""
    states = showing.assessed.boundaries
    here = np.isin(states.structure_a_id, structure_ids) | np.isin(
        states.structure_b_id, structure_ids
    )
    apart = states.state == code_of(Verdict.ISOLATING)
    ids = states.boundary_id[here & ~apart].tolist()
    shorted_first = states.state[here & ~apart] != code_of(Verdict.SHORTED)
    order = np.argsort(shorted_first, kind="stable").tolist()
    return [showing.boundaries[ids[n]].name for n in order]


def current_rows(showing: Showing, structures: list[int]) -> tuple[CurrentRow, ...]:
    """Return the draw of each structure asked for, where it is known."""
    draws = showing.drawn
    asked = dict.fromkeys(draws[s] for s in structures if s in draws)
    return tuple(_row(showing, draw) for draw in asked)


def draw_name(showing: Showing, draw: Drawn) -> str:
    """Return the name of a section, or of those that the same sources feed."""
    return " + ".join(showing.structure(s) for s in draw.structure_ids)


def _row(showing: Showing, draw: Drawn) -> CurrentRow:
    over = draw.measured_ampere - draw.design_ampere
    names = ", ".join(candidates(showing, draw.structure_ids))
    told = "current.over" if names else "current.over_no_candidate"
    values = {"value": over, "names": names}
    return CurrentRow(
        structure=draw_name(showing, draw),
        design=show(draw.design_ampere, "ampere"),
        measured=show(draw.measured_ampere, "ampere"),
        readings=draw.readings,
        not_read=", ".join(draw.not_read),
        unaccounted=say(told, values) if draw.is_over else "",
    )
