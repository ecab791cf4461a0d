"""Which current sources a visit by potential shift has interrupted, or why none is."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from jointmap.pages.method_choice import method_code_for
from jointmap.pages.month.planned import Planned
from jointmap.pages.showing import Showing
from jointmap.register import CurrentSource
from jointmap.register.codes import Subject
from jointmap.register.told import Told
from jointmap.snapshot.feeds import sources_of
from jointmap.snapshot.site_columns import working_places
from jointmap.wording import say, say_told

Sources = Mapping[int, CurrentSource]
NO_SOURCES: Sources = {}


@dataclass(frozen=True, slots=True)
class Interruption:
    """The sources to interrupt, by id; ``none`` says why there are none.

    Both are empty where the method of the visit is another.
    """

    sources: Sources
    none: str = ""

    @property
    def is_shift(self) -> bool:
        """Whether the visit is made by potential shift."""
        return bool(self.sources or self.none)


def interruption(planned: Planned, visit: int) -> Interruption:
    """Return what is to be interrupted for a visit."""
    showing, items = planned.showing, planned.showing.assessed.items
    stop_id = int(planned.plan.visits.joint_id[visit])
    item = planned.task.members_of[stop_id][0]
    subject = int(items.subject[item]), int(items.subject_id[item])
    if method_code_for(showing, *subject) != "potential-shift":
        return Interruption(NO_SOURCES)
    joint = showing.joints[planned.task.joint_of[stop_id]]
    boundary = showing.boundaries[joint.boundary_id]
    return _of_sides(showing, (boundary.structure_a_id, boundary.structure_b_id))


def _of_sides(showing: Showing, sides: tuple[int, int]) -> Interruption:
    """Return the sources of one side only: with both cycling all would read shorted."""
    state, fed = showing.assessed.state, showing.fed
    every = [sources_of(state, fed, side) for side in sides]
    a, b = map(_switched, every)
    for own, other in ((a, b), (b, a)):
        if own and not own.keys() & other.keys():
            return Interruption(own)
    names = tuple(dict.fromkeys(s.name for own in every for s in own.values()))
    why = "both" if a and b else "steady" if names else "none"
    structures = tuple(map(showing.structure, sides))
    facts = {"names": names, "structures": structures}
    return Interruption(NO_SOURCES, say(f"interrupt.{why}", facts))


def _switched(sources: Mapping[int, CurrentSource]) -> dict[int, CurrentSource]:
    return {id_: s for id_, s in sources.items() if s.can_be_interrupted}


def sources_told(planned: Planned, found: Interruption) -> Iterator[tuple[str, str]]:
    """Yield the name of each source, and its structures, place and output."""
    for id_, source in found.sources.items():
        yield source.name, say("interrupt.facts", _facts(planned, id_, source))


def _facts(planned: Planned, id_: int, source: CurrentSource) -> dict[str, object]:
    showing = planned.showing
    return {
        "kind": source.kind,
        "structures": tuple(showing.structure(s) for s in showing.fed[id_]),
        "place": _place(showing, id_, source),
        "output": _output(planned, id_, source),
    }


def _place(showing: Showing, id_: int, source: CurrentSource) -> str:
    """Return where a source is: its position, else what was remarked of it."""
    state, ids = showing.assessed.state, np.array([id_], np.int64)
    *_, latitude, longitude = working_places(state, Subject.SOURCE, ids)
    if np.isfinite(latitude[0]):
        return f"{latitude[0]:.5f}, {longitude[0]:.5f}"
    return source.remark or say("interrupt.no_place")


def _output(planned: Planned, id_: int, source: CurrentSource) -> str:
    test = planned.outputs.get(id_)
    if test is not None:
        facts = {"value": test.test_current_ampere, "day": test.tested_on}
        return say_told(Told("interrupt.read", facts))
    if source.usual_current_ampere is not None:
        return say("interrupt.usual", {"value": source.usual_current_ampere})
    return say("interrupt.no_output")
