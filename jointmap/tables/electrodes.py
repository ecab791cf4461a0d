"""Reference electrodes and what to add to read against copper sulfate."""

from dataclasses import dataclass

from jointmap.tables.rows import Published, read_rows
from jointmap.tables.sources import packaged

FILE = "reference_electrodes.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class Electrode(Published):
    """One electrode with its solution; ``error_volt`` is how far it may be off."""

    name: str
    offset_volt: float
    error_volt: float
    note: str


ELECTRODES: dict[str, Electrode] = {
    row.name: row for row in read_rows(FILE, packaged(FILE), Electrode)
}


_SILVER = ("ag", "silver")
_SOLUTIONS = ("sea", "kcl", "sat")


def lacks_solution(text: str) -> bool:
    """Return whether a silver chloride electrode is named without its solution."""
    said = text.strip().lower()
    return said.startswith(_SILVER) and not any(word in said for word in _SOLUTIONS)
