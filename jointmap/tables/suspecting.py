"""How often what comes to join a boundary, and which checks tell: a catalogue.

No published rates were found; every number is a judgement that the owner confirms or
replaces, and a site's own counts weigh in.
"""

from dataclasses import dataclass

from jointmap.tables.rows import Published, read_rows
from jointmap.tables.sources import packaged

NONE_OF_THESE = "none of these"
NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectKind(Published):
    """A kind of device or path: joining per year, and at once when fitted.

    ``weight_years`` is how many years of a site's experience the rate stands for.
    """

    kind: str
    per_year: float
    weight_years: float
    at_once: float
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultCheck(Published):
    """One check of one kind; ``step`` is its place in the order of fault-finding."""

    kind: str
    check: str
    method: str
    minutes: float
    catches: float
    false_alarm: float
    step: int
    inside_kit: str
    lifts_protection: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectFinding(Published):
    """How likely a finding is for something that joins, and for something apart."""

    reason: str
    if_joining: float
    if_apart: float
    note: str


SUSPECT_KINDS: dict[str, SuspectKind] = {
    row.kind: row
    for row in read_rows(
        "suspect_kinds.csv", packaged("suspect_kinds.csv"), SuspectKind
    )
}
FAULT_CHECKS: tuple[FaultCheck, ...] = read_rows(
    "fault_checks.csv", packaged("fault_checks.csv"), FaultCheck
)
SUSPECT_FINDINGS: dict[str, SuspectFinding] = {
    row.reason: row
    for row in read_rows(
        "suspect_findings.csv", packaged("suspect_findings.csv"), SuspectFinding
    )
}
