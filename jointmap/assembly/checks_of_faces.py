"""Checks of the faces, and of how they came together before the nuts were turned."""

import numpy as np

from jointmap.assembly.checks_of_load import target
from jointmap.assembly.fitting_columns import FittingColumns
from jointmap.assembly.found import Asked, Found, within
from jointmap.assembly.limits import limit, named
from jointmap.assembly.texts import NOT_LISTED, is_damaged, telling_word
from jointmap.register.columns import Flags, Floats, Ids

# Depth that a defect may have by its share of the seat's width, next quarter by next;
# none is allowed over the last. What a hard gasket may not have, a soft one may.
HARD = (
    "defect under a quarter of the seat: hard",
    "defect under half of the seat: hard",
)
SOFT = (
    "defect under a quarter of the seat: soft",
    "defect under half of the seat: soft",
    "defect under three quarters of the seat: soft",
)
HARD_DEPTHS = np.array([*map(limit, HARD), 0.0, 0.0])
SOFT_DEPTHS = np.array([*map(limit, SOFT), 0.0])
DEFECTS = named(HARD[0])


def flatness(rows: FittingColumns) -> Found:
    """Whether the worse face is flat enough for the gasket."""
    every = np.ones(len(rows))
    hard = limit("flatness under a hard gasket") * every
    soft = limit("flatness under a soft gasket") * every
    source = named("flatness under a hard gasket")
    asked = Asked(
        value=rows.flatness_metre,
        high=_by_gasket(rows, rows.flatness_metre, hard, soft),
        is_listed=_is_known(rows),
    )
    return within("flatness", asked, "metre", source)


def face_defect(rows: FittingColumns) -> Found:
    """Whether the worst defect is shallow enough for its length across the seat."""
    depth = rows.defect_depth_metre
    quarter = _quarter(rows)
    high = _by_gasket(rows, depth, HARD_DEPTHS[quarter], SOFT_DEPTHS[quarter])
    # Of an unknown length, only a depth that none may have can be judged.
    is_open = np.isnan(_share(rows)) & (depth > 0.0) & (depth <= high)
    asked = Asked(
        value=depth,
        high=np.where(is_open, np.nan, high),
        applies=_has_defect(rows),
        is_listed=_is_known(rows),
        more={"length": rows.defect_length_metre},
    )
    return within("face_defect", asked, "metre", DEFECTS)


def _share(rows: FittingColumns) -> Floats:
    seat = (rows.gasket_outside_metre - rows.gasket_inside_metre) / 2.0
    return rows.defect_length_metre / seat


def _quarter(rows: FittingColumns) -> Ids:
    return np.clip(np.nan_to_num(_share(rows) * 4.0), 0, 3).astype(np.int64)


def _has_defect(rows: FittingColumns) -> Flags:
    told = rows.face_a.flags(is_damaged) | rows.face_b.flags(is_damaged)
    measured = ~np.isnan(rows.defect_depth_metre) | ~np.isnan(rows.defect_length_metre)
    return np.asarray(told | measured)


def _is_soft(rows: FittingColumns) -> Flags:
    return rows.gasket_words.flags(
        lambda text: telling_word("soft gasket", text) != NOT_LISTED
    )


def _is_known(rows: FittingColumns) -> Flags:
    return np.asarray((rows.gasket_material != NOT_LISTED) | _is_soft(rows))


def _by_gasket(
    rows: FittingColumns, value: Floats, hard: Floats, soft: Floats
) -> Floats:
    """Return the limit under a gasket; NaN where hard or soft would decide."""
    is_soft = _is_soft(rows) & (rows.gasket_material < 0)
    is_hard = rows.gasket_material >= 0
    decides = ~is_hard & ~is_soft & (value > hard) & (value <= soft)
    return np.where(decides, np.nan, np.where(is_soft, soft, hard))


def centreline(rows: FittingColumns) -> Found:
    """Whether the flanges' centrelines meet."""
    return _at_most("centreline", rows.centreline_metre, "centreline offset")


def parallelism(rows: FittingColumns) -> Found:
    """Whether the faces are parallel."""
    return _at_most("parallelism", rows.parallelism_metre, "parallelism")


def _at_most(name: str, value: Floats, limit_name: str) -> Found:
    high = np.full(len(value), limit(limit_name))
    return within(name, Asked(value=value, high=high), "metre", named(limit_name))


def gap_limit(rows: FittingColumns) -> Floats:
    """Return how far apart the faces may stand at rest, in metres."""
    return limit("gap at rest in gasket thicknesses") * rows.gasket_metre


def gap_at_rest(rows: FittingColumns) -> Found:
    """Whether the faces stood close enough before anything was drawn up."""
    asked = Asked(value=rows.gap_at_rest_metre, high=gap_limit(rows))
    source = named("gap at rest in gasket thicknesses")
    return within("gap_at_rest", asked, "metre", source)


def draw_up(rows: FittingColumns) -> Found:
    """Whether little torque brought the faces to the gasket: nothing was forced."""
    asked = Asked(
        value=rows.draw_up_newton_metre / target(rows),
        high=np.full(len(rows), limit("draw-up share of load")),
    )
    return within("draw_up", asked, "percent", named("draw-up share of load"))
