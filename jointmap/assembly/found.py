"""What one check found in every fitting record: result, value, limits, reason."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from jointmap.assembly.coded import Coded
from jointmap.register.coded_word import CodedWord
from jointmap.register.columns import Codes, Flags, Floats

# Of every row; texts may come as the distinct ones.
Values: TypeAlias = npt.NDArray[Any] | Coded[Any]


class Result(CodedWord):
    """What one check found."""

    MEETS = "meets"
    DOES_NOT_MEET = "does not meet"
    NOT_RECORDED = "not recorded"
    NOT_IN_TABLES = "not in our tables"


MEETS, DOES_NOT_MEET, NOT_RECORDED, NOT_IN_TABLES = (r.code for r in Result)
DOES_NOT_APPLY = -1
REASONS = ("meets", "fails", "blank", "table")
_RESULTS = tuple(Result)
# A limit is met by a value that differs from it in the last bits only.
_LAST_BITS = 1e-6


@dataclass(frozen=True, slots=True)
class Check:
    """One checked fact: result, reason (id and values) and source.

    ``value`` is NaN where there is no number; ``low`` and ``high`` are infinite where
    nothing limits it; ``unit`` is a unit of ``wording.quantities``.
    """

    name: str
    result: Result
    because: str
    values: Mapping[str, object] = field(default_factory=dict)
    source: str = ""
    value: float = np.nan
    low: float = -np.inf
    high: float = np.inf
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """One check over all rows; ``result`` is a place in ``Result`` or -1.

    A column ``source`` among the values stands before the check's own source.
    """

    name: str
    result: Codes
    because: Codes
    ids: tuple[str, ...]
    values: Mapping[str, Values] = field(default_factory=dict)
    unit: str = ""
    source: str = ""

    def check(self, row: int) -> Check:
        """Return what was found in a row to which the check applies."""
        code = int(self.result[row])
        values = {name: column[row] for name, column in self.values.items()}
        return Check(
            self.name,
            _RESULTS[code],
            self.ids[int(self.because[row])],
            values,
            str(values.get("source", self.source)),
            float(values.get("value", np.nan)),
            float(values.get("low", -np.inf)),
            float(values.get("high", np.inf)),
            self.unit,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a check compares: values with limits, where it applies, what is listed.

    ``is_listed`` is False where a value or limit is wanting because the thing is not in
    our tables; elsewhere a wanting one means that it is not on record.
    """

    value: Floats
    low: Floats | None = None
    high: Floats | None = None
    applies: Flags | None = None
    is_listed: Flags | None = None
    more: Mapping[str, Values] = field(default_factory=dict)


def within(name: str, asked: Asked, unit: str, source: str) -> Found:
    """Return whether each value lies within its limits."""
    rows = len(asked.value)
    every = np.ones(rows, dtype=bool)
    low = np.full(rows, -np.inf) if asked.low is None else asked.low
    high = np.full(rows, np.inf) if asked.high is None else asked.high
    wanting = np.isnan(asked.value) | np.isnan(low) | np.isnan(high)
    applies = every if asked.applies is None else asked.applies
    is_listed = every if asked.is_listed is None else asked.is_listed
    slack = _LAST_BITS * np.abs(asked.value)
    inside = (asked.value >= low - slack) & (asked.value <= high + slack)
    result = np.select(
        [~applies, wanting & ~is_listed, wanting, inside],
        [DOES_NOT_APPLY, NOT_IN_TABLES, NOT_RECORDED, MEETS],
        DOES_NOT_MEET,
    ).astype(np.int16)
    values = {"value": asked.value, "low": low, "high": high, **asked.more}
    ids = tuple(f"fitting.{name}.{word}" for word in REASONS)
    return Found(name, result, result, ids, values, unit, source)


def by_state(
    name: str,
    state: Codes,
    meaning: Mapping[str, int],
    values: Mapping[str, Values],
    source: str,
) -> Found:
    """Return results from states: ``meaning`` gives each state's reason and result.

    State -1 does not apply.
    """
    ids = tuple(meaning)
    results = np.array([*meaning.values(), DOES_NOT_APPLY], dtype=np.int16)
    return Found(name, results[state], state, ids, values, "", source)
