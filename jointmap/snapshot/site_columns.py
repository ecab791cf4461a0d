"""A state of the register as columns: joints, paths, boundaries, rules, limits."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.intervals import TRIGGERS, clause_codes, held_from
from jointmap.location import to_working
from jointmap.register import (
    Boundary,
    CurrentSource,
    Device,
    Joint,
    Limit,
    ParallelPath,
    Position,
    Record,
    Rule,
    Site,
    Structure,
)
from jointmap.register.codes import Subject
from jointmap.register.columns import (
    BoundaryColumns,
    Ids,
    JointColumns,
    LimitColumns,
    PathColumns,
    RuleColumns,
)
from jointmap.register.joining import row_of
from jointmap.snapshot.decided.conditions import on_condition
from jointmap.snapshot.fitted import Fitted
from jointmap.snapshot.gather import pick
from jointmap.snapshot.recorded_columns import (
    DeviceColumns,
    JointFacts,
    Past,
    SourceColumns,
    StructureColumns,
    read_past,
    read_table,
)
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_arrays
from jointmap.tables import METHODS

Array = npt.NDArray[Any]
NO_DAY = np.datetime64("NaT", "D")
METHOD_CODES = [m.code for m in METHODS]


@dataclass(frozen=True, slots=True)
class Ground:
    """What the judging of one day needs to know of the site, as columns."""

    site: Site
    on: np.datetime64
    structures: StructureColumns
    sources: SourceColumns
    boundaries: BoundaryColumns
    joints: JointColumns
    joint_facts: JointFacts
    devices: DeviceColumns
    paths: PathColumns
    limits: LimitColumns
    rules: RuleColumns
    rules_ever: RuleColumns  # with those that ended before the day
    past: Past  # what the facts above were on the days before


def read_ground(state: Snapshot, on: np.datetime64) -> Ground:
    """Read everything but the tests, as it stood on the day ``on``."""
    structures = read_table(state, Structure, StructureColumns)
    boundaries = _boundaries(state, structures)
    facts = read_table(state, Joint, JointFacts)
    devices = read_table(state, Device, DeviceColumns)
    joints = _joints(state, on, facts, devices, structures, boundaries)
    rules = _rules_ever(state, on)
    return Ground(
        state.site,
        on,
        structures,
        read_table(state, CurrentSource, SourceColumns),
        boundaries,
        joints,
        facts,
        devices,
        read_table(state, ParallelPath, PathColumns),
        _limits(state, on),
        rules.take(_in_force(rules.from_on, rules.until_on, on)),
        rules,
        read_past(state),
    )


def _boundaries(state: Snapshot, structures: StructureColumns) -> BoundaryColumns:
    found = read_arrays(
        state.stored,
        Boundary,
        [
            "structure_a_id",
            "structure_b_id",
            "purpose",
            "joined_from_on",
            "joined_until_on",
        ],
    )
    protected = [
        pick(structures.is_protected, row_of(structures.id, found[side]), False)
        for side in ("structure_a_id", "structure_b_id")
    ]
    return BoundaryColumns(
        found["id"],
        found["structure_a_id"],
        found["structure_b_id"],
        found["purpose"],
        protected[0] | protected[1],
        found["joined_from_on"],
        found["joined_until_on"],
    )


def _joints(
    state: Snapshot,
    on: np.datetime64,
    facts: JointFacts,
    devices: DeviceColumns,
    structures: StructureColumns,
    boundaries: BoundaryColumns,
) -> JointColumns:
    ids = facts.id
    bound = row_of(boundaries.boundary_id, facts.boundary_id)
    sides = (boundaries.structure_a_id, boundaries.structure_b_id)
    kinds = [
        pick(structures.kind, row_of(structures.id, pick(side, bound, 0)), -1)
        for side in sides
    ]
    now = np.full(len(ids), on, dtype="datetime64[D]")
    fitted = devices_by_joint(devices).on(ids, now)
    places = working_places(state, Subject.JOINT, ids)
    return JointColumns(
        joint_id=ids,
        boundary_id=facts.boundary_id,
        device_id=pick(devices.id, fitted, 0),
        line_id=facts.line_id,
        purpose=pick(boundaries.purpose, bound, -1),
        severity=facts.severity,
        consequence=facts.consequence,
        state=facts.state,
        device_kind=pick(devices.kind, fitted, -1),
        layout=pick(devices.layout, fitted, -1),
        stud_count=pick(devices.stud_count, fitted, 0),
        structure_kind_a=kinds[0],
        structure_kind_b=kinds[1],
        is_protected=pick(boundaries.is_protected, bound, False),
        in_duty_on=facts.in_duty_on,
        fitted_on=pick(devices.fitted_on, fitted, NO_DAY),
        there_since=_there_since(facts, devices),
        x_metre=places[0],
        y_metre=places[1],
        latitude_deg=places[2],
        longitude_deg=places[3],
    )


def names_by_id(state: Snapshot, kind: type[Record]) -> tuple[Ids, Array]:
    """Return ids and names of a kind whose records are called by a ``name``."""
    found = read_arrays(state.stored, kind, ["name"])
    return found["id"], found["name"]


def devices_by_joint(devices: DeviceColumns) -> Fitted:
    """Return what says which of the devices is fitted on a day."""
    return Fitted.of(devices.joint_id, devices.fitted_on, devices.removed_on)


def _there_since(facts: JointFacts, devices: DeviceColumns) -> Array:
    """Return the day since which each joint is there: first fitted, or in duty."""
    rows, days = row_of(facts.id, devices.joint_id), devices.fitted_on
    # Of several devices of a joint the earliest is written last, and stays.
    order = np.argsort(days)[::-1]
    order = order[rows[order] >= 0]
    first = np.full(len(facts.id), NO_DAY)
    first[rows[order]] = days[order]
    since: Array = np.fmin(first, facts.in_duty_on)
    return since


def working_places(state: Snapshot, subject: Subject, ids: Array) -> tuple[Array, ...]:
    """Return x and y (working system, metre), latitude and longitude of each id.

    NaN where no position is on record, or the one on record awaits a decision.
    """
    found = read_arrays(
        state.stored,
        Position,
        ["subject", "subject_id", "latitude_deg", "longitude_deg"],
    )
    mine = found["subject"] == subject.code
    rows = row_of(found["subject_id"][mine], ids)
    latitude = pick(found["latitude_deg"][mine], rows, np.nan)
    longitude = pick(found["longitude_deg"][mine], rows, np.nan)
    x, y = to_working(latitude, longitude, state.site.working_crs)
    return x, y, latitude, longitude


def _in_force(from_on: Array, until_on: Array, on: np.datetime64) -> Array:
    held: Array = (from_on <= on) & ~(until_on < on)
    return held


def _limits(state: Snapshot, on: np.datetime64) -> LimitColumns:
    names = ["method", "role", "purpose", "value", "from_on", "until_on"]
    found = read_arrays(state.stored, Limit, names, {"method": METHOD_CODES})
    limits = LimitColumns(found["id"], *(found[n] for n in names[:4]))
    return limits.take(_in_force(found["from_on"], found["until_on"], on))


def _rules_ever(state: Snapshot, on: np.datetime64) -> RuleColumns:
    names = ["shape", "basis", "subject", "years", "months", "days", "factor",
             "trigger", "purpose", "severity", "structure_kind", "path_kind",
             "critical_only", "protected_only", "from_on", "until_on",
             "binds_from_on"]  # fmt: skip
    found = read_arrays(
        state.stored,
        Rule,
        [*names, "name", "source", "clause"],
        {"trigger": TRIGGERS},
    )
    clause = clause_codes(
        [f"{s} {c}" for s, c in zip(found["source"], found["clause"], strict=True)]
    )
    own = {n: found[n] for n in names}
    held_on = held_from(
        found["name"].astype(str), found["from_on"], found["binds_from_on"]
    )
    rules = RuleColumns(rule_id=found["id"], **own, clause=clause, held_from_on=held_on)
    held = on_condition(state, rules, found["name"].tolist())
    return held.take(held.from_on <= on)
