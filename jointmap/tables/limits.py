"""The catalogue of acceptance limits: what may be adopted, each with its source.

Nothing here is in force; ``jointmap.acceptance.limit_in_force`` copies a row into the
register by a dated decision. Published limits differ by 25 times: the owner chooses.
"""

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields

from jointmap.errors import Problem, Refused
from jointmap.tables.methods import METHOD_CODES
from jointmap.tables.sources import SOURCES, packaged

FILE = "acceptance_limits.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueLimit:
    """One row, in the unit it was published in; empty method or purpose means any."""

    name: str
    method: str
    role: str
    value: float
    unit: str
    purpose: str
    source: str
    clause: str
    edition: str
    mark: str


def load(text: str) -> dict[str, CatalogueLimit]:
    """Read the CSV ``text``; the limits by name.

    Raises
    ------
    Refused
        All faults at once: a wrong heading, a row without source or mark, a source or
        method that is not in its table, a value that is no number, a name twice.
    """
    reader = csv.DictReader(text.splitlines())
    wanted = [f.name for f in fields(CatalogueLimit)]
    if reader.fieldnames != wanted:
        raise Refused(Problem("table.keys", {"name": FILE, "wanted": wanted}, FILE, 1))
    rows = list(reader)
    names = [row["name"] for row in rows]
    faults = [p for line, row in enumerate(rows, 2) for p in _faults(row, line)]
    faults += [
        Problem("table.twice", {"name": n}, FILE)
        for n in set(names)
        if names.count(n) > 1
    ]
    if faults:
        raise Refused(faults)
    return {row["name"]: _limit(row) for row in rows}


def _faults(row: Mapping[str, str], line: int) -> Iterator[Problem]:
    facts = {"name": row["name"]}
    if None in row.values() or None in row:
        yield Problem("table.cells", facts, FILE, line)
        return
    if not row["source"] or not row["mark"]:
        yield Problem("table.no_source", facts, FILE, line)
    elif row["source"] not in SOURCES:
        facts["source"] = row["source"]
        yield Problem("table.unknown_source", facts, FILE, line)
    if row["method"] and row["method"] not in METHOD_CODES:
        facts["method"] = row["method"]
        yield Problem("table.unknown_method", facts, FILE, line)
    if not row["value"].replace(".", "", 1).isdecimal():
        yield Problem("table.number", facts, FILE, line, "value", row["value"])


def _limit(row: Mapping[str, str]) -> CatalogueLimit:
    return CatalogueLimit(**{**row, "value": float(row["value"])})  # type: ignore[arg-type]


LIMITS: dict[str, CatalogueLimit] = load(packaged(FILE))
