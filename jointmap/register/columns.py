"""Many rows at once: equal-length arrays, codes as small integers.

Ids are whole numbers above zero; 0 stands for "none". Tables with a row per test hold
them in 32 bits where they fit (``narrow``). Days are ``datetime64[D]`` with
NaT for "none", numbers are SI floats with NaN for "none". Codes are the place of a word
in its list in ``register.codes``; -1 stands for "none".
"""

from dataclasses import dataclass, fields
from typing import Any, Self, TypeAlias

import numpy as np
import numpy.typing as npt

from jointmap.errors import Problem, Refused

_MOST_NARROW = np.iinfo(np.int32).max

Ids: TypeAlias = npt.NDArray[np.int64]
Codes: TypeAlias = npt.NDArray[np.int16]
Days: TypeAlias = npt.NDArray[np.datetime64]
Floats: TypeAlias = npt.NDArray[np.float64]
Flags: TypeAlias = npt.NDArray[np.bool_]


def narrow(values: npt.NDArray[Any]) -> npt.NDArray[Any]:
    """Return whole numbers of 64 bits in 32, if none is too large; others as given."""
    if values.dtype != np.int64:
        return values
    fits = values.max(initial=0) <= _MOST_NARROW and values.min(initial=0) >= 0
    return values.astype(np.int32) if fits else values


def in_codes(values: npt.ArrayLike) -> Codes:
    """Return whole numbers in 16 bits; refuses what would come out as another number.

    Raises
    ------
    Refused
        ``columns.beyond``, with the number that is farthest out.
    """
    given = np.asarray(values)
    if given.dtype == np.int16:
        return given
    wide = given.astype(np.int64)
    span = np.iinfo(np.int16)
    if wide.size and (wide.max() > span.max or wide.min() < span.min):
        worst = int(wide.flat[np.argmax(np.abs(wide.astype(np.float64)))])
        raise Refused(Problem("columns.beyond", {"value": worst, "most": span.max}))
    return wide.astype(np.int16)


class Table:
    """Base of all column sets: a row count, and rows taken by index or mask."""

    __slots__ = ()

    def __len__(self) -> int:
        name = next(iter(self.__dataclass_fields__))  # type: ignore[attr-defined]
        return len(getattr(self, name))

    def take(self, rows: npt.NDArray[np.generic] | slice) -> Self:
        """Return the given rows (indices, a mask or a slice) as a new column set."""
        if not isinstance(rows, slice) and rows.dtype == np.bool_ and np.all(rows):
            return self  # columns are never changed in place
        own = fields(self)  # type: ignore[arg-type]
        return type(self)(**{f.name: getattr(self, f.name)[rows] for f in own})


@dataclass(frozen=True, slots=True)
class JointColumns(Table):
    """One row per joint with what is fitted there now."""

    joint_id: Ids
    boundary_id: Ids
    device_id: Ids
    line_id: Ids
    purpose: Codes  # of its boundary
    severity: Codes
    consequence: Codes
    state: Codes
    device_kind: Codes
    layout: Codes
    stud_count: Ids
    structure_kind_a: Codes
    structure_kind_b: Codes
    is_protected: Flags  # either side
    in_duty_on: Days
    fitted_on: Days  # of the device fitted now
    there_since: Days  # first fitted, or in duty if that was earlier
    x_metre: Floats  # in the site's working reference system
    y_metre: Floats
    latitude_deg: Floats
    longitude_deg: Floats


@dataclass(frozen=True, slots=True)
class TestColumns(Table):
    """One row per test: what was tested, where, when and how."""

    __test__ = False

    test_id: Ids
    scope: Codes
    joint_id: Ids  # also where a boundary test was read
    boundary_id: Ids
    path_id: Ids
    source_id: Ids
    device_id: Ids  # fitted at the joint on the day of the test
    tested_on: Days
    minute: Codes  # from a day before its own day in UTC; -1 no instant on record
    method: Codes  # place in tables.METHODS
    stage: Codes
    outcome: Codes
    stud: Codes  # number of the stud; 0 none
    side: Codes
    layout: Codes  # of the device fitted that day
    reading_ohm: Floats
    reading_bound: Codes  # -1 below, 0 exact, 1 above the stated reading
    person_paper: Codes  # as ``paper_states`` has it, for the method of the test
    instrument_paper: Codes


@dataclass(frozen=True, slots=True)
class ReadingColumns(TestColumns):
    """Tests with all else that their verdicts hang on; wide, so not kept of many."""

    __test__ = False

    indication: Codes
    a_on_volt: Floats
    a_off_volt: Floats
    b_on_volt: Floats
    b_off_volt: Floats
    ac_volt: Floats  # the largest AC reading of the visit
    test_current_ampere: Floats
    span_current_ampere: Floats
    geometry: Codes  # 0 span between connection and joint, 1 span beyond it
    hangs_free: Flags
    interrupted_side: Codes
    sources_named: (
        Flags  # cycling sources, and steady far-side sources, are written down
    )
    cycles: Ids
    cycle_spread_volt: Floats  # largest less smallest near shift of the cycles
    far_side_cycles: Flags  # a source that feeds the far side was interrupted too
    near_side_steady: Flags  # no source that feeds the near side was interrupted
    a_has_current: Flags  # the structure of side A is under protection current
    b_has_current: Flags
    purpose: Codes
    is_buried: Flags
    leads_proven: Codes  # 1 both sides, 0 known bad, 2 leads not proved, -1 no leads
    electrode_known: Flags
    tie_in_over: Flags  # said to be before a tie-in that was over by then


@dataclass(frozen=True, slots=True)
class LimitColumns(Table):
    """One row per acceptance limit in force."""

    limit_id: Ids
    method: Codes
    role: Codes
    purpose: Codes  # -1: any purpose
    value: Floats  # SI


@dataclass(frozen=True, slots=True)
class RuleColumns(Table):
    """One row per interval rule, in force on a day or at any time up to it."""

    rule_id: Ids
    shape: Codes
    basis: Codes
    subject: Codes
    years: Ids
    months: Ids
    days: Ids
    factor: Floats
    trigger: Codes  # place in codes.TRIGGERS
    purpose: Codes
    severity: Codes
    structure_kind: Codes
    path_kind: Codes
    critical_only: Flags
    protected_only: Flags  # only where a side of the boundary is protected
    clause: Codes  # equal where source and clause are
    from_on: Days
    until_on: Days  # NaT: no end on record
    binds_from_on: Days  # of a law, whenever it was adopted here; NaT: not known
    held_from_on: Days  # from which its limits are held against tests


@dataclass(frozen=True, slots=True)
class PathColumns(Table):
    """One row per parallel path."""

    path_id: Ids
    boundary_id: Ids
    joint_id: Ids
    kind: Codes
    state: Codes
    is_critical: Flags
    fitted_on: Days
    removed_on: Days
    checked_on: Days


@dataclass(frozen=True, slots=True)
class BoundaryColumns(Table):
    """One row per boundary."""

    boundary_id: Ids
    structure_a_id: Ids
    structure_b_id: Ids
    purpose: Codes
    is_protected: Flags
    joined_from_on: Days
    joined_until_on: Days


@dataclass(frozen=True, slots=True)
class OccurrenceColumns(Table):
    """One row per joint and occurrence that may have changed it."""

    joint_id: Ids
    kind: Codes
    happened_on: Days
