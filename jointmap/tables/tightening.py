"""Tightening: the cross pattern of each stud count, the passes of named schemes."""

from dataclasses import dataclass

from jointmap.tables.rows import Published, read_rows
from jointmap.tables.sources import packaged

STARTERS_FILE = "tightening_starters.csv"
PASSES_FILE = "tightening_passes.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class Starters(Published):
    """The first studs of each group of four, in order, as the pattern gives them."""

    stud_count: int
    starters: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass(Published):
    """One pass of a scheme: share of the final torque to set, and what is allowed.

    Without ``low`` and ``high`` the share itself is asked for, as a wrench can be set.
    ``wait_hours`` is the least time since the pass before.
    """

    scheme: str
    number: int
    order: str
    share: float
    low: float | None
    high: float | None
    wait_hours: float


STARTERS: dict[int, Starters] = {
    row.stud_count: row
    for row in read_rows(STARTERS_FILE, packaged(STARTERS_FILE), Starters)
}


def _by_scheme(rows: tuple[Pass, ...]) -> dict[str, tuple[Pass, ...]]:
    names = dict.fromkeys(row.scheme for row in rows)
    return {name: tuple(r for r in rows if r.scheme == name) for name in names}


SCHEMES: dict[str, tuple[Pass, ...]] = _by_scheme(
    read_rows(PASSES_FILE, packaged(PASSES_FILE), Pass)
)
