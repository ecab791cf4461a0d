"""What would merge if a joint shorted; nothing is saved."""

import datetime as dt
from collections.abc import Iterator

from jointmap.assessment.merged import merged_with, merges_if_shorted
from jointmap.pages.asked import assessed
from jointmap.pages.dossier.answer import joint_named
from jointmap.pages.showing import Showing
from jointmap.plain_text import lines_text
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.feeds import sources_of
from jointmap.wording import say
from jointmap.wording.quantities import show


def what_if_text(
    site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None
) -> str:
    """Return what would be one metal if joint ``tag`` shorted, and what feeds it."""
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
        return lines_text(_lines(showing, tag))


def _lines(showing: Showing, tag: str) -> Iterator[str]:
    joint = showing.joints[joint_named(showing, tag)]
    id_ = joint.boundary_id
    before = merged_with(showing, id_)
    after = merges_if_shorted(showing, id_)
    names = {"tag": joint.tag, "boundary": showing.boundaries[id_].name,
             "names": ", ".join(showing.structure(s) for s in after)}  # fmt: skip
    yield say("what_if_shorted.already" if before else "what_if_shorted.merges", names)
    structures = showing.state.structures
    for structure in after:
        record = structures[structure]
        area, design = record.area_square_metre, record.design_current_ampere
        facts = {
            "structure": record.name,
            "kind": record.kind,
            "area": show(area, "square_metre") if area else say("absent.area"),
            "design": show(design, "ampere") if design else say("absent.design"),
            "sources": ", ".join(_fed_by(showing, structure)) or say("absent.source"),
        }
        yield say("what_if_shorted.structure", facts)
    yield from _read_alike(showing, after)
    yield say("what_if_shorted.nothing_saved")


def _fed_by(showing: Showing, structure_id: int) -> list[str]:
    own = sources_of(showing.state, showing.fed, structure_id)
    return [source.name for source in own.values()]


def _read_alike(showing: Showing, group: list[int]) -> Iterator[str]:
    """Yield the boundaries that would read shorted with it, whatever stands on them."""
    inside = [
        b.name
        for b in showing.boundaries.values()
        if b.structure_a_id in group and b.structure_b_id in group
    ]
    if len(inside) > 1:
        yield say("what_if_shorted.read_alike", {"names": ", ".join(inside)})
