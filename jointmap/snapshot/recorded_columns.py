"""Rows of a kind as they are on record, each column with its type."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, TypeVar, cast

import numpy as np
import numpy.typing as npt

from jointmap.register import FORMS, Altered, Column, Record
from jointmap.register.altered import ALTERED_KINDS, WAS_ID, value_was
from jointmap.register.columns import Codes, Days, Flags, Floats, Ids, Table
from jointmap.register.joining import Was
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_arrays

Texts = npt.NDArray[Any]
T = TypeVar("T", bound=Table)


@dataclass(frozen=True, slots=True)
class StructureColumns(Table):
    """One row per structure."""

    id: Ids
    kind: Codes
    is_protected: Flags
    is_separate: Flags
    length_metre: Floats


@dataclass(frozen=True, slots=True)
class SourceColumns(Table):
    """One row per current source."""

    id: Ids
    structure_id: Ids
    can_be_interrupted: Flags


@dataclass(frozen=True, slots=True)
class DeviceColumns(Table):
    """One row per device, fitted now or before."""

    id: Ids
    joint_id: Ids
    fitted_on: Days
    removed_on: Days
    kind: Codes
    layout: Codes
    stud_count: Ids


@dataclass(frozen=True, slots=True)
class JointFacts(Table):
    """One row per joint with what is on record of it alone."""

    id: Ids
    tag: Texts
    area: Texts
    boundary_id: Ids
    line_id: Ids
    state: Codes
    severity: Codes
    consequence: Codes
    in_duty_on: Days
    out_of_duty_on: Days
    post_kilometre: Floats
    post_measuring: Texts
    is_buried: Flags
    two_persons: Flags
    permit_from: Texts
    permit_until: Texts
    season_from: Texts
    season_until: Texts
    which_one: Texts
    temperature_degc: Floats


@dataclass(frozen=True, slots=True)
class LeadFindings(Table):
    """One row per finding about a lead of a test point."""

    id: Ids
    test_point_id: Ids
    side: Codes
    state: Codes
    proved_on: Days


def read_table(
    state: Snapshot, kind: type[Record], table: type[T], *, every_revision: bool = False
) -> T:
    """Return all records of a kind as the columns of a table, by rising id.

    The first column is the id, whatever its name. ``every_revision`` returns what was
    replaced too, oldest first.
    """
    first, *names = [f.name for f in fields(table)]  # type: ignore[arg-type]
    found = read_arrays(state.stored, kind, names, every_revision=every_revision)
    return table(**{first: found.pop("id"), **found})


@dataclass(frozen=True, slots=True)
class Past:
    """What was altered up to a day: by kind and column, what each record held before.

    A column that is not named holds for life.
    """

    columns: Mapping[tuple[str, str], Was]

    def at(self, kind: type[Record], name: str, ids: Ids, on: Days, now: Texts) -> Any:  # noqa: ANN401
        """Return a column of records as it was on a day of each; ``now`` as it is."""
        was = self.of(kind, name)
        return now if was is None else was.at(ids, on, now)

    def of(self, kind: type[Record], name: str) -> Was | None:
        """Return what one column of a kind was; None where none was altered."""
        return self.columns.get((kind.KIND, name))

    def days_of(self, kind: type[Record]) -> Days:
        """Return the days on which anything of a kind began to be another, in order."""
        own = [was.until_on for (k, _), was in self.columns.items() if k == kind.KIND]
        days: Days = np.unique(np.concatenate([np.array([], "M8[D]"), *own]))
        return days


def read_past(state: Snapshot) -> Past:
    """Return what was altered up to the day of a state."""
    names = ["subject", "subject_id", "column", "until_on", "was", *WAS_ID.values()]
    found = read_arrays(state.stored, Altered, names)
    columns: dict[tuple[str, str], Was] = {}
    for kind, (subject, _) in ALTERED_KINDS.items():
        of_kind = found["subject"] == subject
        for name in sorted({*found["column"][of_kind].tolist()}):
            own = of_kind & (found["column"] == name)
            rows = {key: values[own] for key, values in found.items()}
            column = next(c for c in FORMS[kind].columns if c.name == name)
            columns[kind, name] = Was.of(
                rows["subject_id"], rows["until_on"], _held(column, rows)
            )
    return Past(columns)


def _held(column: Column, rows: Mapping[str, Texts]) -> Texts:
    """Return what altered rows of one column held, as that column is read."""
    if column.refers:
        return rows[WAS_ID[column.refers]]
    texts, place = np.unique(rows["was"].astype(str), return_inverse=True)
    held = [_coded(column, text) for text in texts.tolist()]
    dtype = "M8[D]" if column.type.__name__ == "date" else None
    return np.array(held, dtype)[place]


def _coded(column: Column, text: str) -> Any:  # noqa: ANN401
    if column.type is str and column.words is None:
        return text
    value = value_was(column, text or None)
    if column.words is not None:
        return -1 if value is None else cast("Any", value).code
    return np.nan if value is None and column.type is float else value
