"""Rows of a kind as they are on record, each column with its type."""

from dataclasses import dataclass, fields
from typing import Any, TypeVar

import numpy.typing as npt

from jointmap.register import Record
from jointmap.register.columns import Codes, Days, Flags, Floats, Ids, Table
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
