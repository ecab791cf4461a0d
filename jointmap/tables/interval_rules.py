"""The catalogue of interval rules: what may be adopted, each with its source.

Nothing here is in force. A dated decision copies a row into the register; see
``jointmap.intervals.rule_in_force``. Words stand as text because the catalogue does not
know the register's codes.
"""

import csv
import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from importlib import resources

from jointmap.errors import Problem, Refused

FILE = "interval_rules.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class IntervalRule:
    """One row: how long, for what, by whose word; empty text means any, or none."""

    name: str
    shape: str
    basis: str
    subject: str
    years: int | None
    months: int | None
    days: int | None
    factor: float | None
    trigger: str
    purpose: str
    severity: str
    structure_kind: str
    path_kind: str
    critical_only: bool
    protected_only: bool
    source: str
    clause: str
    edition: str
    mark: str
    says_not: str
    binds_from_on: dt.date | None  # first day on which a law binds its subject
    binds_from_source: str


def load(lines: Iterable[str]) -> dict[str, IntervalRule]:
    """Read the catalogue's CSV ``lines``; the rules by name.

    Raises
    ------
    Refused
        All faults at once: a wrong heading, a row without source or mark, a number
        that is none, a truth that is neither yes nor no, a name that comes twice.
    """
    reader = csv.DictReader(lines)
    names = [f.name for f in fields(IntervalRule)]
    if reader.fieldnames != names:
        raise Refused(
            Problem("due.table_heading", {"wanted": ", ".join(names)}, FILE, 1)
        )
    rules: dict[str, IntervalRule] = {}
    found: list[Problem] = []
    for line, row in enumerate(reader, start=2):
        faults = list(_faults(row, line))
        if row["name"] in rules:
            faults.append(_problem("due.table_twice", row, "name", line))
        found.extend(faults)
        if not faults:
            rules[row["name"]] = _rule(row)
    if found:
        raise Refused(found)
    return rules


def _faults(row: Mapping[str, str], line: int) -> Iterator[Problem]:
    if len(row) != len(fields(IntervalRule)) or None in row.values():
        yield Problem("due.table_cells", {"name": row["name"]}, FILE, line)
        return
    for fault, columns, is_sound in CHECKS:
        for column in columns:
            if not is_sound(row[column]):
                yield _problem(fault, row, column, line)


def _is_whole(text: str) -> bool:
    return not text or text.isdecimal()


def _is_number(text: str) -> bool:
    return not text or text.replace(".", "", 1).isdecimal()


def _is_truth(text: str) -> bool:
    return text in ("yes", "no")


def _is_day(text: str) -> bool:
    try:
        return not text or bool(dt.date.fromisoformat(text))
    except ValueError:
        return False


CHECKS: tuple[tuple[str, tuple[str, ...], Callable[[str], bool]], ...] = (
    ("due.table_missing", ("name", "source", "mark"), bool),
    ("due.table_number", ("years", "months", "days"), _is_whole),
    ("due.table_number", ("factor",), _is_number),
    ("due.table_truth", ("critical_only", "protected_only"), _is_truth),
    ("due.table_day", ("binds_from_on",), _is_day),
)


def _problem(fault: str, row: Mapping[str, str], column: str, line: int) -> Problem:
    values = {"name": row["name"], "column": column, "value": row[column]}
    return Problem(fault, values, FILE, line, column, row[column])


def _rule(row: Mapping[str, str]) -> IntervalRule:
    whole = {n: int(row[n]) if row[n] else None for n in ("years", "months", "days")}
    truth = {n: row[n] == "yes" for n in ("critical_only", "protected_only")}
    factor = {"factor": float(row["factor"]) if row["factor"] else None}
    day = row["binds_from_on"]
    binds = {"binds_from_on": dt.date.fromisoformat(day) if day else None}
    read = {**row, **whole, **truth, **factor, **binds}
    return IntervalRule(**read)  # type: ignore[arg-type]


def _packaged() -> dict[str, IntervalRule]:
    file = resources.files("jointmap.tables") / FILE
    return load(file.read_text(encoding="utf-8").splitlines())


RULES: dict[str, IntervalRule] = _packaged()
