"""Fitting records as columns: what is fitted, how, and what tables say of it.

Numbers a record does not hold are NaN; a place in a table is -1 where the thing is not
in our tables and -2 where the record does not name it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.assembly import texts
from jointmap.register import Device, Installation
from jointmap.register.codes import Layout, code_of
from jointmap.register.columns import Codes, Flags, Floats, Ids, Table
from jointmap.tables.flanges import FLANGES
from jointmap.tables.studs import STUD_THREADS, WASHER_OF, grade_for
from jointmap.units.inches import INCH_METRE, KSI_PASCAL

Texts = npt.NDArray[np.object_]
SIDES = {Layout.TWO_SIDE: 2.0, Layout.ONE_SIDE_A: 1.0, Layout.ONE_SIDE_B: 1.0}
PASSES = (1, 2, 3, 4)


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
    scheme: Ids
    gasket_material: Ids
    sleeve_material: Ids
    washer_material: Ids
    stud_count: Floats
    yield_pascal: Floats
    gasket_metre: Floats
    sleeve_wall_metre: Floats
    washer_metre: Floats
    planned_newton_metre: Floats
    target_newton_metre: Floats
    pass_newton_metre: Floats  # (rows, 4)
    dwell_second: Floats
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
    washer_order: Texts
    face_a: Texts
    face_b: Texts
    tests_after: Texts
    contractor: Texts
    scheme_name: Texts


NOWHERE = Surroundings()


def fittings_of(
    devices: Sequence[Device],
    records: Sequence[Installation],
    around: Sequence[Surroundings] = (),
) -> FittingColumns:
    """Return the columns of fitting records and their devices, in the given order."""
    around = around or [NOWHERE] * len(records)
    device, record = _reader(devices), _reader(records)
    return FittingColumns(
        kind=np.array([code_of(d.kind) for d in devices], dtype=np.int16),
        sides=np.array([SIDES.get(d.layout, np.nan) for d in devices]),
        flange=_places(
            [
                texts.flange_place(d.nominal_size, d.pressure_class, d.facing)
                for d in devices
            ]
        ),
        thread=_places([texts.thread_place(d.stud_size) for d in devices]),
        scheme=_places([texts.scheme_place(r.tightening_scheme) for r in records]),
        gasket_material=_materials(devices, "gasket"),
        sleeve_material=_materials(devices, "sleeve"),
        washer_material=_materials(devices, "washer"),
        stud_count=device("stud_count"),
        yield_pascal=np.array([_yield(d.stud_grade, d.stud_size) for d in devices]),
        gasket_metre=device("gasket_thickness_metre"),
        sleeve_wall_metre=device("sleeve_thickness_metre"),
        washer_metre=device("washer_thickness_metre"),
        planned_newton_metre=device("torque_target_newton_metre"),
        target_newton_metre=record("torque_target_newton_metre"),
        pass_newton_metre=np.stack(
            [record(f"pass_{n}_newton_metre") for n in PASSES], axis=1
        ),
        dwell_second=record("dwell_second"),
        centreline_metre=record("centreline_offset_metre"),
        parallelism_metre=record("parallelism_metre"),
        hole_offset_metre=record("hole_offset_metre"),
        thickness_a_metre=record("flange_thickness_a_metre"),
        thickness_b_metre=record("flange_thickness_b_metre"),
        stud_length_metre=record("stud_length_metre"),
        threads=record("threads_past_nut"),
        sleeve_metre=record("sleeve_length_metre"),
        projection_metre=record("sleeve_projection_metre"),
        rated_degc=device("rated_temperature_degc"),
        service_degc=_reader(around)("service_temperature_degc"),
        photos=record("photos"),
        tool=np.array(
            [_tool(r, a) for r, a in zip(records, around, strict=True)], dtype=np.int16
        ),
        has_people=np.array(
            [r.fitter_id is not None and r.witness_id is not None for r in records],
            dtype=bool,
        ),
        has_before=np.array([bool(r.tests_before) for r in records], dtype=bool),
        has_after=np.array([bool(r.tests_after) for r in records], dtype=bool),
        lubricant=_texts(records, "lubricant"),
        lubricant_allowed=_texts(devices, "lubricant_allowed"),
        washer_order=_texts(records, "washer_order"),
        face_a=_texts(records, "face_a"),
        face_b=_texts(records, "face_b"),
        tests_after=_texts(records, "tests_after"),
        contractor=_texts(records, "contractor"),
        scheme_name=_texts(records, "tightening_scheme"),
    )


def _reader(rows: Sequence[Any]) -> Callable[[str], Floats]:
    def read(name: str) -> Floats:
        # None becomes NaN.
        return np.array([getattr(row, name) for row in rows], dtype=np.float64)

    return read


def _texts(rows: Sequence[Any], name: str) -> Texts:
    return np.array([getattr(row, name) for row in rows], dtype=object)


def _places(values: list[int]) -> Ids:
    return np.array(values, dtype=np.int64)


def _materials(devices: Sequence[Device], part: str) -> Ids:
    names = (getattr(d, f"{part}_material") for d in devices)
    return _places([texts.material_place(name) for name in names])


def _tool(record: Installation, around: Surroundings) -> int:
    if record.torque_tool_id is None:
        return -1
    return 2 if around.tool_in_date is None else int(around.tool_in_date)


def _yield(grade: str, size: str) -> float:
    place = texts.thread_place(size)
    if place < 0:
        return float("nan")
    found = grade_for(texts.grade_name(grade), STUD_THREADS[place].diameter_inch)
    return found.yield_ksi * KSI_PASCAL if found else float("nan")


def column(values: Sequence[float | None], times: float) -> Floats:
    """Return a table's column, and two NaN so that the places -1 and -2 read so."""
    return np.array([*values, None, None], dtype=np.float64) * times


def inches_of(size: str) -> float:
    """Return a nominal size, such as ``1-1/2``, as a number."""
    return float(sum(Fraction(part) for part in size.split("-")))


FLANGE_COUNT = column([f.stud_count for f in FLANGES], 1.0)
FLANGE_SIZE = column([inches_of(f.size) for f in FLANGES], 1.0)
FLANGE_STUD = column([f.stud_diameter_inch for f in FLANGES], INCH_METRE)
FLANGE_HOLE = column([f.hole_diameter_inch for f in FLANGES], INCH_METRE)
FLANGE_STUD_LENGTH = column([f.stud_length_inch for f in FLANGES], INCH_METRE)
FLANGE_THICKNESS = column(
    [f.thickness_inch + f.face_height_inch for f in FLANGES], INCH_METRE
)
STUD_DIAMETER = column([t.diameter_inch for t in STUD_THREADS], INCH_METRE)
STUD_PITCH = column([1.0 / t.threads_per_inch for t in STUD_THREADS], INCH_METRE)
NUT_HEIGHT = column([t.nut_height_inch for t in STUD_THREADS], INCH_METRE)
_WASHERS = [WASHER_OF.get(t.size) for t in STUD_THREADS]
WASHER_OUTSIDE = column(
    [w.outside_diameter_inch if w else None for w in _WASHERS], INCH_METRE
)
WASHER_INSIDE = column(
    [w.inside_diameter_inch if w else None for w in _WASHERS], INCH_METRE
)
