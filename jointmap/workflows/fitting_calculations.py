"""The calculations of fitting by name: torque, stress, studs, sleeves, pressure."""

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
    friction_arm,
    load_by_nut_factor,
    load_share_with_other_lubricant,
    root_area,
    tensile_area,
    torque_by_friction,
    torque_by_nut_factor,
    torque_for_other_lubricant,
)
from jointmap.register.columns import Floats
from jointmap.tables.studs import (
    STUD_GRADES,
    STUD_THREADS,
    THREAD_PLACES,
    WASHER_OF,
    StudThread,
    grade_for,
)
from jointmap.units.inches import INCH_METRE, KSI_PASCAL
from jointmap.workflows.calculations import Calculation, Input, length, share

_AREAS = {"root": root_area, "tensile": tensile_area}
_ENDS = {"one": 1.0, "two": 2.0}
_SIZE = Input(name="stud_size", words=tuple(THREAD_PLACES))
_WASHER_SIZE = Input(name="stud_size", words=tuple(WASHER_OF))
_AREA = Input(name="area", words=tuple(_AREAS), usual="root")
_GRADE = Input(
    name="grade", words=tuple(dict.fromkeys(g.grade for g in STUD_GRADES)), usual="B7"
)
_ISOLATING = Input(name="isolating_ends", words=tuple(_ENDS), usual="two")
_STRESS = Input(name="stress", quantity="pressure")
_TORQUE = Input(name="torque", quantity="torque")
_FACTOR = share("nut_factor", "0.16")
_BOTH = {"torque": "newton_metre", "in inch units": "foot_pound"}
_SCATTER = "A set torque gives its load within about plus or minus 30 %."


def _stud(size: str) -> tuple[StudThread, Floats, Floats]:
    row = STUD_THREADS[THREAD_PLACES[size]]
    diameter = np.float64(row.diameter_inch * INCH_METRE)
    return row, np.asarray(diameter), np.asarray(INCH_METRE / row.threads_per_inch)


def _both(torque_newton_metre: Floats) -> Mapping[str, float]:
    torque = float(torque_newton_metre)
    return {"torque": torque, "in inch units": torque}


def stud_torque(
    stress: float, stud_size: str, nut_factor: float, area: str
) -> Mapping[str, float]:
    """Return the torque for a stud stress by a nut factor."""
    refuse_unless_positive(stress=stress, nut_factor=nut_factor)
    _, diameter, pitch = _stud(stud_size)
    load = stress * _AREAS[area](diameter, pitch)
    return _both(torque_by_nut_factor(np.asarray(nut_factor), diameter, load))


def stud_torque_by_friction(
    stress: float, stud_size: str, friction: float, area: str
) -> Mapping[str, float]:
    """Return the torque for a stud stress by thread and nut-face friction."""
    refuse_unless_positive(stress=stress, friction=friction)
    row, diameter, pitch = _stud(stud_size)
    flats = np.asarray(row.nut_across_flats_inch * INCH_METRE)
    arm = friction_arm(np.asarray(friction), diameter, pitch, flats)
    return _both(torque_by_friction(arm, stress * _AREAS[area](diameter, pitch)))


def stud_stress(
    torque: float, stud_size: str, nut_factor: float, area: str, grade: str
) -> Mapping[str, float]:
    """Return the stud stress that a torque gives, and its share of yield."""
    refuse_unless_positive(torque=torque, nut_factor=nut_factor)
    row, diameter, pitch = _stud(stud_size)
    load = load_by_nut_factor(np.asarray(nut_factor), diameter, np.asarray(torque))
    stress = float(load / _AREAS[area](diameter, pitch))
    strength = grade_for(grade, row.diameter_inch)
    limit_pascal = strength.yield_ksi * KSI_PASCAL if strength else np.nan
    return {"stress": stress, "share of yield": stress / limit_pascal}


def lubricant_change(
    torque: float, planned_factor: float, used_factor: float
) -> Mapping[str, float]:
    """Return the torque for the same load, and the load if nobody changed it."""
    refuse_unless_positive(
        torque=torque, planned_factor=planned_factor, used_factor=used_factor
    )
    planned, used = np.asarray(planned_factor), np.asarray(used_factor)
    same_load = torque_for_other_lubricant(np.asarray(torque), planned, used)
    kept = float(load_share_with_other_lubricant(planned, used))
    return {**_both(same_load), "load at the old torque": kept}


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
    row, _, pitch = _stud(stud_size)
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


