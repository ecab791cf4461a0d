"""The tests of a state of the register as columns, judged by what they hang on."""

from dataclasses import fields
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.acceptance import Judgements, judge
from jointmap.register import Boundary, IsolationTest, Joint
from jointmap.register.codes import Stage
from jointmap.register.columns import (
    Codes,
    Days,
    ReadingColumns,
    Table,
    TestColumns,
    in_codes,
    narrow,
)
from jointmap.register.joining import row_of
from jointmap.register.stages import is_tie_in_over
from jointmap.snapshot.fitted import Fitted
from jointmap.snapshot.gather import pick
from jointmap.snapshot.interrupted import Sources, read_sources
from jointmap.snapshot.leads import Leads, read_leads
from jointmap.snapshot.papers.of_tests import Asked, PapersOfTests, papers_of_tests
from jointmap.snapshot.site_columns import (
    METHOD_CODES,
    NO_DAY,
    Ground,
    devices_by_joint,
)
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import Joined, read_parts

Array = npt.NDArray[Any]
GEOMETRIES = ["between", "beyond"]
_MINUTES_A_DAY = 24 * 60
_AS_FOUND = Stage.AS_FOUND.code
_FIELDS = [
    "scope", "joint_id", "boundary_id", "path_id", "tested_on", "method", "stage",
    "outcome", "stud", "side", "reading_ohm", "reading_bound", "indication",
    "a_on_volt", "a_off_volt", "b_on_volt", "b_off_volt", "test_current_ampere",
    "span_current_ampere", "geometry", "ac_a_volt", "ac_b_volt", "ac_between_volt",
    "hangs_free", "interrupted_side", "sources_cycling", "sources_steady", "cycles",
    "cycle_spread_volt", "instrument_id", "test_point_id", "electrode", "source_id",
    "tested_at", "person_id",
]  # fmt: skip
# Columns of the readings that are fields of the record, as they are.
_AS_READ = [
    "scope", "joint_id", "path_id", "source_id", "tested_on", "method", "stage",
    "outcome", "side", "reading_ohm", "indication", "a_on_volt", "a_off_volt",
    "b_on_volt", "b_off_volt", "test_current_ampere", "span_current_ampere", "geometry",
    "hangs_free", "interrupted_side", "cycles", "cycle_spread_volt",
]  # fmt: skip


def judged_tests(state: Snapshot, ground: Ground) -> tuple[TestColumns, Judgements]:
    """Return every test made up to the day of ``ground``, by id, and its judgement.

    Read and judged in parts: what a verdict hangs on is wide, and kept of no part.
    """
    papers, fitted = papers_of_tests(state), devices_by_joint(ground.devices)
    leads, sources = read_leads(state), read_sources(state, ground)
    lists = {"method": METHOD_CODES, "geometry": GEOMETRIES, "electrode": [""]}
    most = state.last_id(IsolationTest)
    tests, said = Joined(most), Joined(most)
    for part in read_parts(state.stored, IsolationTest, _FIELDS, lists):
        upto = part["tested_on"] <= ground.on
        found = {name: values[upto] for name, values in part.items()}
        readings = _readings(ground, found, papers, fitted, leads, sources)
        tests.add(_own_columns(TestColumns, readings))
        said.add(_own_columns(Judgements, judge(readings, ground.limits)))
    return TestColumns(**tests.whole()), Judgements(**said.whole())


def _own_columns(kind: type[Table], table: Table) -> dict[str, Array]:
    names = [f.name for f in fields(kind)]  # type: ignore[arg-type]
    return {n: narrow(getattr(table, n)) for n in names}


def _readings(
    ground: Ground,
    found: dict[str, Array],
    papers: PapersOfTests,
    fitted: Fitted,
    leads: Leads,
    sources: Sources,
) -> ReadingColumns:
    joint = row_of(ground.joints.joint_id, found["joint_id"])
    boundary_id = _boundary_ids(found, ground, joint)
    as_found = found["stage"] == _AS_FOUND
    device = fitted.tested(found["joint_id"], found["tested_on"], as_found)
    current = _currents(ground, boundary_id)
    switched = sources.interrupted(ground, found, boundary_id)
    boundary = row_of(ground.boundaries.boundary_id, boundary_id)
    asked = Asked(
        found["person_id"], found["instrument_id"], found["method"], found["tested_on"]
    )
    alternating = np.fmax(found["ac_a_volt"], found["ac_b_volt"])
    return ReadingColumns(
        test_id=found["id"],
        boundary_id=boundary_id,
        device_id=pick(ground.devices.id, device, 0),
        stud=in_codes(found["stud"]),
        reading_bound=in_codes(found["reading_bound"]),
        ac_volt=np.fmax(alternating, found["ac_between_volt"]),
        sources_named=switched.sources_named,
        far_side_cycles=switched.far_side_cycles,
        near_side_steady=switched.near_side_steady,
        a_has_current=current[0],
        b_has_current=current[1],
        purpose=ground.past.at(
            Boundary,
            "purpose",
            boundary_id,
            found["tested_on"],
            pick(ground.boundaries.purpose, boundary, -1),
        ),
        layout=pick(ground.devices.layout, device, -1),
        is_buried=_of_joint(ground, found, joint, "is_buried", False),
        person_paper=papers.persons(asked),
        instrument_paper=papers.instruments(asked),
        minute=_minutes(found["tested_on"], found["tested_at"]),
        leads_proven=leads.proven(found["test_point_id"], found["tested_on"]),
        electrode_known=found["electrode"] != 0,
        tie_in_over=is_tie_in_over(
            found["stage"],
            found["tested_on"],
            _of_joint(ground, found, joint, "state", -1),
            pick(ground.joints.in_duty_on, joint, NO_DAY),
            pick(ground.devices.fitted_on, device, NO_DAY),
        ),
        **{name: found[name] for name in _AS_READ},
    )


def _minutes(on: Days, at: Array) -> Codes:
    """Return the minute of each instant from the day before its day; -1 for none."""
    minutes = np.full(len(on), -1, np.int16)
    told = np.flatnonzero(at.astype(bool))
    instants = np.array([str(x)[:16] for x in at[told]], "datetime64[m]")
    since = instants - on[told].astype("datetime64[m]")
    minutes[told] = since.astype(np.int64) + _MINUTES_A_DAY
    return minutes


def _of_joint(
    ground: Ground, found: dict[str, Array], joint: Array, name: str, missing: object
) -> Array:
    """Return a fact of the joint of each test as it was on the day of the test."""
    now = pick(getattr(ground.joint_facts, name), joint, missing)
    then: Array = ground.past.at(
        Joint, name, found["joint_id"], found["tested_on"], now
    )
    return then


def _boundary_ids(found: dict[str, Array], ground: Ground, joint: Array) -> Array:
    of_joint = _of_joint(ground, found, joint, "boundary_id", 0)
    path = row_of(ground.paths.path_id, found["path_id"])
    of_path = pick(ground.paths.boundary_id, path, 0)
    own = found["boundary_id"]
    return np.where(own > 0, own, np.where(of_joint > 0, of_joint, of_path))


def _currents(ground: Ground, boundary_id: Array) -> list[Array]:
    """Return for sides A and B whether that structure is under current."""
    rows = row_of(ground.boundaries.boundary_id, boundary_id)
    structures = ground.structures
    sides = (ground.boundaries.structure_a_id, ground.boundaries.structure_b_id)
    return [
        pick(
            structures.is_protected,
            row_of(structures.id, pick(side, rows, 0)),
            False,
        )
        for side in sides
    ]
