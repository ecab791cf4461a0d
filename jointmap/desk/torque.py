"""The calculations of studs by name: torque from stress and back, lubricants."""

from collections.abc import Mapping

import numpy as np

from jointmap.acceptance.sound import refuse_unless_positive
from jointmap.assembly.torque import (
    friction_arm,
    load_by_nut_factor,
    load_range,
    load_share_with_other_lubricant,
    root_area,
    tensile_area,
    torque_by_friction,
    torque_by_nut_factor,
    torque_for_other_lubricant,
)
from jointmap.desk.calculation import Calculation, Input, share
from jointmap.register.columns import Floats
from jointmap.tables.studs import (
    STUD_GRADES,
    STUD_THREADS,
    THREAD_PLACES,
    StudThread,
    grade_for,
)
from jointmap.units.inches import INCH_METRE, KSI_PASCAL

_AREAS = {"root": root_area, "tensile": tensile_area}
SIZE = Input(name="stud_size", words=tuple(THREAD_PLACES))
_AREA = Input(name="area", words=tuple(_AREAS), usual="root")
_GRADE = Input(
    name="grade", words=tuple(dict.fromkeys(g.grade for g in STUD_GRADES)), usual="B7"
)
_STRESS = Input(name="stress", quantity="pressure")
TORQUE = Input(name="torque", quantity="torque")
FACTOR = share("nut_factor", "0.16")
_BOTH = {"torque": "newton_metre", "in inch units": "foot_pound"}
_STRESSES = {
    "stress": "pascal",
    "in inch units": "ksi",
    "least by scatter": "pascal",
    "most by scatter": "pascal",
    "share of yield": "percent",
}
_CUSTOM = "40 to 70 % of yield is custom for ordinary gaskets only."
_SCATTER = "A set torque gives its load within about plus or minus 30 %."


def stud(size: str) -> tuple[StudThread, Floats, Floats]:
    """Return a stud size's row, diameter and pitch."""
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
    _, diameter, pitch = stud(stud_size)
    load = stress * _AREAS[area](diameter, pitch)
    return _both(torque_by_nut_factor(np.asarray(nut_factor), diameter, load))


def stud_torque_by_friction(
    stress: float, stud_size: str, friction: float, area: str
) -> Mapping[str, float]:
    """Return the torque for a stud stress by thread and nut-face friction."""
    refuse_unless_positive(stress=stress, friction=friction)
    _, diameter, pitch = stud(stud_size)
    arm = _arm(stud_size, friction)
    return _both(torque_by_friction(arm, stress * _AREAS[area](diameter, pitch)))


def stud_stress(
    torque: float, stud_size: str, nut_factor: float, area: str, grade: str
) -> Mapping[str, float]:
    """Return the stud stress that a torque gives, its scatter, its share of yield."""
    refuse_unless_positive(torque=torque, nut_factor=nut_factor)
    _, diameter, _ = stud(stud_size)
    load = load_by_nut_factor(np.asarray(nut_factor), diameter, np.asarray(torque))
    return _stress_of(load, stud_size, area, grade)


def stud_stress_by_friction(
    torque: float, stud_size: str, friction: float, area: str, grade: str
) -> Mapping[str, float]:
    """Return what ``stud_stress`` does, by thread and nut-face friction."""
    refuse_unless_positive(torque=torque, friction=friction)
    load = np.asarray(torque / _arm(stud_size, friction))
    return _stress_of(load, stud_size, area, grade)


def _arm(stud_size: str, friction: float) -> Floats:
    row, diameter, pitch = stud(stud_size)
    flats = np.asarray(row.nut_across_flats_inch * INCH_METRE)
    return friction_arm(np.asarray(friction), diameter, pitch, flats)


def _stress_of(
    load: Floats, stud_size: str, area: str, grade: str
) -> Mapping[str, float]:
    row, diameter, pitch = stud(stud_size)
    on = _AREAS[area](diameter, pitch)
    least, most = load_range(load)
    strength = grade_for(grade, row.diameter_inch)
    limit_pascal = strength.yield_ksi * KSI_PASCAL if strength else np.nan
    stress = float(load / on)
    return {
        "stress": stress,
        "in inch units": stress,
        "least by scatter": float(least / on),
        "most by scatter": float(most / on),
        "share of yield": stress / limit_pascal,
    }


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


TORQUES: dict[str, Calculation] = {
    "stud-torque": Calculation(
        title="Torque for a stud stress, by a nut factor",
        formula="T = K D S A",
        inputs=(_STRESS, SIZE, FACTOR, _AREA),
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
        inputs=(_STRESS, SIZE, share("friction", "0.16"), _AREA),
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
        inputs=(TORQUE, SIZE, FACTOR, _AREA, _GRADE),
        results=_STRESSES,
        work=stud_stress,
        says=(_SCATTER, _CUSTOM),
        source="pcc-1",
        clause="table 1, note a (2013)",
        mark="seen",
    ),
    "stud-stress-by-friction": Calculation(
        title="Stud stress that a torque gives, by friction in thread and nut face",
        formula="S = 2 T / (A (p / pi + mu d2 / cos 30 + mu De))",
        inputs=(TORQUE, SIZE, share("friction", "0.16"), _AREA, _GRADE),
        results=_STRESSES,
        work=stud_stress_by_friction,
        says=(_SCATTER, _CUSTOM),
        source="pcc-1",
        clause="table 1 (2013); friction from the table's text of 2000",
        mark="seen",
    ),
    "lubricant-change": Calculation(
        title="Another lubricant than planned",
        formula="T_used = T K_used / K_planned; load share = K_planned / K_used",
        inputs=(TORQUE, share("planned_factor"), share("used_factor")),
        results={**_BOTH, "load at the old torque": "percent"},
        work=lubricant_change,
        says=("Use the tested figure of the lubricant on the job.",),
        source="first-principles",
        mark="seen",
    ),
}
