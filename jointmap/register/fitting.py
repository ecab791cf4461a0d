"""Records of what is fitted, how it was fitted, and other metal across a boundary."""

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import ClassVar

from jointmap.errors import Problem
from jointmap.register.codes import (
    DeviceKind,
    Layout,
    OccurrenceKind,
    PathKind,
    PathState,
)
from jointmap.register.fields import Record, refers


@dataclass(frozen=True, slots=True, kw_only=True)
class Device(Record):
    """What is fitted at a joint; replacing it starts a new device."""

    KIND: ClassVar[str] = "device"
    KEY: ClassVar[tuple[str, ...]] = ("joint_id", "fitted_on")
    joint_id: int = refers("joint")
    fitted_on: dt.date
    removed_on: dt.date | None = None
    serial: str = ""
    kind: DeviceKind
    layout: Layout = Layout.UNKNOWN
    nominal_size: str = ""
    pressure_class: int | None = None
    facing: str = ""
    gasket_material: str = ""
    gasket_thickness_metre: float | None = None
    gasket_core: str = ""
    gasket_outside_metre: float | None = None
    gasket_inside_metre: float | None = None
    gasket_limit_pascal: float | None = None
    sleeve_material: str = ""
    sleeve_thickness_metre: float | None = None
    washer_material: str = ""
    washer_thickness_metre: float | None = None
    steel_washer_thickness_metre: float | None = None
    stud_size: str = ""
    stud_count: int | None = None
    stud_grade: str = ""
    lining_a_metre: float | None = None
    lining_b_metre: float | None = None
    rated_pressure_pascal: float | None = None
    rated_temperature_degc: float | None = None
    lubricant_allowed: str = ""
    nut_factor: float | None = None
    torque_target_newton_metre: float | None = None
    batch: str = ""
    remark: str = ""

    def faults(self) -> Iterator[Problem]:
        """Refuse a device removed before it was fitted, or with no stud."""
        if self.removed_on is not None and self.removed_on < self.fitted_on:
            facts = {"on": self.removed_on}
            yield Problem("device.removed_before_fitted", facts, column="removed_on")
        if self.stud_count is not None and self.stud_count < 1:
            counted = {"count": self.stud_count}
            yield Problem("device.stud_count", counted, column="stud_count")
        outside, inside = self.gasket_outside_metre, self.gasket_inside_metre
        if outside is not None and inside is not None and inside >= outside:
            ring = {"outside": outside, "inside": inside}
            yield Problem("device.gasket_ring", ring, column="gasket_inside")
        yield from _of_nut_factor(self.nut_factor)


def gone_by(devices: Iterable[Device], on: dt.date) -> bool:
    """Whether each of some devices had been removed before a day."""
    return all(d.removed_on is not None and d.removed_on < on for d in devices)


@dataclass(frozen=True, slots=True, kw_only=True)
class Installation(Record):
    """How a device was fitted, as the fitter recorded it."""

    KIND: ClassVar[str] = "installation"
    KEY: ClassVar[tuple[str, ...]] = ("device_id",)
    device_id: int = refers("device")
    installed_on: dt.date
    contractor: str = ""
    fitter_id: int | None = refers("person", optional=True)
    witness_id: int | None = refers("person", optional=True)
    face_a: str = ""
    face_b: str = ""
    face_flatness_metre: float | None = None
    face_defect_depth_metre: float | None = None
    face_defect_length_metre: float | None = None
    centreline_offset_metre: float | None = None
    parallelism_metre: float | None = None
    gap_at_rest_metre: float | None = None
    draw_up_newton_metre: float | None = None
    hole_offset_metre: float | None = None
    hole_diameter_metre: float | None = None
    flange_thickness_a_metre: float | None = None
    flange_thickness_b_metre: float | None = None
    steel_washer_thickness_metre: float | None = None
    stud_length_metre: float | None = None
    threads_past_nut: float | None = None
    sleeve_length_metre: float | None = None
    sleeve_projection_metre: float | None = None
    washer_order: str = ""
    lubricant: str = ""
    nut_factor: float | None = None
    torque_tool_id: int | None = refers("instrument", optional=True)
    tightening_scheme: str = ""
    torque_target_newton_metre: float | None = None
    pass_1_newton_metre: float | None = None
    pass_2_newton_metre: float | None = None
    pass_3_newton_metre: float | None = None
    pass_4_newton_metre: float | None = None
    dwell_second: float | None = None
    tests_before: str = ""
    tests_after: str = ""
    photos: int | None = None
    remark: str = ""

    def faults(self) -> Iterator[Problem]:
        """Refuse a nut factor that no lubricant has."""
        yield from _of_nut_factor(self.nut_factor)


def _of_nut_factor(factor: float | None) -> Iterator[Problem]:
    if factor is not None and not 0.0 < factor < 1.0:
        yield Problem("device.nut_factor", {"factor": factor}, column="nut_factor")


@dataclass(frozen=True, slots=True, kw_only=True)
class ParallelPath(Record):
    """Other metal across a boundary: bond, surge device, support, tube, conduit."""

    KIND: ClassVar[str] = "path"
    KEY: ClassVar[tuple[str, ...]] = ("name",)
    name: str
    boundary_id: int = refers("boundary")
    joint_id: int | None = refers("joint", optional=True)
    kind: PathKind
    state: PathState
    fitted_on: dt.date | None = None
    removed_on: dt.date | None = None
    checked_on: dt.date | None = None
    is_critical: bool = False
    owner: str = ""
    blocking_volt: float | None = None
    fault_current_ampere: float | None = None
    area_marking: str = ""
    lead_length_metre: float | None = None
    has_test_link: bool | None = None
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Occurrence(Record):
    """Something that happened and may have changed a joint."""

    KIND: ClassVar[str] = "occurrence"
    KEY: ClassVar[tuple[str, ...]] = ("happened_on", "kind", "place")
    happened_on: dt.date
    kind: OccurrenceKind
    place: str
    area: str = ""
    joint_id: int | None = refers("joint", optional=True)
    boundary_id: int | None = refers("boundary", optional=True)
    source_id: int | None = refers("source", optional=True)
    remark: str = ""
