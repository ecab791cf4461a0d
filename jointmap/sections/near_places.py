"""Places sorted into square cells, so that what can be near one is found at once."""

from dataclasses import dataclass

import numpy as np

from jointmap.register.columns import Floats, Ids

# Cells are a little wider than the reach, so that rounding never skips one.
_WIDER = 1.001
_LEAST_METRE = 0.001  # a reach of nothing still needs cells of some width


@dataclass(frozen=True, slots=True)
class NearPlaces:
    """Places in the order of their cells.

    What can be near a place stands in three stretches of that order: ``stretches``,
    shape (n, 3, 2), holds where each begins and, not counted in, ends. No stretch holds
    places of two boundaries.
    """

    number: Ids  # which place of those given, shape (n,)
    x_metre: Floats
    y_metre: Floats
    stretches: Ids

    @property
    def not_alone(self) -> Ids:
        """The rows near which others may stand, in the order the places were given."""
        counts = (self.stretches[:, :, 1] - self.stretches[:, :, 0]).sum(axis=1)
        rows = np.flatnonzero(counts > 1)
        found: Ids = rows[np.argsort(self.number[rows])]
        return found


def near_places(
    boundary_id: Ids, x_metre: Floats, y_metre: Floats, reach_metre: float
) -> NearPlaces:
    """Sort places, shape (n,) each, into cells; those of each boundary by themselves.

    There is at least one place, and all are finite.
    """
    cell = max(reach_metre * _WIDER, _LEAST_METRE)
    row, column = (_cells(along, cell) for along in (y_metre, x_metre))
    _, level = np.unique(boundary_id, return_inverse=True)
    # One number for each row of cells of a boundary, none for the row past its last.
    lines, line = np.unique(level.ravel() * (row.max() + 2) + row, return_inverse=True)
    width = column.max() + 3
    key = line.ravel() * width + column
    order = np.argsort(key, kind="stable")
    key, line, column = key[order], line.ravel()[order], column[order]
    stretches = np.empty((len(key), 3, 2), np.int64)
    for step in range(3):
        wanted = lines[line] + step - 1
        place = np.searchsorted(lines, wanted)
        there = lines[np.minimum(place, len(lines) - 1)] == wanted
        first, last = place * width + column - 1, place * width + column + 1
        stretches[:, step, 0] = np.searchsorted(key, first)
        end = np.searchsorted(key, last, side="right")
        stretches[:, step, 1] = np.where(there, end, stretches[:, step, 0])
    return NearPlaces(order, x_metre[order], y_metre[order], stretches)


def _cells(along_metre: Floats, cell_metre: float) -> Ids:
    found = np.floor(along_metre / cell_metre).astype(np.int64)
    cells: Ids = found - found.min()
    return cells
