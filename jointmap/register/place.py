"""Records of where things are and how the metal hangs together."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from jointmap.errors import Problem
from jointmap.register.codes import (
    Consequence,
    JointState,
    LeadState,
    Purpose,
    Severity,
    Side,
    StructureKind,
    Subject,
    WaterContent,
)
from jointmap.register.fields import Record, off_the_globe, refers, withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class Site(Record):
    """The site: its clock, its one working reference system, its reach."""

    KIND: ClassVar[str] = "site"
    KEY: ClassVar[tuple[str, ...]] = ("code",)
    code: str
    name: str
    time_zone: str
    working_crs: str
    reach_metre: float = 50.0
    ac_limit_volt: float = 15.0
    margin_days: int = 30
    near_limit_days: int = 10
    min_latitude_deg: float | None = None
    max_latitude_deg: float | None = None
    min_longitude_deg: float | None = None
    max_longitude_deg: float | None = None
    road_factor_ratio: float = 1.4
    speed_metre_per_second: float = 12.5
    walk_second: float = 60.0
    setup_second: float = 900.0
    per_stud_second: float = 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Line(Record):
    """A pipeline's centreline; coordinates are a JSON list of [lon, lat]."""

    KIND: ClassVar[str] = "line"
    KEY: ClassVar[tuple[str, ...]] = ("name",)
    name: str
    coordinates: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chainage(Record):
    """One measuring of a line; tie points are a JSON list of [km, lon, lat]."""

    KIND: ClassVar[str] = "chainage"
    KEY: ClassVar[tuple[str, ...]] = ("line_id", "measuring")
    line_id: int = refers("line")
    measuring: str
    measured_on: dt.date
    tie_points: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Structure(Record):
    """One continuous body of metal."""

    KIND: ClassVar[str] = "structure"
    KEY: ClassVar[tuple[str, ...]] = ("name",)
    name: str
    kind: StructureKind
    is_protected: bool
    owner: str = ""
    is_separate: bool = False
    length_metre: float | None = None
    area_square_metre: float | None = None
    design_current_ampere: float | None = None
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentSource(Record):
    """A rectifier or anode bed; ``also_feeds`` names further structures, by ``;``."""

    KIND: ClassVar[str] = "source"
    KEY: ClassVar[tuple[str, ...]] = ("name",)
    name: str
    structure_id: int = refers("structure")
    kind: str
    can_be_interrupted: bool
    usual_current_ampere: float | None = None
    also_feeds: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Boundary(Record):
    """Two structures to be kept apart, and why."""

    KIND: ClassVar[str] = "boundary"
    KEY: ClassVar[tuple[str, ...]] = ("name",)
    name: str
    structure_a_id: int = refers("structure")
    structure_b_id: int = refers("structure")
    purpose: Purpose
    joined_by: str = ""
    joined_from_on: dt.date | None = None
    joined_until_on: dt.date | None = None
    remark: str = ""

    def faults(self) -> Iterator[Problem]:
        """Refuse a boundary between a structure and itself."""
        if self.structure_a_id == self.structure_b_id:
            facts = {"boundary": self.name}
            yield Problem("boundary.same_structure", facts, column="structure_b")


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint(Record):
    """A place on a boundary; the tag stays with the place."""

    KIND: ClassVar[str] = "joint"
    KEY: ClassVar[tuple[str, ...]] = ("tag",)
    tag: str
    boundary_id: int = refers("boundary")
    area: str
    state: JointState
    in_duty_on: dt.date | None = None
    out_of_duty_on: dt.date | None = None
    line_id: int | None = refers("line", optional=True)
    post_kilometre: float | None = None
    post_measuring: str = ""
    which_one: str = ""
    electrode_place: str = ""
    severity: Severity | None = None
    consequence: Consequence | None = None
    fluid: str = ""
    water_content: WaterContent = WaterContent.NOT_KNOWN
    conductivity_siemens_per_metre: float | None = None
    temperature_degc: float | None = None
    pressure_pascal: float | None = None
    hazardous_area: str = ""
    arc_prevention: str = ""
    near_power_line: bool = False
    two_persons: bool = False
    permit_from: str = ""
    permit_until: str = ""
    season_from: str = ""
    season_until: str = ""
    is_buried: bool = False
    in_vault: bool = False
    near_traffic: bool = False
    over_water: bool = False
    access_note: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alias(Record):
    """An older or other name of a joint, and when it was used."""

    KIND: ClassVar[str] = "alias"
    KEY: ClassVar[tuple[str, ...]] = ("joint_id", "name")
    joint_id: int = refers("joint")
    name: str
    from_on: dt.date | None = None
    until_on: dt.date | None = None
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Position(Record):
    """Working coordinates, and the captured numbers kept for ever beside them."""

    KIND: ClassVar[str] = "position"
    KEY: ClassVar[tuple[str, ...]] = ("subject", "subject_id")
    subject: Subject
    subject_id: int
    latitude_deg: float | None = withheld()
    longitude_deg: float | None = withheld()
    captured_x: str | None = withheld()
    captured_y: str | None = withheld()
    captured_crs: str
    method: str = ""
    accuracy_metre: float | None = None
    captured_on: dt.date | None = None

    def faults(self) -> Iterator[Problem]:
        """Refuse coordinates that are on no globe."""
        yield from off_the_globe(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class TestPoint(Record):
    """A wired place to measure."""

    __test__: ClassVar[bool] = False
    KIND: ClassVar[str] = "test_point"
    KEY: ClassVar[tuple[str, ...]] = ("name",)
    name: str
    joint_id: int | None = refers("joint", optional=True)
    place: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead(Record):
    """One wire of a test point and the last proof of where it goes."""

    KIND: ClassVar[str] = "lead"
    KEY: ClassVar[tuple[str, ...]] = ("test_point_id", "colour")
    test_point_id: int = refers("test_point")
    colour: str
    side: Side
    structure_id: int | None = refers("structure", optional=True)
    state: LeadState
    proved_on: dt.date | None = None
    size: str = ""
