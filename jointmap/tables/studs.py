"""Studs, nuts, steel washers and what they are made of; numbers as published."""

from dataclasses import dataclass

from jointmap.tables.rows import Published, read_rows
from jointmap.tables.sources import packaged

THREADS_FILE = "stud_threads.csv"
GRADES_FILE = "stud_grades.csv"
WASHERS_FILE = "steel_washers.csv"
TORQUES_FILE = "reference_torques.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class StudThread(Published):
    """One stud size with its heavy hex nut."""

    size: str
    diameter_inch: float
    threads_per_inch: int
    series: str
    tensile_area_square_inch: float
    root_area_square_inch: float
    nut_height_inch: float
    nut_height_max_inch: float | None
    nut_height_min_inch: float | None
    nut_across_flats_inch: float
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StudGrade(Published):
    """Strength of a grade for studs over one diameter and up to another."""

    grade: str
    diameter_over_inch: float
    diameter_up_to_inch: float
    yield_ksi: float
    tensile_ksi: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SteelWasher(Published):
    """The hardened washer of a stud size."""

    size: str
    outside_diameter_inch: float
    inside_diameter_inch: float
    thickness_least_inch: float
    thickness_most_inch: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceTorque(Published):
    """Published torque of a stud size at 50 ksi on the root area."""

    size: str
    plain_foot_pound: float
    coated_foot_pound: float


STUD_THREADS = read_rows(THREADS_FILE, packaged(THREADS_FILE), StudThread)
STUD_GRADES = read_rows(GRADES_FILE, packaged(GRADES_FILE), StudGrade)
STEEL_WASHERS = read_rows(WASHERS_FILE, packaged(WASHERS_FILE), SteelWasher)
REFERENCE_TORQUES = read_rows(TORQUES_FILE, packaged(TORQUES_FILE), ReferenceTorque)

THREAD_PLACES: dict[str, int] = {row.size: n for n, row in enumerate(STUD_THREADS)}
WASHER_OF: dict[str, SteelWasher] = {row.size: row for row in STEEL_WASHERS}


def grade_for(grade: str, diameter_inch: float) -> StudGrade | None:
    """Return the strength of ``grade`` at a diameter; None where it is not here."""
    for row in STUD_GRADES:
        fits = row.diameter_over_inch < diameter_inch <= row.diameter_up_to_inch
        if row.grade == grade and fits:
            return row
    return None
