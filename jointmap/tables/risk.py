"""How far tests err and how much hidden failure may stand: a catalogue to choose from.

No published error rates or targets for isolating joints were found; every row is a
judgement that the owner confirms or replaces, and is marked so.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from jointmap.errors import Problem, Refused
from jointmap.tables.methods import METHOD_CODES
from jointmap.tables.sources import packaged

VERDICTS = ("isolating", "doubtful", "shorted")
_SUM_ERROR = 1e-9


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


def load_errors(text: str) -> dict[str, MethodErrors]:
    """Read the CSV ``text``; the error tables by method code.

    Raises
    ------
    Refused
        All faults at once: chances that do not sum to 1, odds of failure that do not
        rise from isolating to shorted, a method that is none, no source.
    """
    rows = tuple(_errors(row) for row in csv.DictReader(text.splitlines()))
    unknown = [r.method for r in rows if r.method not in METHOD_CODES or not r.source]
    if unknown:
        raise Refused([Problem("risk.errors_method", {"method": m}) for m in unknown])
    refuse_unsound(rows)
    return {row.method: row for row in rows}


def _errors(row: dict[str, Any]) -> MethodErrors:
    failed, sound = (
        tuple(float(row.pop(f"{given}_{v}")) for v in VERDICTS)
        for given in ("failed", "sound")
    )
    return MethodErrors(failed=failed, sound=sound, **row)  # type: ignore[arg-type]


def load_targets(text: str) -> dict[str, RiskTarget]:
    """Read the CSV ``text``; the targets by consequence class. Raises ``Refused``."""
    rows = tuple(
        RiskTarget(
            consequence=row["consequence"],
            end_chance=float(row["end_chance"]),
            average_chance=float(row["average_chance"]),
            cap_months=int(row["cap_months"]),
            source=row["source"],
            mark=row["mark"],
        )
        for row in csv.DictReader(text.splitlines())
    )
    refuse_unsound(rows)
    return {row.consequence: row for row in rows}


METHOD_ERRORS: dict[str, MethodErrors] = load_errors(packaged("method_errors.csv"))
RISK_TARGETS: dict[str, RiskTarget] = load_targets(packaged("risk_targets.csv"))
