"""Rows of one file that all lie off their stated posts by the same vector."""

from collections.abc import Iterator

import numpy as np

from jointmap.location.against_the_site import Standing
from jointmap.location.geodesic import moved
from jointmap.location.places import (
    DOUBT_KINDS,
    MOVED_TOGETHER,
    DoubtLimits,
    Doubts,
    PlaceColumns,
)
from jointmap.register.columns import Flags, Floats, Ids


def moved_together(
    places: PlaceColumns, seen: Standing, open_rows: Flags, limits: DoubtLimits
) -> Iterator[Doubts]:
    """Yield the rows of each file that share one long vector from their posts.

    The likely cause is a difference of datum between survey and file. The proposal
    takes the common vector off the place as sent; it does not move it to the post,
    which is known less well.
    """
    east, north = seen.east_metre, seen.north_metre
    off = open_rows & (seen.post_metre > limits.moved_metre) & (places.batch >= 0)
    for batch in np.unique(places.batch[off]):
        rows = np.flatnonzero(off & (places.batch == batch))
        for group in alike(east[rows], north[rows], limits):
            yield _doubts(places, seen, rows[group])


def alike(east: Floats, north: Floats, limits: DoubtLimits) -> Iterator[Ids]:
    """Yield groups of rows whose vectors lie within a few metres of their middle."""
    left = np.arange(len(east))
    while left.size >= limits.moved_rows:
        crowd = left[_densest(east[left], north[left], 2.0 * limits.alike_metre)]
        apart = np.hypot(
            east[left] - np.median(east[crowd]), north[left] - np.median(north[crowd])
        )
        group = left[apart <= limits.alike_metre]
        if group.size < limits.moved_rows:
            return
        yield group
        left = np.setdiff1d(left, group)


def _densest(east: Floats, north: Floats, cell_metre: float) -> Flags:
    # Four grids, each half a cell apart: a group smaller than half a cell lies whole
    # in one cell of one of them.
    best = np.zeros(len(east), dtype=bool)
    for shift_east in (0.0, 0.5):
        for shift_north in (0.0, 0.5):
            cells = np.floor(
                [east / cell_metre + shift_east, north / cell_metre + shift_north]
            )
            _, cell, count = np.unique(
                cells, axis=1, return_inverse=True, return_counts=True
            )
            members = cell.ravel() == np.argmax(count)
            best = members if members.sum() > best.sum() else best
    return best


def _doubts(places: PlaceColumns, seen: Standing, rows: Ids) -> Doubts:
    east = np.full(len(rows), np.median(seen.east_metre[rows]))
    north = np.full(len(rows), np.median(seen.north_metre[rows]))
    sent = places.latitude_deg[rows], places.longitude_deg[rows]
    return Doubts(
        rows,
        np.full(len(rows), DOUBT_KINDS.index(MOVED_TOGETHER), dtype=np.int16),
        *moved(*sent, -east, -north),
        np.hypot(east, north),
        east,
        north,
        np.full(len(rows), len(rows)),
    )
