"""Checks of torque, passes, stress and what the load does to the laminate."""

from collections.abc import Callable

import numpy as np

from jointmap.assembly.bearing import ring_area, washer_pressure
from jointmap.assembly.fittings import PASSES, FittingColumns
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
from jointmap.assembly.passes import allowed_shares
from jointmap.assembly.table_columns import (
    STUD_DIAMETER,
    STUD_PITCH,
    WASHER_INSIDE,
    WASHER_OUTSIDE,
    column,
)
from jointmap.assembly.texts import NOT_LISTED, NOT_NAMED
from jointmap.assembly.torque import load_by_nut_factor, root_area
from jointmap.register.columns import Floats
from jointmap.tables.materials import ISOLATING_MATERIALS
from jointmap.tables.tightening import SCHEMES
from jointmap.units.inches import FOOT_POUND_NEWTON_METRE, KSI_PASCAL

# lbf·ft taken for N·m and the other way.
UNIT_MIX_UP_SHARE = 0.03
OWNER = named("torque read")
MOST_PASSES = max(len(passes) for passes in SCHEMES.values())


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
    low, high = (
        shares[rows.scheme, number - 1] for shares in (LOW_SHARES, HIGH_SHARES)
    )
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
            "source": SCHEME_SOURCES[rows.scheme],
        },
    )
    return within(f"pass_{number}", asked, "percent", "")


def target(rows: FittingColumns) -> Floats:
    """Return the recorded target torque, else the kit's."""
    given, planned = rows.target_newton_metre, rows.planned_newton_metre
    return np.where(np.isnan(given), planned, given)


def dwell(rows: FittingColumns) -> Found:
    """Whether the last round came late enough, where the scheme has one."""
    low = WAITS[rows.scheme]
    asked = Asked(value=rows.dwell_second, low=low, applies=low > 0.0)
    return within("dwell", asked, "second", named("wait before the last round"))


def load(rows: FittingColumns) -> Floats:
    """Return the stud load at the target torque, by the stated nut factor."""
    factor = np.full(len(rows), limit("nut factor where none is stated"))
    return load_by_nut_factor(factor, STUD_DIAMETER[rows.thread], target(rows))


def stress(rows: FittingColumns) -> Found:
    """Tell the stud stress as a share of yield; the kit's own target is not judged."""
    area = root_area(STUD_DIAMETER[rows.thread], STUD_PITCH[rows.thread])
    asked = Asked(
        value=load(rows) / area / rows.yield_pascal,
        is_listed=~np.isnan(rows.yield_pascal) | (rows.thread == NOT_NAMED),
    )
    return within("stress", asked, "percent", named("nut factor where none is stated"))


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


def _shares() -> tuple[Floats, Floats]:
    # Rows are schemes and then two empty ones, for the places -1 and -2.
    both = np.full((2, len(SCHEMES) + 2, max(MOST_PASSES, *PASSES)), np.nan)
    for place, passes in enumerate(SCHEMES.values()):
        both[:, place, : len(passes)] = allowed_shares(passes)
    return both[0], both[1]


LOW_SHARES, HIGH_SHARES = _shares()
WAITS = np.array(
    [*(max(p.wait_hours for p in s) * 3600.0 for s in SCHEMES.values()), 0.0, 0.0]
)
SCHEME_SOURCES = np.array(
    [*(s[0].citation for s in SCHEMES.values()), "", ""], dtype=object
)
STRENGTH = column([m.compressive_low_ksi for m in ISOLATING_MATERIALS], KSI_PASCAL)
