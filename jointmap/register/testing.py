"""Records of tests, instruments and people."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from jointmap.errors import Problem
from jointmap.register.codes import Indication, Outcome, Scope, Side, Stage
from jointmap.register.fields import Record, off_the_globe, refers, withheld

PLACE_OF_SCOPE = {
    Scope.JOINT: "joint_id",
    Scope.STUD: "joint_id",
    Scope.GASKET_CORE: "joint_id",
    Scope.BOUNDARY: "boundary_id",
    Scope.PATH: "path_id",
    Scope.SOURCE: "source_id",
}


_OF_A_DEVICE = (Scope.JOINT, Scope.STUD, Scope.GASKET_CORE)


@dataclass(frozen=True, slots=True, kw_only=True)
class IsolationTest(Record):
    """One reading, or one visit that gave none."""

    __test__: ClassVar[bool] = False
    KIND: ClassVar[str] = "test"
    KEY: ClassVar[tuple[str, ...]] = (
        "scope",
        "joint_id",
        "boundary_id",
        "path_id",
        "source_id",
        "tested_on",
        "method",
        "stage",
        "stud",
        "side",
        "instrument_id",
        "person_id",
        "line_id",
    )
    scope: Scope
    joint_id: int | None = refers("joint", optional=True)
    boundary_id: int | None = refers("boundary", optional=True)
    path_id: int | None = refers("path", optional=True)
    source_id: int | None = refers("source", optional=True)
    stud: int | None = None
    side: Side | None = None
    tested_on: dt.date
    tested_at: dt.datetime | None = None
    method: str
    stage: Stage
    outcome: Outcome
    reading_ohm: float | None = None
    reading_bound: int = 0
    indication: Indication | None = None
    a_on_volt: float | None = None
    a_off_volt: float | None = None
    b_on_volt: float | None = None
    b_off_volt: float | None = None
    electrode: str = ""
    test_current_ampere: float | None = None
    span_current_ampere: float | None = None
    geometry: str = ""
    ac_a_volt: float | None = None
    ac_b_volt: float | None = None
    ac_between_volt: float | None = None
    hangs_free: bool = False
    interrupted_side: Side | None = None
    sources_cycling: str = ""
    sources_steady: str = ""
    cycles: int | None = None
    cycle_spread_volt: float | None = None
    ground: str = ""
    weather: str = ""
    test_point_id: int | None = refers("test_point", optional=True)
    instrument_id: int | None = refers("instrument", optional=True)
    person_id: int | None = refers("person", optional=True)
    witness_id: int | None = refers("person", optional=True)
    line_id: str = ""
    remark: str = ""

    @property
    def is_of_a_device(self) -> bool:
        """Whether what is fitted at a joint was tested, whole or in part."""
        return self.scope in _OF_A_DEVICE and self.joint_id is not None

    @property
    def ac_volt(self) -> float | None:
        """Return the largest AC reading of the visit, in volt; None for none."""
        read = (self.ac_a_volt, self.ac_b_volt, self.ac_between_volt)
        return max((v for v in read if v is not None), default=None)

    @property
    def needs_device(self) -> bool:
        """Whether there must have been a device at the joint on that day."""
        return self.is_of_a_device and self.stage is not Stage.BENCH

    def faults(self) -> Iterator[Problem]:
        """Refuse a test of nothing, an impossible resistance, a half stud."""
        place = PLACE_OF_SCOPE[self.scope]
        if getattr(self, place) is None:
            label = place.removesuffix("_id")
            facts = {"scope": self.scope, "field": label}
            yield Problem("test.no_place", facts, column=label)
        if self.scope is Scope.STUD and (self.stud is None or self.stud < 1):
            yield Problem("test.no_stud", {"value": self.stud}, column="stud")
        if self.reading_ohm is not None and self.reading_ohm <= 0:
            value = str(self.reading_ohm)
            fault = "test.negative" if self.reading_ohm < 0 else "test.zero"
            yield Problem(fault, {"value": value}, column="reading", value=value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument(Record):
    """A meter, a torque wrench, an electrode."""

    KIND: ClassVar[str] = "instrument"
    KEY: ClassVar[tuple[str, ...]] = ("name",)
    name: str
    kind: str
    area_rating: str = ""
    test_voltage_volt: float | None = None
    range_ohm: float | None = None
    needs_certificate: bool = True
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate(Record):
    """Proof that an instrument read right, and from when to when."""

    KIND: ClassVar[str] = "certificate"
    KEY: ClassVar[tuple[str, ...]] = ("instrument_id", "number")
    instrument_id: int = refers("instrument")
    number: str
    valid_from_on: dt.date
    valid_until_on: dt.date
    as_found: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Person(Record):
    """A person, by a short code; name and contact may be left out of a pack."""

    KIND: ClassVar[str] = "person"
    KEY: ClassVar[tuple[str, ...]] = ("code",)
    code: str
    role: str
    organisation: str = ""
    full_name: str | None = withheld()
    contact: str | None = withheld()


@dataclass(frozen=True, slots=True, kw_only=True)
class Qualification(Record):
    """What a person may do, and from when to when."""

    KIND: ClassVar[str] = "qualification"
    KEY: ClassVar[tuple[str, ...]] = ("person_id", "task", "valid_from_on")
    person_id: int = refers("person")
    task: str
    valid_from_on: dt.date
    valid_until_on: dt.date
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment(Record):
    """A file kept beside the register, known by its SHA-256."""

    KIND: ClassVar[str] = "attachment"
    KEY: ClassVar[tuple[str, ...]] = ("sha256", "subject", "subject_key")
    sha256: str
    media_type: str
    size_bytes: int
    subject: str
    subject_key: str
    view: str = ""
    original_name: str | None = withheld()


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoPlace(Record):
    """Where an attached picture says it was taken: a camera's word, kept apart.

    ``taken_on`` is the day of the camera's own clock, ``taken_at`` the instant of its
    satellite receiver. Nothing takes these for a joint's position.
    """

    KIND: ClassVar[str] = "photo_place"
    KEY: ClassVar[tuple[str, ...]] = ("sha256",)
    sha256: str
    latitude_deg: float | None = withheld()
    longitude_deg: float | None = withheld()
    taken_on: dt.date | None = None
    taken_at: dt.datetime | None = None

    def faults(self) -> Iterator[Problem]:
        """Refuse coordinates that are on no globe."""
        yield from off_the_globe(self)
