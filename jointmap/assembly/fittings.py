"""Fitting records as columns: what is fitted, how, and what tables say of it.

Numbers a record does not hold are NaN; a place in a table is -1 where the thing is not
in our tables and -2 where the record does not name it.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from jointmap.assembly.passes import allowed_shares, passes_of
from jointmap.assembly.texts import (
    NOT_LISTED,
    NOT_NAMED,
    flange_place,
    grade_name,
    material_place,
    stud_of,
    thread_place,
)
from jointmap.register import Device, Installation
from jointmap.register.codes import Layout, code_of
from jointmap.register.columns import Codes, Flags, Floats, Ids, Table
from jointmap.tables.studs import grade_for
from jointmap.units.inches import INCH_METRE, KSI_PASCAL

Texts = npt.NDArray[np.object_]
SIDES = {Layout.TWO_SIDE: 2.0, Layout.ONE_SIDE_A: 1.0, Layout.ONE_SIDE_B: 1.0}
PASSES = (1, 2, 3, 4)
PARTS = ("gasket", "sleeve", "washer")
# column -> field of the record it is read from
OF_DEVICE = {
    "stud_count": "stud_count",
    "gasket_metre": "gasket_thickness_metre",
    "gasket_outside_metre": "gasket_outside_metre",
    "gasket_inside_metre": "gasket_inside_metre",
    "gasket_limit_pascal": "gasket_limit_pascal",
    "sleeve_wall_metre": "sleeve_thickness_metre",
    "washer_metre": "washer_thickness_metre",
    "planned_newton_metre": "torque_target_newton_metre",
    "rated_degc": "rated_temperature_degc",
}
OF_RECORD = {
    "target_newton_metre": "torque_target_newton_metre",
    "dwell_second": "dwell_second",
    "flatness_metre": "face_flatness_metre",
    "defect_depth_metre": "face_defect_depth_metre",
    "defect_length_metre": "face_defect_length_metre",
    "gap_at_rest_metre": "gap_at_rest_metre",
    "draw_up_newton_metre": "draw_up_newton_metre",
    "hole_metre": "hole_diameter_metre",
    "centreline_metre": "centreline_offset_metre",
    "parallelism_metre": "parallelism_metre",
    "hole_offset_metre": "hole_offset_metre",
    "thickness_a_metre": "flange_thickness_a_metre",
    "thickness_b_metre": "flange_thickness_b_metre",
    "stud_length_metre": "stud_length_metre",
    "threads": "threads_past_nut",
    "sleeve_metre": "sleeve_length_metre",
    "projection_metre": "sleeve_projection_metre",
    "photos": "photos",
}
# In both: what the fitter found comes before what the kit's sheet says.
IN_BOTH = {
    "steel_metre": "steel_washer_thickness_metre",
    "nut_factor": "nut_factor",
}
RECORD_TEXTS = (
    "lubricant", "washer_order", "face_a", "face_b", "tests_after", "contractor",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What other records say of a fitting; None where they say nothing."""

    service_temperature_degc: float | None = None
    tool_in_date: bool | None = None


@dataclass(frozen=True, slots=True)
class FittingColumns(Table):
    """One row per fitting record, with its device."""

    kind: Codes
    sides: Floats  # isolated ends of a stud
    flange: Ids  # place in tables
    thread: Ids
    scheme: Ids  # 0 where its passes are known
    low_share: Floats  # (rows, 4), of the target
    high_share: Floats
    wait_second: Floats  # before the last round
    gasket_material: Ids
    sleeve_material: Ids
    washer_material: Ids
    stud_count: Floats
    stud_metre: Floats
    pitch_metre: Floats
    yield_pascal: Floats
    gasket_metre: Floats
    gasket_outside_metre: Floats
    gasket_inside_metre: Floats
    gasket_limit_pascal: Floats
    sleeve_wall_metre: Floats
    washer_metre: Floats
    steel_metre: Floats  # as measured, else as the kit's sheet has it
    nut_factor: Floats  # of the lubricant used, else of the one planned
    planned_newton_metre: Floats
    target_newton_metre: Floats
    pass_newton_metre: Floats  # (rows, 4)
    dwell_second: Floats
    flatness_metre: Floats
    defect_depth_metre: Floats
    defect_length_metre: Floats
    gap_at_rest_metre: Floats
    draw_up_newton_metre: Floats
    hole_metre: Floats
    centreline_metre: Floats
    parallelism_metre: Floats
    hole_offset_metre: Floats
    thickness_a_metre: Floats
    thickness_b_metre: Floats
    stud_length_metre: Floats
    threads: Floats
    sleeve_metre: Floats
    projection_metre: Floats
    rated_degc: Floats
    service_degc: Floats
    photos: Floats
    tool: Codes  # -1 not named, 0 out of date, 1 in date, 2 not known
    has_people: Flags
    has_before: Flags
    has_after: Flags
    lubricant: Texts
    lubricant_allowed: Texts
    gasket_words: Texts
    washer_order: Texts
    face_a: Texts
    face_b: Texts
    tests_after: Texts
    contractor: Texts
    scheme_name: Texts
    scheme_source: Texts


NOWHERE = Surroundings()


