"""A halving plan for the services of a main: where to read, nothing disconnected."""

import datetime as dt
from collections.abc import Iterator

import numpy as np

from jointmap.errors import Problem, WrongUse
from jointmap.pages.asked import assessed
from jointmap.pages.showing import Showing
from jointmap.plain_text import lines_text
from jointmap.register.codes import Purpose, Verdict
from jointmap.sections import halving_plan, most_readings
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say

# A service found shorted weighs so much more than one last shown isolating (owner's
# choice).
_WEIGHT = {Verdict.SHORTED: 20.0, Verdict.ISOLATING: 1.0}
_OTHER = 5.0


def halving_text(
    site: SiteFolder, structure: str, *, on: dt.date, known: dt.date | None
) -> str:
    """Return the readings that find which service draws the current of a main.

    Raises ``WrongUse`` for a structure that is none, or has no service.
    """
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
        return lines_text(_lines(showing, structure))


def services_of(showing: Showing, structure: str) -> list[int]:
    """Return the service joints of a main, by id, in their order along it.

    By kilometre post where all have one, else along the longest extent of their places,
    else by tag.
    """
    names = {showing.structure(s): s for b in showing.boundaries.values()
             for s in (b.structure_a_id, b.structure_b_id)}  # fmt: skip
    if structure not in names:
        facts = {"name": structure, "accepted": ", ".join(names)}
        raise WrongUse(Problem("halving.unknown", facts))
    main = names[structure]
    on_main = [
        id_
        for id_, b in showing.boundaries.items()
        if b.purpose is Purpose.SERVICE_LINE
        and main in (b.structure_a_id, b.structure_b_id)
    ]
    joints = [j for j, r in showing.joints.items() if r.boundary_id in on_main]
    return sorted(joints, key=lambda j: (_along(showing, joints, j), _tag(showing, j)))


def _tag(showing: Showing, id_: int) -> str:
    return showing.joints[id_].tag


def _along(showing: Showing, joints: list[int], id_: int) -> float:
    posts = [showing.joints[j].post_kilometre for j in joints]
    if all(p is not None for p in posts):
        return float(showing.joints[id_].post_kilometre or 0.0)
    ground = showing.assessed.ground.joints
    rows = [showing.joint_rows[j] for j in joints]
    places = np.column_stack([ground.x_metre[rows], ground.y_metre[rows]])
    if not np.isfinite(places).all():
        return 0.0
    centred = places - places.mean(axis=0)
    axis = np.linalg.svd(centred, full_matrices=False)[2][0]
    return float(centred[joints.index(id_)] @ axis)


def _lines(showing: Showing, structure: str) -> Iterator[str]:
    services = services_of(showing, structure)
    if not services:
        raise WrongUse(Problem("halving.no_services", {"name": structure}))
    weight = np.array([_weight(showing, j) for j in services])
    cuts = halving_plan(weight / weight.sum())
    facts = {"main": structure, "count": len(services), "most": most_readings(cuts)}
    yield say("halving.head", facts)
    tags = [_tag(showing, j) for j in services]
    for cut in cuts:
        yield say(
            "halving.cut",
            {
                "step": cut.step,
                "first": tags[cut.first],
                "last": tags[cut.last],
                "before": tags[cut.after],
                "beyond": tags[cut.after + 1],
                "if_before": _then(cut.next_before, tags[cut.after]),
                "if_beyond": _then(cut.next_beyond, tags[cut.after + 1]),
            },
        )
    yield say("halving.safety")


def _then(step: int, tag: str) -> str:
    if step:
        return say("halving.go_on", {"step": step})
    return say("halving.found", {"tag": tag})


def _weight(showing: Showing, joint_id: int) -> float:
    row = showing.boundary_rows[showing.joints[joint_id].boundary_id]
    state = int(showing.assessed.boundaries.state[row])
    known = {v.code: w for v, w in _WEIGHT.items()}
    return known.get(state, _OTHER)
