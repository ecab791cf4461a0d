"""The calculations of fitting by name: torque, studs, sleeves, pressure."""

from collections.abc import Mapping

import numpy as np

from jointmap.acceptance.sound import refuse_unless_positive
from jointmap.assembly.bearing import gasket_pressure, ring_area, washer_pressure
from jointmap.assembly.limits import limit
from jointmap.assembly.sleeve import length_window
from jointmap.assembly.stud_length import (
    length_for_threads,
    next_quarter,
    washer_stack,
)
from jointmap.assembly.torque import (
    load_by_nut_factor,
)
from jointmap.desk.calculation import Calculation, Input, length, share
from jointmap.desk.torque import (
    FACTOR,
    SIZE,
    TORQUE,
    TORQUES,
    stud,
)
from jointmap.register.columns import Floats
from jointmap.tables.materials import ISOLATING_MATERIALS, MATERIAL_PLACES
from jointmap.tables.studs import (
    WASHER_OF,
)
from jointmap.units.inches import INCH_METRE, KSI_PASCAL

_ENDS = {"one": 1.0, "two": 2.0}
_WASHER_SIZE = Input(name="stud_size", words=tuple(WASHER_OF))
_ISOLATING = Input(name="isolating_ends", words=tuple(_ENDS), usual="two")
_MATERIAL = Input(
    name="material",
    words=tuple(
        word
        for row in ISOLATING_MATERIALS
        if row.compressive_low_ksi
        for word in row.words.split(";")
    ),
    usual="glass-epoxy",
)
_PRESSURES = {
    "pressure": "pascal",
    "in inch units": "ksi",
    "material's limit": "pascal",
    "share of the limit": "percent",
}
_HALF = "The limit is half the laminate's flatwise strength (from memory)."


def kit_stud_length(  # noqa: PLR0913, PLR0917 - one argument per input
    flange_a: float,
    flange_b: float,
    gasket: float,
    isolating_washer: float,
    steel_washer: float,
    stud_size: str,
    isolating_ends: str,
) -> Mapping[str, float]:
    """Return the least stud length with two threads past each nut, and what to buy."""
    refuse_unless_positive(flange_a=flange_a, flange_b=flange_b, gasket=gasket)
    row, _, pitch = stud(stud_size)
    ends = np.asarray(_ENDS[isolating_ends])
    washers = washer_stack(ends, np.asarray(isolating_washer), np.asarray(steel_washer))
    grip = flange_a + flange_b + gasket + washers
    threads = np.asarray(limit("threads past each nut"))
    nut = np.asarray(row.nut_height_inch * INCH_METRE)
    least = length_for_threads(threads, grip, nut, pitch)
    bought = float(next_quarter(least))
    return {"least": float(least), "next quarter": bought, "in inches": bought}


def sleeve_length(
    flange_a: float,
    flange_b: float,
    gasket: float,
    isolating_washer: float,
    isolating_ends: str,
) -> Mapping[str, float]:
    """Return least and most length of a one-piece sleeve."""
    refuse_unless_positive(flange_a=flange_a, flange_b=flange_b, gasket=gasket)
    span = np.asarray(flange_a + flange_b + gasket)
    least, most = length_window(
        span, np.asarray(_ENDS[isolating_ends] * isolating_washer)
    )
    return {"least": float(least), "most": float(most)}


def _pressure_on(material: str, pascal: Floats) -> Mapping[str, float]:
    row = ISOLATING_MATERIALS[MATERIAL_PLACES[material.lower()]]
    strength = (row.compressive_low_ksi or np.nan) * KSI_PASCAL
    most = limit("isolating washer share of strength") * strength
    found = float(pascal)
    return {
        "pressure": found,
        "in inch units": found,
        "material's limit": most,
        "share of the limit": found / most,
    }


def pressure_under_washer(
    torque: float, stud_size: str, nut_factor: float, material: str
) -> Mapping[str, float]:
    """Return the pressure that the steel washer puts on the laminate, and its limit."""
    refuse_unless_positive(torque=torque, nut_factor=nut_factor)
    _, diameter, _ = stud(stud_size)
    washer = WASHER_OF[stud_size]
    area = ring_area(
        np.asarray(washer.outside_diameter_inch * INCH_METRE),
        np.asarray(washer.inside_diameter_inch * INCH_METRE),
    )
    load = load_by_nut_factor(np.asarray(nut_factor), diameter, np.asarray(torque))
    return _pressure_on(material, washer_pressure(load, area))


def pressure_on_gasket(  # noqa: PLR0913, PLR0917 - one argument per input
    torque: float,
    stud_size: str,
    studs: float,
    nut_factor: float,
    outside: float,
    inside: float,
    material: str,
) -> Mapping[str, float]:
    """Return the pressure of all studs on a gasket ring, without inside pressure."""
    ring = outside - inside
    refuse_unless_positive(
        torque=torque, nut_factor=nut_factor, studs=studs, inside=inside, ring=ring
    )
    _, diameter, _ = stud(stud_size)
    load = load_by_nut_factor(np.asarray(nut_factor), diameter, np.asarray(torque))
    area = ring_area(np.asarray(outside), np.asarray(inside))
    return _pressure_on(material, gasket_pressure(np.asarray(studs), load, area))


FITTING: dict[str, Calculation] = {
    **TORQUES,
    "kit-stud-length": Calculation(
        title="Stud length of a kit, from what was measured",
        formula="flanges + gasket + washers + 2 nuts + 2 x 2 threads",
        inputs=(
            length("flange_a"),
            length("flange_b"),
            length("gasket"),
            length("isolating_washer"),
            length("steel_washer"),
            SIZE,
            _ISOLATING,
        ),
        results={"least": "metre", "next quarter": "metre", "in inches": "inch"},
        work=kit_stud_length,
        says=("Flanges from the back to the sealing face.",),
        source="first-principles",
        mark="seen",
    ),
    "sleeve-length": Calculation(
        title="Least and most length of a sleeve",
        formula="flanges + gasket <= L <= that + isolating washers",
        inputs=(
            length("flange_a"),
            length("flange_b"),
            length("gasket"),
            length("isolating_washer"),
            _ISOLATING,
        ),
        results={"least": "metre", "most": "metre"},
        work=sleeve_length,
        says=("Less 0.8 to 1.6 mm at the long end, so that it stands clear.",),
        source="trade",
        mark="common practice, no source",
    ),
    "washer-pressure": Calculation(
        title="Pressure of the steel washer on the isolating washer",
        formula="p = T / (K D) / (pi / 4 (outside2 - inside2))",
        inputs=(TORQUE, _WASHER_SIZE, FACTOR, _MATERIAL),
        results=_PRESSURES,
        work=pressure_under_washer,
        says=(_HALF,),
        source="astm-f436",
        clause="washer sizes",
        mark="from memory",
    ),
    "gasket-pressure": Calculation(
        title="Pressure of all studs on the gasket",
        formula="p = n T / (K D) / (pi / 4 (outside2 - inside2))",
        inputs=(
            TORQUE,
            SIZE,
            share("studs"),
            FACTOR,
            length("outside"),
            length("inside"),
            _MATERIAL,
        ),
        results=_PRESSURES,
        work=pressure_on_gasket,
        says=(
            "Without pressure inside, which takes load off the gasket.",
            _HALF,
            "The maker's own limit for the gasket governs.",
        ),
        source="first-principles",
        mark="seen",
    ),
}
