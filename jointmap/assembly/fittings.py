"""Fitting records as columns: what is fitted, how, and what tables say of it.

The same code serves one record and a million: what a text means is looked up once for
each distinct text and spread over the rows.
"""

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NamedTuple, TypeAlias

import numpy as np

from jointmap.assembly.coded import Coded, together
from jointmap.assembly.fitting_columns import FittingColumns, Texts
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
from jointmap.register.codes import Layout
from jointmap.register.columns import Codes, Floats, Ids
from jointmap.tables.studs import grade_for
from jointmap.units.inches import INCH_METRE, KSI_PASCAL

# Field -> its values: numbers (NaN: none), texts as ``Coded``, words as their code.
Columns: TypeAlias = Mapping[str, Any]
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
    "kind": "kind",
    "lubricant_allowed": "lubricant_allowed",
    "gasket_words": "gasket_material",
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
    "lubricant": "lubricant",
    "washer_order": "washer_order",
    "face_a": "face_a",
    "face_b": "face_b",
    "tests_after": "tests_after",
    "scheme_name": "tightening_scheme",
}
# In both: what the fitter found comes before what the kit's sheet says.
IN_BOTH = {
    "steel_metre": "steel_washer_thickness_metre",
    "nut_factor": "nut_factor",
}
# What the columns of devices and of records must hold.
DEVICE_FIELDS = (
    *OF_DEVICE.values(), *IN_BOTH.values(), "layout", "nominal_size", "pressure_class",
    "facing", "sleeve_material", "washer_material", "stud_size", "stud_grade",
)  # fmt: skip
RECORD_FIELDS = (
    *OF_RECORD.values(), *IN_BOTH.values(), "fitter_id", "witness_id", "tests_before",
    *(f"pass_{number}_newton_metre" for number in PASSES),
)  # fmt: skip
# By the place of the layout's word; -1, no word, is the last.
_SIDES = np.array([*(SIDES.get(word, np.nan) for word in Layout), np.nan])


def fittings_of(
    devices: Columns, records: Columns, service_degc: Floats, tool: Codes
) -> FittingColumns:
    """Return what the checks read, from equal-length columns of devices and records.

    ``tool`` tells of the torque tool as ``FittingColumns.tool`` does.
    """
    return FittingColumns(
        **_of_devices(devices),
        **_of_records(records),
        **_of_both(devices, records),
        service_degc=service_degc,
        tool=tool,
    )


def _of_devices(devices: Columns) -> dict[str, Any]:
    studs: Texts = devices["stud_size"]
    materials: dict[str, Texts] = {p: devices[f"{p}_material"] for p in PARTS}
    return {
        **{name: devices[field] for name, field in OF_DEVICE.items()},
        **{
            f"{part}_material": texts.told(material_place, np.int64)
            for part, texts in materials.items()
        },
        "sides": _SIDES[devices["layout"]],
        "flange": _flange(devices),
        "thread": studs.told(thread_place, np.int64),
        "stud_metre": studs.told(lambda text: stud_of(text)[0], np.float64),
        "pitch_metre": studs.told(lambda text: stud_of(text)[1], np.float64),
        "yield_pascal": together([devices["stud_grade"], studs]).told(
            _yield, np.float64
        ),
    }


def _of_records(records: Columns) -> dict[str, Any]:
    passes = [records[f"pass_{number}_newton_metre"] for number in PASSES]
    is_blank = np.isnan(records["fitter_id"]) | np.isnan(records["witness_id"])
    return {
        **{name: records[field] for name, field in OF_RECORD.items()},
        **_of_schemes(records["tightening_scheme"]),
        "pass_newton_metre": np.stack(passes, axis=1),
        "has_people": ~is_blank,
        "has_before": records["tests_before"].flags(bool),
        "has_after": records["tests_after"].flags(bool),
    }


def _of_both(devices: Columns, records: Columns) -> dict[str, Any]:
    return {
        column: _first(records[field], devices[field])
        for column, field in IN_BOTH.items()
    }


def _first(measured: Floats, planned: Floats) -> Floats:
    return np.where(np.isnan(measured), planned, measured)


def _flange(devices: Columns) -> Ids:
    numbers, place = np.unique(devices["pressure_class"], return_inverse=True)
    classes = tuple(None if math.isnan(n) else int(n) for n in numbers.tolist())
    named = [devices["nominal_size"], Coded(classes, place), devices["facing"]]
    return together(named).told(lambda facts: flange_place(*facts), np.int64)


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


def _of_schemes(names: Texts) -> dict[str, Any]:
    found = Coded(tuple(map(_scheme, names.words)), names.place)
    return {
        "scheme": found.told(lambda scheme: scheme.place, np.int64),
        "low_share": _shares([scheme.low for scheme in found.words])[found.place],
        "high_share": _shares([scheme.high for scheme in found.words])[found.place],
        "wait_second": found.told(lambda scheme: scheme.wait_second, np.float64),
        "scheme_source": found.told(lambda scheme: scheme.source, np.object_),
    }


def _shares(values: list[tuple[float, ...]]) -> Floats:
    return np.array(values, dtype=np.float64).reshape(-1, len(PASSES))


def _yield(facts: tuple[str, str]) -> float:
    grade, size = facts
    diameter, _ = stud_of(size)
    found = grade_for(grade_name(grade), diameter / INCH_METRE)
    return found.yield_ksi * KSI_PASCAL if found else math.nan
