"""Joints to be fitted, each with its device and what stands around it."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from jointmap.register import (
    Alias,
    Boundary,
    Device,
    Joint,
    ParallelPath,
    Structure,
)
from jointmap.register.codes import PathKind, Purpose
from jointmap.snapshot.fitted import fitted_in
from jointmap.storage import Reading
from jointmap.wording import say
from jointmap.wording.cautions import Situation, cautions_for, situations_of

V = TypeVar("V")


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
    state: Reading, wanted: Iterable[int], on: dt.date
) -> Mapping[int, Place]:
    """Return the wanted joints that have a device on a day, with the one fitted."""
    devices = state.records(Device)
    fitted = {j: devices[id_] for j, id_ in fitted_in(devices, on).items()}
    names = _lists((a.joint_id, a.name) for a in state.records(Alias).values())
    paths = state.records(ParallelPath).values()
    kinds = _lists((p.boundary_id, p.kind) for p in paths)
    return {
        id_: _place(state, id_, fitted[id_], names.get(id_, []), kinds)
        for id_ in wanted
        if id_ in fitted
    }


def _lists(pairs: Iterable[tuple[int, V]]) -> dict[int, list[V]]:
    found: dict[int, list[V]] = {}
    for key, value in pairs:
        found.setdefault(key, []).append(value)
    return found


def _place(
    state: Reading,
    id_: int,
    device: Device,
    names: list[str],
    kinds: Mapping[int, list[PathKind]],
) -> Place:
    joint = state.records(Joint)[id_]
    boundary = state.records(Boundary)[joint.boundary_id]
    structures = state.records(Structure)
    across = kinds.get(joint.boundary_id, [])
    return Place(
        joint=joint,
        device=device,
        boundary=boundary,
        structure_a=structures[boundary.structure_a_id].name,
        structure_b=structures[boundary.structure_b_id].name,
        aliases=tuple(names),
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
