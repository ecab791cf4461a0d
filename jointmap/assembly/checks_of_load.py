"""Checks of torque, passes, stress and what the load does to the laminate."""

from collections.abc import Callable

import numpy as np

from jointmap.assembly.bearing import gasket_pressure, ring_area, washer_pressure
from jointmap.assembly.fitting_columns import FittingColumns, Sources
from jointmap.assembly.found import (
    DOES_NOT_MEET,
    MEETS,
    NOT_RECORDED,
    Asked,
    Found,
    by_state,
    within,
)
from jointmap.assembly.limits import limit, named
from jointmap.assembly.table_columns import (
    WASHER_INSIDE,
    WASHER_OUTSIDE,
    column,
)
from jointmap.assembly.texts import NOT_LISTED, NOT_NAMED
from jointmap.assembly.torque import load_by_nut_factor, root_area
from jointmap.register.columns import Flags, Floats
from jointmap.tables.materials import ISOLATING_MATERIALS
from jointmap.units.inches import FOOT_POUND_NEWTON_METRE, KSI_PASCAL

# lbf·ft taken for N·m and the other way.
UNIT_MIX_UP_SHARE = 0.03
FACTOR_ON_RECORD = "nut factor of the lubricant on record"
OWNER = named("torque read")


def torque(rows: FittingColumns) -> Found:
    """Whether the recorded target torque is that of the kit."""
    planned, given = rows.planned_newton_metre, rows.target_newton_metre
    ratio = given / planned
    factors = (FOOT_POUND_NEWTON_METRE, 1.0 / FOOT_POUND_NEWTON_METRE)
    mixed = [np.abs(ratio / f - 1.0) <= UNIT_MIX_UP_SHARE for f in factors]
    fits = np.abs(ratio - 1.0) <= limit("torque read") + 1e-9
    state = np.select(
        [np.isnan(ratio), fits, mixed[0] | mixed[1]], [0, 1, 2], 3
    ).astype(np.int16)
    meaning = {
        "fitting.torque_not_recorded": NOT_RECORDED,
        "fitting.torque_fits": MEETS,
        "fitting.torque_unit_mix_up": DOES_NOT_MEET,
        "fitting.torque_differs": DOES_NOT_MEET,
    }
    read = limit("torque read")
    values = {
        "planned": planned,
        "given": given,
        "value": given,
        "low": planned * (1 - read),
        "high": planned * (1 + read),
    }
    return by_state("torque", state, meaning, values, OWNER)


def pass_check(number: int) -> Callable[[FittingColumns], Found]:
    """Return the check of one pass against its scheme."""

    def check(rows: FittingColumns) -> Found:
        """Whether this pass is what the scheme asks for."""
        return _pass(rows, number)

    return check


def _pass(rows: FittingColumns, number: int) -> Found:
    low, high = (s[:, number - 1] for s in (rows.low_share, rows.high_share))
    torque_set = rows.pass_newton_metre[:, number - 1]
    asked = Asked(
        value=torque_set / target(rows),
        low=low,
        high=high,
        applies=~((rows.scheme >= 0) & np.isnan(low)),
        is_listed=rows.scheme != NOT_LISTED,
        more={
            "scheme": rows.scheme_name,
            "torque": torque_set,
            "source": rows.scheme_source,
        },
    )
    return within(f"pass_{number}", asked, "percent", "")


def target(rows: FittingColumns) -> Floats:
    """Return the recorded target torque, else the kit's."""
    given, planned = rows.target_newton_metre, rows.planned_newton_metre
    return np.where(np.isnan(given), planned, given)


def dwell(rows: FittingColumns) -> Found:
    """Whether the last round came late enough, where the scheme has one."""
    low = rows.wait_second
    asked = Asked(value=rows.dwell_second, low=low, applies=low > 0.0)
    return within("dwell", asked, "second", named("wait before the last round"))


def load(rows: FittingColumns) -> Floats:
    """Return the stud load at the target torque, by the stated nut factor."""
    return load_by_nut_factor(nut_factor(rows), rows.stud_metre, target(rows))


def nut_factor(rows: FittingColumns) -> Floats:
    """Return the nut factor on record, else the usual one."""
    usual = limit("nut factor where none is stated")
    return np.where(np.isnan(rows.nut_factor), usual, rows.nut_factor)


def _factor_source(rows: FittingColumns) -> Sources:
    either = [FACTOR_ON_RECORD, named("nut factor where none is stated")]
    return _either(either, np.isnan(rows.nut_factor))


def _either(sources: list[str], is_second: Flags) -> Sources:
    return np.array(sources, dtype=object)[is_second.astype(np.int8)]


def stress(rows: FittingColumns) -> Found:
    """Tell the stud stress as a share of yield; only past yield does it fail."""
    area = root_area(rows.stud_metre, rows.pitch_metre)
    is_known = ~np.isnan(rows.yield_pascal) & ~np.isnan(area)
    asked = Asked(
        value=load(rows) / area / rows.yield_pascal,
        high=np.ones(len(rows)),
        is_listed=is_known | (rows.thread == NOT_NAMED),
        more={
            "factor": nut_factor(rows),
            "source": _factor_source(rows),
            "custom_low": _custom(rows, "stud stress custom low"),
            "custom_high": _custom(rows, "stud stress custom high"),
        },
    )
    return within("stress", asked, "percent", "")


def _custom(rows: FittingColumns, name: str) -> Floats:
    return np.full(len(rows), limit(name))


def washer_load(rows: FittingColumns) -> Found:
    """Whether the laminate under the steel washer stands the load."""
    area = ring_area(WASHER_OUTSIDE[rows.thread], WASHER_INSIDE[rows.thread])
    strength = STRENGTH[rows.washer_material]
    named_both = (rows.thread == NOT_NAMED) | (rows.washer_material == NOT_NAMED)
    asked = Asked(
        value=washer_pressure(load(rows), area),
        high=limit("isolating washer share of strength") * strength,
        is_listed=~np.isnan(area + strength) | named_both,
    )
    source = named("isolating washer share of strength")
    return within("washer_load", asked, "pascal", source)


def gasket_load(rows: FittingColumns) -> Found:
    """Whether the gasket stands what all studs put on it, by its sheet or material."""
    ring = ring_area(rows.gasket_outside_metre, rows.gasket_inside_metre)
    strength = STRENGTH[rows.gasket_material]
    has_own = ~np.isnan(rows.gasket_limit_pascal)
    by_material = limit("gasket share of strength") * strength
    is_known = has_own | ~np.isnan(strength) | (rows.gasket_material == NOT_NAMED)
    is_stud = ~np.isnan(rows.stud_metre) | (rows.thread == NOT_NAMED)
    sources = [named("gasket share of strength"), "the kit's own sheet"]
    asked = Asked(
        value=gasket_pressure(rows.stud_count, load(rows), ring),
        high=np.where(has_own, rows.gasket_limit_pascal, by_material),
        is_listed=is_known & is_stud,
        more={"source": _either(sources, has_own)},
    )
    return within("gasket_load", asked, "pascal", "")


STRENGTH = column([m.compressive_low_ksi for m in ISOLATING_MATERIALS], KSI_PASCAL)
