"""How far tests err and how much hidden failure may stand: a catalogue to choose from.

No published error rates or targets for isolating joints were found; every row is a
judgement that the owner confirms or replaces, and is marked so.
"""

import csv
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from jointmap.errors import Problem, Refused
from jointmap.tables.methods import METHOD_CODES
from jointmap.tables.sources import packaged

VERDICTS = ("isolating", "doubtful", "shorted")
CLASSES = ("A", "B", "C", "D")
ERRORS_FILE, TARGETS_FILE = "method_errors.csv", "risk_targets.csv"
ERROR_COLUMNS = (
    "method", *(f"{given}_{v}" for given in ("failed", "sound") for v in VERDICTS),
    "note", "source", "mark",
)  # fmt: skip
TARGET_COLUMNS = (
    "consequence", "end_chance", "average_chance", "cap_months", "source", "mark",
)  # fmt: skip
_SUM_ERROR = 1e-9

R = TypeVar("R", "MethodErrors", "RiskTarget")


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodErrors:
    """Chance of each verdict of a method, for a failed joint and for a sound one."""

    method: str
    failed: tuple[float, float, float]
    sound: tuple[float, float, float]
    note: str
    source: str
    mark: str

    def faults(self) -> Iterator[Problem]:
        """Refuse chances that do not sum to 1, or a verdict that says the opposite."""
        facts = {"method": self.method}
        for given in (self.failed, self.sound):
            if min(given) <= 0 or abs(sum(given) - 1.0) > _SUM_ERROR:
                yield Problem("risk.errors_sum", facts)
        if min(self.sound) > 0:
            odds = [f / s for f, s in zip(self.failed, self.sound, strict=True)]
            if not odds[0] < odds[1] < odds[2]:
                yield Problem("risk.errors_order", facts)


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskTarget:
    """The most hidden failure a consequence class allows, and its longest interval."""

    consequence: str
    end_chance: float
    average_chance: float
    cap_months: int
    source: str
    mark: str

    def faults(self) -> Iterator[Problem]:
        """Refuse a chance that is none, or a cap of no months."""
        chances = (self.end_chance, self.average_chance)
        if not all(0.0 < c < 1.0 for c in chances) or self.cap_months < 1:
            yield Problem("risk.target_range", {"consequence": self.consequence})


def refuse_unsound(rows: tuple[MethodErrors, ...] | tuple[RiskTarget, ...]) -> None:
    """Refuse a table with an unsound row, naming every fault at once."""
    faults = [problem for row in rows for problem in row.faults()]
    if faults:
        raise Refused(faults)


def load_errors(text: str, file: str = ERRORS_FILE) -> dict[str, MethodErrors]:
    """Read the CSV ``text``; the error tables by method code.

    Raises
    ------
    Refused
        All faults at once: a wrong heading, a number that is none, chances that do not
        sum to 1, odds of failure that do not rise from isolating to shorted, a method
        that is none or comes twice, no source.
    """
    return _read(text, file, ERROR_COLUMNS, _errors)


def load_targets(text: str, file: str = TARGETS_FILE) -> dict[str, RiskTarget]:
    """Read the CSV ``text``; the targets by consequence class. Raises ``Refused``."""
    return _read(text, file, TARGET_COLUMNS, _target)


def _errors(row: dict[str, str]) -> MethodErrors:
    failed, sound = (
        tuple(float(row[f"{given}_{v}"]) for v in VERDICTS)
        for given in ("failed", "sound")
    )
    return MethodErrors(
        method=row["method"],
        failed=failed,  # type: ignore[arg-type]
        sound=sound,  # type: ignore[arg-type]
        note=row["note"],
        source=row["source"],
        mark=row["mark"],
    )


def _target(row: dict[str, str]) -> RiskTarget:
    return RiskTarget(
        consequence=row["consequence"],
        end_chance=float(row["end_chance"]),
        average_chance=float(row["average_chance"]),
        cap_months=int(row["cap_months"]),
        source=row["source"],
        mark=row["mark"],
    )


def _read(
    text: str, file: str, columns: tuple[str, ...], make: Callable[[dict[str, str]], R]
) -> dict[str, R]:
    """Return the rows by their first column; every fault of the file at once."""
    reader = csv.DictReader(text.splitlines())
    if tuple(reader.fieldnames or ()) != columns:
        raise Refused(Problem("table.keys", {"name": file, "wanted": columns}, file, 1))
    found: dict[str, R] = {}
    faults: list[Problem] = []
    for line, row in enumerate(reader, 2):
        name = row[columns[0]]
        wrong = list(_cells(row, columns, file, line))
        if not wrong:
            made = make(row)
            wrong = [replace(p, file=file, line=line) for p in made.faults()]
            if name in found:
                wrong.append(Problem("table.twice", {"name": name}, file, line))
            found[name] = made
        faults += wrong
    if faults:
        raise Refused(faults)
    return found


def _cells(
    row: Mapping[str, str], columns: tuple[str, ...], file: str, line: int
) -> Iterator[Problem]:
    name = {"name": row[columns[0]]}
    if None in row or None in row.values():
        yield Problem("table.cells", name, file, line)
        return
    known = METHOD_CODES if columns is ERROR_COLUMNS else CLASSES
    if row[columns[0]] not in known:
        accepted = {"accepted": ", ".join(known)}
        value = row[columns[0]]
        yield Problem("table.word", accepted, file, line, columns[0], value)
    for column in ("source", "mark"):
        if not row[column].strip():
            yield Problem("table.no_source", name, file, line, column)
    for column in columns[1:-2]:
        if column != "note" and not _is_number(row[column], column):
            yield Problem("table.number", name, file, line, column, row[column])


def _is_number(text: str, column: str) -> bool:
    try:
        return bool((int if column == "cap_months" else float)(text) >= 0)
    except ValueError:
        return False


METHOD_ERRORS: dict[str, MethodErrors] = load_errors(packaged(ERRORS_FILE))
RISK_TARGETS: dict[str, RiskTarget] = load_targets(packaged(TARGETS_FILE))
