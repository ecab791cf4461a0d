"""Limits of fitting: alignment, faces, threads, sleeves, loads; each with source."""

from dataclasses import dataclass

from jointmap.tables.rows import Published, read_rows
from jointmap.tables.sources import packaged
from jointmap.units import to_si

FILE = "fitting_limits.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class FittingLimit(Published):
    """One limit in the unit it was published in."""

    name: str
    value: float
    unit: str
    quantity: str
    note: str

    @property
    def value_si(self) -> float:
        """The value in the unit its quantity is held in."""
        return to_si(self.value, self.unit, self.quantity)


FITTING_LIMITS: dict[str, FittingLimit] = {
    row.name: row for row in read_rows(FILE, packaged(FILE), FittingLimit)
}
