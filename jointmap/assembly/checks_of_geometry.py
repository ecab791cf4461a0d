"""Checks of lengths: alignment, holes, studs, threads, sleeves."""

from dataclasses import replace

import numpy as np

from jointmap.assembly.fittings import FittingColumns, Texts
from jointmap.assembly.found import DOES_NOT_MEET, Asked, Found, within
from jointmap.assembly.limits import limit, named
from jointmap.assembly.sleeve import hole_clearance, length_window
from jointmap.assembly.stud_length import (
    length_for_threads,
    threads_past_nut,
    washer_stack,
)
from jointmap.assembly.table_columns import (
    FLANGE_COUNT,
    FLANGE_HOLE,
    FLANGE_STUD,
    FLANGE_STUD_LENGTH,
    FLANGE_THICKNESS,
    NUT_HEIGHT,
    STUD_DIAMETER,
    STUD_PITCH,
)
from jointmap.assembly.texts import NOT_LISTED
from jointmap.register.columns import Flags, Floats
from jointmap.tables.fitting_limits import FITTING_LIMITS
from jointmap.tables.flanges import FLANGES


def thickness(rows: FittingColumns) -> Floats:
    """Return both flanges together, back to sealing face; measured, else by table."""
    listed = FLANGE_THICKNESS[rows.flange]
    sides = (rows.thickness_a_metre, rows.thickness_b_metre)
    first, second = (np.where(np.isnan(s), listed, s) for s in sides)
    return np.asarray(first + second)


def span(rows: FittingColumns) -> Floats:
    """Return both flanges and the gasket between, in metres."""
    return thickness(rows) + rows.gasket_metre


def grip(rows: FittingColumns) -> Floats:
    """Return all that lies between the two nuts, in metres."""
    steel = np.full(len(rows), limit("steel washer thickness"))
    return span(rows) + washer_stack(rows.sides, rows.washer_metre, steel)


def is_listed(rows: FittingColumns) -> Flags:
    """Return whether flange and stud size are in our tables, or at least unnamed."""
    return np.asarray((rows.flange != NOT_LISTED) & (rows.thread != NOT_LISTED))


def _flange_source(rows: FittingColumns) -> dict[str, Texts]:
    return {"source": _CITATIONS[rows.flange]}


def centreline(rows: FittingColumns) -> Found:
    """Whether the flanges' centrelines meet."""
    return _at_most("centreline", rows.centreline_metre, "centreline offset")


def parallelism(rows: FittingColumns) -> Found:
    """Whether the faces are parallel."""
    return _at_most("parallelism", rows.parallelism_metre, "parallelism")


def _at_most(name: str, value: Floats, limit_name: str) -> Found:
    high = np.full(len(value), limit(limit_name))
    return within(name, Asked(value=value, high=high), "metre", named(limit_name))


def hole_offset(rows: FittingColumns) -> Found:
    """Whether the holes' offset is below what the sleeve's wall leaves."""
    room = hole_clearance(
        FLANGE_HOLE[rows.flange], FLANGE_STUD[rows.flange], rows.sleeve_wall_metre
    )
    asked = Asked(
        value=rows.hole_offset_metre,
        high=room,
        is_listed=rows.flange != NOT_LISTED,
        more=_flange_source(rows),
    )
    return within("hole_offset", asked, "metre", "")


def stud_count(rows: FittingColumns) -> Found:
    """Whether the kit has as many studs as the flange has holes."""
    count = FLANGE_COUNT[rows.flange]
    asked = Asked(
        value=rows.stud_count,
        low=count,
        high=count,
        is_listed=rows.flange != NOT_LISTED,
        more=_flange_source(rows),
    )
    return within("stud_count", asked, "count", "")


def stud_size(rows: FittingColumns) -> Found:
    """Whether the studs have the diameter of the flange's table."""
    wanted = FLANGE_STUD[rows.flange]
    asked = Asked(
        value=STUD_DIAMETER[rows.thread],
        low=wanted,
        high=wanted,
        is_listed=is_listed(rows),
        more=_flange_source(rows),
    )
    return within("stud_size", asked, "inch", "")


def stud_length(rows: FittingColumns) -> Found:
    """Whether the studs are long enough for all that lies between the nuts."""
    wanted = np.full(len(rows), limit("threads past each nut"))
    low = length_for_threads(
        wanted, grip(rows), NUT_HEIGHT[rows.thread], STUD_PITCH[rows.thread]
    )
    asked = Asked(
        value=rows.stud_length_metre,
        low=low,
        high=low + limit("stud past the nut"),
        is_listed=is_listed(rows),
        more={"threads": _threads_reckoned(rows)},
    )
    source = f"{named('threads past each nut')}; {named('stud past the nut')}"
    found = within("stud_length", asked, "metre", source)
    return _naming_ordinary(found, rows, low)


def _naming_ordinary(found: Found, rows: FittingColumns, low: Floats) -> Found:
    """Say so where a stud that is too short is the ordinary one of the flange."""
    ordinary = FLANGE_STUD_LENGTH[rows.flange]
    is_it = np.abs(rows.stud_length_metre - ordinary) <= ORDINARY_WITHIN_METRE
    too_short = found.result == DOES_NOT_MEET
    too_short &= rows.stud_length_metre < low
    because = np.where(too_short & is_it, len(found.ids), found.because)
    ids = (*found.ids, "fitting.stud_length.ordinary")
    return replace(found, because=because.astype(np.int16), ids=ids)


def _threads_reckoned(rows: FittingColumns) -> Floats:
    return threads_past_nut(
        rows.stud_length_metre,
        grip(rows),
        NUT_HEIGHT[rows.thread],
        STUD_PITCH[rows.thread],
    )


def threads(rows: FittingColumns) -> Found:
    """Whether enough threads were counted past each nut."""
    low = np.full(len(rows), limit("threads past each nut"))
    asked = Asked(value=rows.threads, low=low)
    return within("threads", asked, "count", named("threads past each nut"))


def sleeve_length(rows: FittingColumns) -> Found:
    """Whether the sleeve covers both flanges and stands clear of the steel washers."""
    low, high = length_window(span(rows), rows.sides * rows.washer_metre)
    asked = Asked(value=rows.sleeve_metre, low=low, high=high)
    return within("sleeve_length", asked, "metre", SLEEVE_SOURCE)


def sleeve_projection(rows: FittingColumns) -> Found:
    """Whether the sleeve stands out at an end, and less than the washer is thick."""
    low = np.zeros(len(rows))
    asked = Asked(value=rows.projection_metre, low=low, high=rows.washer_metre)
    return within("sleeve_projection", asked, "metre", SLEEVE_SOURCE)


# Studs are sold in quarters of an inch or in 5 mm; lengths are read to about 2 mm.
ORDINARY_WITHIN_METRE = 0.002
SLEEVE_SOURCE = FITTING_LIMITS["sleeve end clearance least"].citation
_CITATIONS = np.array([*(f.citation for f in FLANGES), "", ""], dtype=object)
