"""How a joint was fitted, checked one fact at a time."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from jointmap.register import Device, Installation
from jointmap.register.codes import DeviceKind
from jointmap.tables.lubricant_fillers import lubricant_fillers

# A wrench can be set and read to about this share of its target (owner's choice).
TORQUE_SHARE = 0.05
# lbf·ft taken for N·m and the other way: a factor of 1.356.
UNIT_MIX_UP = 1.355818
UNIT_MIX_UP_SHARE = 0.03
OWNER = "owner's choice"


class Result(StrEnum):
    """What one check found."""

    MEETS = "meets"
    DOES_NOT_MEET = "does not meet"
    NOT_RECORDED = "not recorded"


@dataclass(frozen=True, slots=True)
class Check:
    """One checked fact: result, reason (id and values) and source."""

    name: str
    result: Result
    because: str
    values: Mapping[str, object] = field(default_factory=dict)
    source: str = ""


def review(device: Device, installation: Installation) -> tuple[Check, ...]:
    """Return every check that applies to the kind of device."""
    if device.kind is not DeviceKind.FLANGE_KIT:
        return ()
    return tuple(check(device, installation) for check in CHECKS.values())


def lubricant(device: Device, installation: Installation) -> Check:
    """Whether the lubricant is named and holds no filler that conducts."""
    name = installation.lubricant
    if not name:
        return Check("lubricant", Result.NOT_RECORDED, "fitting.lubricant_not_recorded")
    values = {"lubricant": name, "allowed": device.lubricant_allowed or "not stated"}
    for filler in lubricant_fillers():
        if _names(name, filler.word):
            values = {**values, "filler": filler.word}
            source = f"{filler.source} ({filler.mark})"
            return Check(
                "lubricant",
                Result.DOES_NOT_MEET,
                "fitting.lubricant_conducts",
                values,
                source,
            )
    return Check("lubricant", Result.MEETS, "fitting.lubricant_fits", values)


def _names(text: str, word: str) -> bool:
    # "non-metallic" and "lead-free" say that the filler is not there.
    found = re.search(rf"(?<![\w-]){word}\b(?!-free)", text, re.IGNORECASE)
    return found is not None


def torque(device: Device, installation: Installation) -> Check:
    """Whether the recorded target torque is that of the kit."""
    planned = device.torque_target_newton_metre
    given = installation.torque_target_newton_metre
    if planned is None or given is None:
        return Check("torque", Result.NOT_RECORDED, "fitting.torque_not_recorded")
    values = {"planned": planned, "given": given}
    if abs(given - planned) <= TORQUE_SHARE * planned:
        return Check("torque", Result.MEETS, "fitting.torque_fits", values, OWNER)
    ratio = given / planned
    mixed = any(
        abs(ratio / factor - 1.0) <= UNIT_MIX_UP_SHARE
        for factor in (UNIT_MIX_UP, 1.0 / UNIT_MIX_UP)
    )
    because = "fitting.torque_unit_mix_up" if mixed else "fitting.torque_differs"
    return Check("torque", Result.DOES_NOT_MEET, because, values, OWNER)


def proven(device: Device, installation: Installation) -> Check:
    """Whether tests before and after tightening are on record."""
    del device
    both = (installation.tests_before, installation.tests_after)
    if all(both):
        return Check("proven", Result.MEETS, "fitting.proven")
    return Check("proven", Result.NOT_RECORDED, "fitting.not_proven")


CHECKS: dict[str, Callable[[Device, Installation], Check]] = {
    "lubricant": lubricant,
    "torque": torque,
    "proven": proven,
}