def fittings_of(
    devices: Sequence[Device],
    records: Sequence[Installation],
    around: Sequence[Surroundings] = (),
) -> FittingColumns:
    """Return the columns of fitting records and their devices, in the given order."""
    around = around or [NOWHERE] * len(records)
    return FittingColumns(
        **_of_devices(devices),
        **_of_records(records),
        **_of_both(devices, records),
        service_degc=_numbers(around, "service_temperature_degc"),
        tool=np.array(list(map(_tool, records, around)), dtype=np.int16),
    )


def _of_devices(devices: Sequence[Device]) -> dict[str, Any]:
    diameter, pitch = (
        np.array([stud_of(d.stud_size) for d in devices], dtype=np.float64)
        .reshape(-1, 2)
        .T
    )
    return {
        **{name: _numbers(devices, field) for name, field in OF_DEVICE.items()},
        **{f"{p}_material": _each(_material(p), devices) for p in PARTS},
        "kind": np.array([code_of(d.kind) for d in devices], dtype=np.int16),
        "sides": np.array([SIDES.get(d.layout, np.nan) for d in devices]),
        "flange": _each(_flange, devices),
        "thread": _each(_thread, devices),
        "stud_metre": diameter,
        "pitch_metre": pitch,
        "yield_pascal": np.array(list(map(_yield, devices)), dtype=np.float64),
        "lubricant_allowed": _texts(devices, "lubricant_allowed"),
        "gasket_words": _texts(devices, "gasket_material"),
    }


def _of_records(records: Sequence[Installation]) -> dict[str, Any]:
    passes = [_numbers(records, f"pass_{n}_newton_metre") for n in PASSES]
    return {
        **{name: _numbers(records, field) for name, field in OF_RECORD.items()},
        **{name: _texts(records, name) for name in RECORD_TEXTS},
        **_of_schemes([_scheme(r.tightening_scheme) for r in records]),
        "scheme_name": _texts(records, "tightening_scheme"),
        "pass_newton_metre": np.stack(passes, axis=1),
        "has_people": _flags(
            [r.fitter_id is not None and r.witness_id is not None for r in records]
        ),
        "has_before": _flags([bool(r.tests_before) for r in records]),
        "has_after": _flags([bool(r.tests_after) for r in records]),
    }


def _of_both(
    devices: Sequence[Device], records: Sequence[Installation]
) -> dict[str, Any]:
    return {
        column: _first(_numbers(records, field), _numbers(devices, field))
        for column, field in IN_BOTH.items()
    }


def _numbers(rows: Sequence[Any], name: str) -> Floats:
    # None becomes NaN.
    return np.array([getattr(row, name) for row in rows], dtype=np.float64)


def _first(measured: Floats, planned: Floats) -> Floats:
    return np.where(np.isnan(measured), planned, measured)


def _texts(rows: Sequence[Any], name: str) -> Texts:
    return np.array([getattr(row, name) for row in rows], dtype=object)


def _flags(values: list[bool]) -> Flags:
    return np.array(values, dtype=bool)


def _each(place: Callable[[Any], int], rows: Sequence[Any]) -> Ids:
    return np.array(list(map(place, rows)), dtype=np.int64)


def _flange(device: Device) -> int:
    size, rating = device.nominal_size, device.pressure_class
    return flange_place(size, rating, device.facing)


def _thread(device: Device) -> int:
    return thread_place(device.stud_size)


class _Scheme(NamedTuple):
    place: int
    low: tuple[float, ...]
    high: tuple[float, ...]
    wait_second: float
    source: str


@lru_cache(maxsize=4096)
def _scheme(text: str) -> _Scheme:
    passes = passes_of(text)
    nothing = (math.nan,) * len(PASSES)
    if not passes:
        place = NOT_LISTED if text.strip() else NOT_NAMED
        return _Scheme(place, nothing, nothing, 0.0, "")
    low, high = (
        (*shares.tolist(), *nothing)[: len(PASSES)] for shares in allowed_shares(passes)
    )
    wait = max(p.wait_hours for p in passes) * 3600.0
    return _Scheme(0, low, high, wait, passes[0].citation)


def _of_schemes(found: Sequence[_Scheme]) -> dict[str, Any]:
    shape = (-1, len(PASSES))
    return {
        "scheme": np.array([s.place for s in found], dtype=np.int64),
        "low_share": np.array([s.low for s in found]).reshape(shape),
        "high_share": np.array([s.high for s in found]).reshape(shape),
        "wait_second": np.array([s.wait_second for s in found], dtype=np.float64),
        "scheme_source": np.array([s.source for s in found], dtype=object),
    }


def _material(part: str) -> Callable[[Device], int]:
    def place(device: Device) -> int:
        return material_place(getattr(device, f"{part}_material"))

    return place


def _tool(record: Installation, around: Surroundings) -> int:
    if record.torque_tool_id is None:
        return -1
    return 2 if around.tool_in_date is None else int(around.tool_in_date)


def _yield(device: Device) -> float:
    diameter, _ = stud_of(device.stud_size)
    found = grade_for(grade_name(device.stud_grade), diameter / INCH_METRE)
    return found.yield_ksi * KSI_PASCAL if found else float("nan")
