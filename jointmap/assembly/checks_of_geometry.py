"""Checks of lengths: holes, studs, threads, sleeves."""

from dataclasses import replace

import numpy as np

from jointmap.assembly.fitting_columns import FittingColumns, Sources
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
    STEEL_LEAST,
    STEEL_MOST,
    STUD_DIAMETER,
)
from jointmap.assembly.texts import NOT_LISTED, NOT_NAMED
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


def steel(rows: FittingColumns) -> tuple[Floats, Floats]:
    """Return least and most thickness of a steel washer: on record, else published."""
    measured = rows.steel_metre
    least, most = (
        np.where(np.isnan(measured), published[rows.thread], measured)
        for published in (STEEL_LEAST, STEEL_MOST)
    )
    return least, most


def grip(rows: FittingColumns, steel_metre: Floats) -> Floats:
    """Return all that lies between the two nuts, in metres."""
    return span(rows) + washer_stack(rows.sides, rows.washer_metre, steel_metre)


def is_listed(rows: FittingColumns) -> Flags:
    """Return whether flange and stud size are in our tables, or at least unnamed."""
    return np.asarray((rows.flange != NOT_LISTED) & (rows.thread != NOT_LISTED))


def _source(rows: FittingColumns) -> Sources:
    return _CITATIONS[rows.flange]


def hole_room(rows: FittingColumns) -> Floats:
    """Return what stud and sleeve leave of the hole as measured, else as listed."""
    is_measured = ~np.isnan(rows.hole_metre)
    hole = np.where(is_measured, rows.hole_metre, FLANGE_HOLE[rows.flange])
    stud = np.where(is_measured, rows.stud_metre, FLANGE_STUD[rows.flange])
    return hole_clearance(hole, stud, rows.sleeve_wall_metre)


def hole_offset(rows: FittingColumns) -> Found:
    """Whether the holes' offset is below what the sleeve's wall leaves."""
    is_measured = ~np.isnan(rows.hole_metre)
    asked = Asked(
        value=rows.hole_offset_metre,
        high=np.minimum(hole_room(rows), limit("hole rotation")),
        is_listed=is_measured | (rows.flange != NOT_LISTED),
        more={"source": np.where(is_measured, "the hole as measured", _source(rows))},
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
        more={"source": _source(rows)},
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
        more={"source": _source(rows)},
    )
    return within("stud_size", asked, "inch", "")


def stud_length(rows: FittingColumns) -> Found:
    """Whether the studs are long enough for all that lies between the nuts."""
    wanted = np.full(len(rows), limit("threads past each nut"))
    least, most = steel(rows)
    low, high = (
        length_for_threads(
            wanted, grip(rows, thick), NUT_HEIGHT[rows.thread], rows.pitch_metre
        )
        for thick in (least, most)
    )
    is_known = ~np.isnan(least) | (rows.thread == NOT_NAMED)
    asked = Asked(
        value=rows.stud_length_metre,
        low=low,
        high=high + limit("stud past the nut"),
        is_listed=is_listed(rows) & is_known,
        more={"threads": _threads_reckoned(rows, least)},
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


def _threads_reckoned(rows: FittingColumns, steel_metre: Floats) -> Floats:
    return threads_past_nut(
        rows.stud_length_metre,
        grip(rows, steel_metre),
        NUT_HEIGHT[rows.thread],
        rows.pitch_metre,
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
