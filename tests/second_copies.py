"""The program's published tables beside their second copies, cell by cell.

A second copy says what a cell holds, as another text prints it where another was found.
Its column ``copy`` tells how far it is another one:

another copy     from another place than the table's own
same copy        from the same place, or this project's own choice written twice
from memory      recalled, not seen
computed         reckoned by the formula that ``source`` names

A column that ends in ``_mm`` speaks of the table's column in inches. ``~1.06`` is
rounded by its text; ``-`` says that nothing stands there; an empty cell says nothing.
"""

import csv
import tomllib
from collections import Counter
from functools import cache
from importlib import resources
from pathlib import Path

FOLDER = Path(__file__).parent / "published_values" / "second_copies"
KINDS = {"another copy", "same copy", "from memory", "computed"}
# Where a row comes from and what is said about it: not a value of the row.
ABOUT = {"note", "source", "clause", "edition", "mark", "says_not", "binds_from_source"}
KEYS = {
    "acceptance_limits": ("name",),
    "fault_checks": ("kind", "check"),
    "fitting_limits": ("name",),
    "flanges": ("size", "pressure_class"),
    "interval_rules": ("name",),
    "isolating_materials": ("name",),
    "method_errors": ("method",),
    "nut_factors": ("lubricant",),
    "qualified_tasks": ("task",),
    "reading_instruments": ("kind",),
    "reference_electrodes": ("name",),
    "reference_torques": ("size",),
    "risk_targets": ("consequence",),
    "steel_washers": ("size",),
    "stud_grades": ("grade", "diameter_over_inch"),
    "stud_threads": ("size",),
    "suspect_findings": ("reason",),
    "suspect_kinds": ("kind",),
    "telling_words": ("about", "word"),
    "test_methods": ("code",),
    "tightening_passes": ("scheme", "number"),
    "tightening_starters": ("stud_count",),
}
METHOD_VALUES = ("code", "tells", "quantity", "scopes", "stages", "minutes")
MM_PER_INCH = 25.4
# Half of 0.01 in and half of 0.1 mm: how far two roundings of one size may lie apart.
MM_APART = 0.127 + 0.05 + 0.001

Row = dict[str, str]
Key = tuple[str, ...]


def table(name: str) -> list[Row]:
    """Return the rows of the program's table ``name`` as text."""
    if name == "test_methods":
        return _methods()
    text = resources.files("jointmap.tables").joinpath(f"{name}.csv").read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))


def _methods() -> list[Row]:
    file = resources.files("jointmap.tables") / "test_methods.toml"
    rows = tomllib.loads(file.read_text("utf-8"))["method"]
    return [{column: _text(row[column]) for column in METHOD_VALUES} for row in rows]


def _text(value: object) -> str:
    return ";".join(value) if isinstance(value, list) else str(value)


@cache
def lines(name: str) -> tuple[Row, ...]:
    """Return the lines of the second copy of table ``name``."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def key(name: str, row: Row) -> Key:
    """Return what tells a row of table ``name`` from the others."""
    return tuple(row[column] for column in KEYS[name])


@cache
def said(name: str) -> dict[Key, list[tuple[str, str]]]:
    """Return what the second copy says of each row: its column and the cell."""
    found: dict[Key, list[tuple[str, str]]] = {}
    aside = {*KEYS[name], "source", "copy"}
    for line in lines(name):
        cells = [(c, v) for c, v in line.items() if v and c not in aside]
        found.setdefault(key(name, line), []).extend(cells)
    return found


def differences(name: str, rows: list[Row]) -> list[str]:
    """Return where ``rows`` and the second copy of table ``name`` do not agree."""
    copy = said(name)
    seen = Counter(key(name, row) for row in rows)
    found = [f"{k}: twice" for k, times in seen.items() if times > 1]
    found += [f"{k}: not in the second copy" for k in seen if k not in copy]
    found += [f"{k}: not in the table" for k in copy if k not in seen]
    for row in rows:
        for column, cell in copy.get(key(name, row), ()):
            if not agree(row[in_table(column)], cell, column):
                found.append(f"{key(name, row)}: {column} {cell}")
    return found


def in_table(column: str) -> str:
    """Return the table's column that a column of a second copy speaks of."""
    return column.removesuffix("_mm") + "_inch" if column.endswith("_mm") else column


@cache
def agree(ours: str, theirs: str, column: str = "") -> bool:
    """Return whether a cell holds what its second copy says."""
    if theirs == "-" or not ours:
        return not ours and theirs == "-"
    try:
        return abs(_scale(column) * float(ours) - float(theirs.lstrip("~"))) <= _apart(
            theirs, column
        )
    except ValueError:
        return ours == theirs


def _scale(column: str) -> float:
    return MM_PER_INCH if column.endswith("_mm") else 1.0


def _apart(theirs: str, column: str) -> float:
    if column.endswith("_mm"):
        return MM_APART
    if theirs.startswith("~"):
        return 0.5 * 10.0 ** -len(theirs.partition(".")[2]) + 1e-12
    return 1e-12


def values(name: str) -> list[str]:
    """Return the columns of table ``name`` that hold values, keys included."""
    return [c for c in table(name)[0] if c not in ABOUT or c in KEYS[name]]


def unguarded(name: str) -> list[str]:
    """Return the cells of table ``name`` of which no second copy speaks."""
    copy, names = said(name), [c for c in values(name) if c not in KEYS[name]]
    spoken = {k: {in_table(c) for c, _ in cells} for k, cells in copy.items()}
    keys = [key(name, row) for row in table(name)]
    return [f"{k}: {c}" for k in keys for c in names if c not in spoken.get(k, ())]


def counted() -> Counter[tuple[str, str, str]]:
    """Count the cells of the second copies by source, kind of copy and table."""
    found: Counter[tuple[str, str, str]] = Counter()
    for name in KEYS:
        for line in lines(name):
            aside = {*KEYS[name], "source", "copy"}
            said_here = sum(1 for c, v in line.items() if v and c not in aside)
            found[line["source"], line["copy"], name] += said_here
    return found
