"""Raised-face flanges by size and class: what the ordinary joint is made of.

Numbers stand as published, in inches. The four rows of NPS 22 are marked: that size is
not in B16.5 and its source is to be confirmed. A flange that is not here is not here;
no neighbour's row is ever used for it.
"""

from dataclasses import dataclass

from jointmap.tables.rows import Published, read_rows
from jointmap.tables.sources import packaged

FILE = "flanges.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flange(Published):
    """One flange; the thickness is the least allowed, its raised face not counted."""

    size: str
    pressure_class: int
    outside_diameter_inch: float
    thickness_inch: float
    face_height_inch: float
    face_diameter_inch: float | None
    bolt_circle_inch: float
    stud_count: int
    stud_diameter_inch: float
    hole_diameter_inch: float
    stud_length_inch: float
    copies_agreeing: int
    note: str


FLANGES: tuple[Flange, ...] = read_rows(FILE, packaged(FILE), Flange)
# (size, class) -> place in FLANGES
FLANGE_PLACES: dict[tuple[str, int], int] = {
    (row.size, row.pressure_class): place for place, row in enumerate(FLANGES)
}
