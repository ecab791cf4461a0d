"""Isolating materials and lubricants: what they stand by chart, no design basis."""

from dataclasses import dataclass

from jointmap.tables.rows import Published, read_rows
from jointmap.tables.sources import packaged

MATERIALS_FILE = "isolating_materials.csv"
NUT_FACTORS_FILE = "nut_factors.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class IsolatingMaterial(Published):
    """One material; ``words`` are the names it goes by, between semicolons.

    Where charts differ, the lower compressive strength is the one to judge by.
    """

    name: str
    words: str
    compressive_low_ksi: float | None
    compressive_high_ksi: float | None
    dielectric_volt_per_mil: float | None
    temperature_degc: float | None
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NutFactor(Published):
    """Nut factor of a lubricant, least and largest seen."""

    lubricant: str
    low: float
    high: float
    conducts: str
    note: str


ISOLATING_MATERIALS = read_rows(
    MATERIALS_FILE, packaged(MATERIALS_FILE), IsolatingMaterial
)
NUT_FACTORS = read_rows(NUT_FACTORS_FILE, packaged(NUT_FACTORS_FILE), NutFactor)
# every name in small letters -> place in ISOLATING_MATERIALS
MATERIAL_PLACES: dict[str, int] = {
    word.lower(): place
    for place, row in enumerate(ISOLATING_MATERIALS)
    for word in row.words.split(";")
}