def pressure_under_washer(
    torque: float, stud_size: str, nut_factor: float
) -> Mapping[str, float]:
    """Return the pressure that the steel washer puts on the laminate."""
    refuse_unless_positive(torque=torque, nut_factor=nut_factor)
    _, diameter, _ = _stud(stud_size)
    washer = WASHER_OF[stud_size]
    area = ring_area(
        np.asarray(washer.outside_diameter_inch * INCH_METRE),
        np.asarray(washer.inside_diameter_inch * INCH_METRE),
    )
    load = load_by_nut_factor(np.asarray(nut_factor), diameter, np.asarray(torque))
    return {"pressure": float(washer_pressure(load, area))}


def pressure_on_gasket(
    torque: float,
    stud_size: str,
    studs: float,
    nut_factor: float,
    outside: float,
    inside: float,
) -> Mapping[str, float]:
    """Return the pressure of all studs on a gasket ring, without inside pressure."""
    ring = outside - inside
    refuse_unless_positive(
        torque=torque, nut_factor=nut_factor, studs=studs, inside=inside, ring=ring
    )
    _, diameter, _ = _stud(stud_size)
    load = load_by_nut_factor(np.asarray(nut_factor), diameter, np.asarray(torque))
    area = ring_area(np.asarray(outside), np.asarray(inside))
    return {"pressure": float(gasket_pressure(np.asarray(studs), load, area))}


FITTING: dict[str, Calculation] = {
    "stud-torque": Calculation(
        title="Torque for a stud stress, by a nut factor",
        formula="T = K D S A",
        inputs=(_STRESS, _SIZE, _FACTOR, _AREA),
        results=_BOTH,
        work=stud_torque,
        says=(_SCATTER, "The kit's own target governs."),
        source="pcc-1",
        clause="table 1, note a (2013)",
        mark="seen",
    ),
    "stud-torque-by-friction": Calculation(
        title="Torque for a stud stress, by friction in thread and nut face",
        formula="T = S A / 2 (p / pi + mu d2 / cos 30 + mu De)",
        inputs=(_STRESS, _SIZE, share("friction", "0.16"), _AREA),
        results=_BOTH,
        work=stud_torque_by_friction,
        says=(_SCATTER,),
        source="pcc-1",
        clause="table 1 (2013); friction from the table's text of 2000",
        mark="seen",
    ),
    "stud-stress": Calculation(
        title="Stud stress that a torque gives",
        formula="S = T / (K D A)",
        inputs=(_TORQUE, _SIZE, _FACTOR, _AREA, _GRADE),
        results={"stress": "pascal", "share of yield": "percent"},
        work=stud_stress,
        says=(_SCATTER, "40 to 70 % of yield is custom for ordinary gaskets only."),
        source="pcc-1",
        clause="table 1, note a (2013)",
        mark="seen",
    ),
    "lubricant-change": Calculation(
        title="Another lubricant than planned",
        formula="T_used = T K_used / K_planned; load share = K_planned / K_used",
        inputs=(_TORQUE, share("planned_factor"), share("used_factor")),
        results={**_BOTH, "load at the old torque": "percent"},
        work=lubricant_change,
        says=("Use the tested figure of the lubricant on the job.",),
        source="first-principles",
        mark="seen",
    ),
    "kit-stud-length": Calculation(
        title="Stud length of a kit, from what was measured",
        formula="flanges + gasket + washers + 2 nuts + 2 x 2 threads",
        inputs=(
            length("flange_a"),
            length("flange_b"),
            length("gasket"),
            length("isolating_washer"),
            length("steel_washer", "0.125 in"),
            _SIZE,
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
        inputs=(_TORQUE, _WASHER_SIZE, _FACTOR),
        results={"pressure": "pascal"},
        work=pressure_under_washer,
        says=("Commonly at most half the laminate's flatwise strength.",),
        source="astm-f436",
        clause="washer sizes",
        mark="from memory",
    ),
    "gasket-pressure": Calculation(
        title="Pressure of all studs on the gasket",
        formula="p = n T / (K D) / (pi / 4 (outside2 - inside2))",
        inputs=(
            _TORQUE,
            _SIZE,
            share("studs"),
            _FACTOR,
            length("outside"),
            length("inside"),
        ),
        results={"pressure": "pascal"},
        work=pressure_on_gasket,
        says=("Without pressure inside, which takes load off the gasket.",),
        source="first-principles",
        mark="seen",
    ),
}
