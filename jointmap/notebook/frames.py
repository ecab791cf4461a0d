"""Columns of plain values as data frames."""

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from jointmap.register.fields import QUANTITY_OF_SUFFIX

# Days that an export names otherwise.
_DAYS = ("on", "as_of")
_SUFFIXES = tuple(QUANTITY_OF_SUFFIX)


def frame_of(columns: Mapping[str, Sequence[object]]) -> pd.DataFrame:
    """Return columns as a frame: days as datetime64, quantities as floats.

    A name ends in its unit, a day's in ``_on``, an instant's in ``_at``.
    """
    return pd.DataFrame({name: _typed(name, v) for name, v in columns.items()})


def _typed(name: str, values: Sequence[object]) -> object:
    if name in _DAYS or name.endswith("_on"):
        return _days(values)
    if name.endswith("_at"):
        return pd.to_datetime(pd.Series(values, dtype=object), utc=True)
    if name.endswith(_SUFFIXES):
        return np.array([np.nan if v is None else v for v in values], dtype=float)
    return pd.Series(values)


def _days(values: Sequence[object]) -> np.ndarray:
    # In seconds: a day of the year 9999 is none in the nanoseconds pandas would take.
    return np.array([str(v) if v else "NaT" for v in values], dtype="datetime64[s]")
