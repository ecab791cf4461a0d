"""What sections draw against their design, as pages show it."""

from jointmap.assessment.boundary_facts import current_candidates, draw_name
from jointmap.assessment.section_current import Drawn
from jointmap.pages.showing import Showing
from jointmap.reports.views_boundary import CurrentRow
from jointmap.wording import say, say_told
from jointmap.wording.quantities import show


def current_rows(showing: Showing, structures: list[int]) -> tuple[CurrentRow, ...]:
    """Return the draw of each structure asked for, where it is known."""
    draws = showing.drawn
    asked = dict.fromkeys(draws[s] for s in structures if s in draws)
    return tuple(_row(showing, draw) for draw in asked)


def _row(showing: Showing, draw: Drawn) -> CurrentRow:
    over = draw.measured_ampere - draw.design_ampere
    names = current_candidates(showing, draw.structure_ids)
    told = "current.over" if names else "current.over_no_candidate"
    values = {"value": over, "names": names}
    return CurrentRow(
        structure=draw_name(showing, draw),
        design=show(draw.design_ampere, "ampere"),
        measured=show(draw.measured_ampere, "ampere"),
        readings=tuple(map(say_told, draw.readings)),
        not_read=", ".join(draw.not_read),
        unaccounted=say(told, values) if draw.is_over else "",
    )
