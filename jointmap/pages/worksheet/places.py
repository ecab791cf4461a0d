"""Joints to be fitted, each with its device and what stands around it."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from jointmap.register import Boundary, Device, Joint, ParallelPath
from jointmap.register.codes import PathKind, Purpose
from jointmap.snapshot.fitted import fitted_in
from jointmap.snapshot.snapshot import Snapshot
from jointmap.wording import say
from jointmap.wording.cautions import Situation, cautions_for, situations_of


@dataclass(frozen=True, slots=True)
class Place:
    """A joint with what stands around it."""

    joint: Joint
    device: Device
    boundary: Boundary
    structure_a: str
    structure_b: str
    aliases: tuple[str, ...]
    cautions: tuple[str, ...]


def places_in(
    state: Snapshot, wanted: Iterable[int], on: dt.date
) -> Mapping[int, Place]:
    """Return the wanted joints that have a device on a day, with the one fitted."""
    fitted = fitted_in(state.devices, on)
    return {
        id_: _place(state, id_, state.devices[fitted[id_]])
        for id_ in wanted
        if id_ in fitted
    }


def _place(state: Snapshot, id_: int, device: Device) -> Place:
    joint = state.joints[id_]
    boundary = state.boundaries[joint.boundary_id]
    structures = state.structures
    paths = state.records_of(ParallelPath, "boundary_id", joint.boundary_id)
    across = [path.kind for _, path in paths]
    return Place(
        joint=joint,
        device=device,
        boundary=boundary,
        structure_a=structures[boundary.structure_a_id].name,
        structure_b=structures[boundary.structure_b_id].name,
        aliases=tuple(a.name for a in state.older_tags.get(id_, ())),
        cautions=_cautions(joint, boundary, across, state.site.ac_limit_volt),
    )


def _cautions(
    joint: Joint, boundary: Boundary, across: list[PathKind], ac_limit_volt: float
) -> tuple[str, ...]:
    joined = boundary.joined_from_on is not None
    seen = situations_of(joint, boundary.purpose, across, joined_on_purpose=joined)
    at_ship = boundary.purpose is Purpose.SHIP_SHORE
    opening = Situation.OPENING_AT_SHIP if at_ship else Situation.OPENING
    wanted = {*seen, opening, Situation.FITTING, Situation.INSULATION_TEST}
    values = {"ac_limit": ac_limit_volt}
    return tuple(say(id_, values) for id_ in cautions_for(wanted))
