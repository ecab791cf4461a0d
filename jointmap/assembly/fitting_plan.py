"""The numbers a fitter needs before the work, from the device alone.

Flanges are taken from the table, least thickness, faces included; ``add`` columns are
what to add to the thickness measured at the place. NaN where a number cannot be had.
"""

from dataclasses import dataclass

import numpy as np

from jointmap.assembly.checks_of_faces import gap_limit
from jointmap.assembly.checks_of_geometry import grip, hole_room, span, steel, thickness
from jointmap.assembly.checks_of_load import load, nut_factor, target
from jointmap.assembly.fitting_columns import FittingColumns
from jointmap.assembly.limits import limit
from jointmap.assembly.stud_length import (
    effective_length,
    length_for_threads,
    next_quarter,
    over_thickness,
    specified_length,
)
from jointmap.assembly.table_columns import (
    FLANGE_SIZE,
    FLANGE_STUD_LENGTH,
    NUT_HEIGHT,
)
from jointmap.assembly.torque import root_area
from jointmap.register.columns import Floats, Table


@dataclass(frozen=True, slots=True)
class Plan(Table):
    """Numbers per row, in SI."""

    target_newton_metre: Floats
    stud_add_metre: Floats  # to both flanges as measured: the least stud length
    stud_least_metre: Floats
    stud_to_order_metre: Floats  # for the thickest flanges allowed, next quarter up
    stud_ordinary_metre: Floats  # of the flange's table, too short for most kits
    sleeve_add_least_metre: Floats
    sleeve_add_most_metre: Floats
    sleeve_least_metre: Floats
    sleeve_most_metre: Floats
    hole_room_metre: Floats
    gap_at_rest_metre: Floats
    draw_up_newton_metre: Floats
    nut_factor: Floats
    stress_share: Floats  # of yield


def plan_of(rows: FittingColumns) -> Plan:
    """Return the numbers for each row; what a record measured is used where it is."""
    with np.errstate(invalid="ignore"):
        return _plan_of(rows)


def _plan_of(rows: FittingColumns) -> Plan:
    flanges, washers = thickness(rows), rows.sides * rows.washer_metre
    threads = np.full(len(rows), limit("threads past each nut"))
    diameter, pitch = rows.stud_metre, rows.pitch_metre
    _, thickest = steel(rows)
    held = grip(rows, thickest)
    least = length_for_threads(threads, held, NUT_HEIGHT[rows.thread], pitch)
    return Plan(
        target_newton_metre=target(rows),
        stud_add_metre=least - flanges,
        stud_least_metre=least,
        stud_to_order_metre=_to_order(rows, held),
        stud_ordinary_metre=FLANGE_STUD_LENGTH[rows.flange],
        sleeve_add_least_metre=rows.gasket_metre,
        sleeve_add_most_metre=rows.gasket_metre + washers,
        sleeve_least_metre=span(rows),
        sleeve_most_metre=span(rows) + washers,
        hole_room_metre=hole_room(rows),
        gap_at_rest_metre=gap_limit(rows),
        draw_up_newton_metre=limit("draw-up share of load") * target(rows),
        nut_factor=nut_factor(rows),
        stress_share=load(rows) / root_area(diameter, pitch) / rows.yield_pascal,
    )


def _to_order(rows: FittingColumns, held: Floats) -> Floats:
    flanges = thickness(rows)
    over = over_thickness(FLANGE_SIZE[rows.flange])
    between = held - flanges
    return next_quarter(
        specified_length(
            effective_length(flanges / 2.0, over, rows.stud_metre, between)
        )
    )
