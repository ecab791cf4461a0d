"""Sums of numbers by the place they belong to."""

import numpy as np
import numpy.typing as npt

from jointmap.register.columns import Floats


def sum_by(
    place: npt.NDArray[np.integer], values: npt.ArrayLike, places: int
) -> Floats:
    """Return, for each of ``places``, the sum of the values that belong there."""
    return np.bincount(place, values, places).astype(np.float64)
