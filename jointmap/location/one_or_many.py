"""Arrays as pyproj takes them, also where they hold one value."""

from typing import Any

from jointmap.register.columns import Floats


def as_many(*arrays: Floats) -> tuple[Any, ...]:
    """Return arrays of one length so that pyproj answers with as many values.

    It tries whatever it is given as a number first. NumPy before 2.4 lets an array of
    one be a number, with a warning, and the answer is then a number; a list never is.
    """
    if arrays[0].size != 1:
        return arrays
    return tuple(array.tolist() for array in arrays)
