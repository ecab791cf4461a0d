"""The tests of a state of the register as columns, with the facts they hang on."""

from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.register import Certificate, Instrument, IsolationTest
from jointmap.register.columns import TestColumns
from jointmap.register.joining import row_of
from jointmap.storage import Reading
from jointmap.storage.arrays import read_arrays
from jointmap.workflows.columns import METHOD_CODES, Ground
from jointmap.workflows.gather import latest_at, pick
from jointmap.workflows.interrupted import interrupted
from jointmap.workflows.leads import leads_proven

Array = npt.NDArray[Any]
GEOMETRIES = ["between", "beyond"]
_FIELDS = [
    "scope", "joint_id", "boundary_id", "path_id", "tested_on", "method", "stage",
    "outcome", "stud", "side", "reading_ohm", "reading_bound", "indication",
    "a_on_volt", "a_off_volt", "b_on_volt", "b_off_volt", "test_current_ampere",
    "span_current_ampere", "geometry", "ac_a_volt", "ac_b_volt", "ac_between_volt",
    "hangs_free", "interrupted_side", "sources_cycling", "sources_steady", "cycles",
    "cycle_spread_volt", "instrument_id", "test_point_id", "electrode", "source_id",
]  # fmt: skip


def read_tests(state: Reading, ground: Ground) -> TestColumns:
    """Return every test made up to the day of ``ground``, by id."""
    found = read_arrays(
        state, IsolationTest, _FIELDS, {"method": METHOD_CODES, "geometry": GEOMETRIES}
    )
    upto = found["tested_on"] <= ground.on
    found = {name: values[upto] for name, values in found.items()}
    joint = row_of(ground.joints.joint_id, found["joint_id"])
    boundary_id = _boundary_ids(found, ground, joint)
    device = _device_rows(found, ground)
    current = _currents(ground, boundary_id)
    switched = interrupted(state, ground, found, boundary_id)
    boundary = row_of(ground.boundaries.boundary_id, boundary_id)
    alternating = np.vstack(
        [found[n] for n in ("ac_a_volt", "ac_b_volt", "ac_between_volt")]
    )
    return TestColumns(
        test_id=found["id"],
        scope=found["scope"],
        joint_id=found["joint_id"],
        boundary_id=boundary_id,
        path_id=found["path_id"],
        device_id=pick(ground.devices["id"], device, 0),
        tested_on=found["tested_on"],
        method=found["method"],
        stage=found["stage"],
        outcome=found["outcome"],
        stud=found["stud"],
        side=found["side"],
        reading_ohm=found["reading_ohm"],
        reading_bound=found["reading_bound"].astype(np.int16),
        indication=found["indication"],
        a_on_volt=found["a_on_volt"],
        a_off_volt=found["a_off_volt"],
        b_on_volt=found["b_on_volt"],
        b_off_volt=found["b_off_volt"],
        test_current_ampere=found["test_current_ampere"],
        span_current_ampere=found["span_current_ampere"],
        geometry=found["geometry"],
        ac_volt=np.fmax.reduce(alternating),
        hangs_free=found["hangs_free"],
        interrupted_side=found["interrupted_side"],
        sources_named=switched.sources_named,
        cycles=found["cycles"],
        cycle_spread_volt=found["cycle_spread_volt"],
        far_side_cycles=switched.far_side_cycles,
        a_has_current=current[0],
        b_has_current=current[1],
        purpose=pick(ground.boundaries.purpose, boundary, -1),
        layout=pick(ground.devices["layout"], device, -1),
        is_buried=pick(ground.joint_facts["is_buried"], joint, False),
        instrument_valid=_instrument_valid(state, found),
        leads_proven=leads_proven(state, found["test_point_id"], found["tested_on"]),
        electrode_known=found["electrode"] != "",
    )


def _boundary_ids(found: dict[str, Array], ground: Ground, joint: Array) -> Array:
    of_joint = pick(ground.joints.boundary_id, joint, 0)
    path = row_of(ground.paths.path_id, found["path_id"])
    of_path = pick(ground.paths.boundary_id, path, 0)
    own = found["boundary_id"]
    return np.where(own > 0, own, np.where(of_joint > 0, of_joint, of_path))


def _device_rows(found: dict[str, Array], ground: Ground) -> Array:
    devices = ground.devices
    return latest_at(
        devices["joint_id"], devices["fitted_on"], found["joint_id"], found["tested_on"]
    )


def _currents(ground: Ground, boundary_id: Array) -> list[Array]:
    """Return for sides A and B whether that structure is under current."""
    rows = row_of(ground.boundaries.boundary_id, boundary_id)
    structures = ground.structures
    sides = (ground.boundaries.structure_a_id, ground.boundaries.structure_b_id)
    return [
        pick(
            structures["is_protected"],
            row_of(structures["id"], pick(side, rows, 0)),
            False,
        )
        for side in sides
    ]


def _instrument_valid(state: Reading, found: dict[str, Array]) -> Array:
    papers = read_arrays(
        state, Certificate, ["instrument_id", "valid_from_on", "valid_until_on"]
    )
    needs = read_arrays(state, Instrument, ["needs_certificate"])
    asked = found["instrument_id"]
    paper = latest_at(
        papers["instrument_id"], papers["valid_from_on"], asked, found["tested_on"]
    )
    until = pick(papers["valid_until_on"], paper, np.datetime64("NaT"))
    has_any = np.isin(asked, papers["instrument_id"])
    needed = pick(needs["needs_certificate"], row_of(needs["id"], asked), True)
    valid = np.where(until >= found["tested_on"], 1, 0)
    valid = np.where(has_any, valid, -1)
    return np.where(needed | (asked == 0), valid, 1).astype(np.int16)
