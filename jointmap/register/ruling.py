"""Records of what is in force, what was decided, and what awaits a decision."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from jointmap.errors import Problem
from jointmap.register.codes import (
    Basis,
    DecisionKind,
    LimitRole,
    Mark,
    PathKind,
    Purpose,
    Severity,
    StructureKind,
    Subject,
)
from jointmap.register.fields import Record, refers, withheld
from jointmap.register.paper_states import NONE_KEPT, RULED
from jointmap.register.rule_codes import (
    MAY_STATE,
    NEXT_REQUIRED_TEST,
    NUMBERS_OF_SHAPE,
    OF_CLOCKS,
    TRIGGERS,
    RuleShape,
)

# What a decision is about that says what was seen.
ENTRY = "entry"
# What a rule of the owner on papers may be about, and the kinds of such rules.
PAPERED = ("person", "instrument")
ON_PAPERS = (
    DecisionKind.PAPERS_NOT_ASKED,
    DecisionKind.PAPERS_ASKED,
    DecisionKind.PAPERS_NOT_KEPT,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule(Record):
    """An interval rule in force at this site, copied from the catalogue."""

    KIND: ClassVar[str] = "rule"
    FORM: ClassVar[int] = 2
    KEY: ClassVar[tuple[str, ...]] = ("name", "from_on")
    name: str
    from_on: dt.date
    until_on: dt.date | None = None
    shape: RuleShape
    basis: Basis
    subject: Subject
    years: int | None = None
    months: int | None = None
    days: int | None = None
    factor: float | None = None
    trigger: str = ""
    purpose: Purpose | None = None
    severity: Severity | None = None
    structure_kind: StructureKind | None = None
    path_kind: PathKind | None = None
    critical_only: bool = False
    protected_only: bool = False
    source: str
    clause: str = ""
    edition: str = ""
    mark: Mark
    says_not: str = ""
    decision_id: int | None = refers("decision", optional=True)
    # The day from which a law binds its subject, whenever it was adopted here.
    binds_from_on: dt.date | None = None
    binds_from_source: str | None = None

    def faults(self) -> Iterator[Problem]:
        """Refuse numbers that are missing, not of its shape, or of no use."""
        if self.until_on is not None and self.until_on < self.from_on:
            days = {"until": self.until_on, "from_on": self.from_on}
            yield Problem("rule.order", days, column="until_on")
        yield from self._faults_of_law()
        # Before the next required test: there is nothing to add to that day.
        before = self.trigger == NEXT_REQUIRED_TEST and self.shape in MAY_STATE
        needs = () if before else NUMBERS_OF_SHAPE[self.shape]
        for column in ("years", "months", "days", "factor", "trigger"):
            value = getattr(self, column)
            yield from self._fault(column, value, needs)
        yield from self._faults_of_trigger()
        if self.factor is not None and self.factor > 1:
            yield Problem("rule.lengthens", column="factor", value=f"{self.factor:g}")

    def _faults_of_trigger(self) -> Iterator[Problem]:
        accepted = OF_CLOCKS if self.shape in MAY_STATE else TRIGGERS
        if self.trigger and self.trigger not in accepted:
            known = {"known": "; ".join(accepted)}
            yield Problem("rule.trigger", known, column="trigger", value=self.trigger)

    def _faults_of_law(self) -> Iterator[Problem]:
        if self.binds_from_on is not None and self.basis is not Basis.LAW:
            facts = {"basis": self.basis}
            yield Problem("rule.binds", facts, column="binds_from_on")

    def _fault(
        self, column: str, value: object, needs: tuple[str, ...]
    ) -> Iterator[Problem]:
        facts = {"shape": self.shape, "column": column, "needs": ", ".join(needs)}
        blank = value is None or value == ""
        if column in needs and blank:
            yield Problem("rule.lacks", facts, column=column)
        elif column not in (*needs, *MAY_STATE.get(self.shape, ())) and not blank:
            yield Problem("rule.spare", facts, column=column, value=str(value))
        elif isinstance(value, int | float) and value <= 0:
            yield Problem("rule.number", column=column, value=f"{value:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit(Record):
    """An acceptance limit in force at this site, copied from the catalogue."""

    KIND: ClassVar[str] = "limit"
    KEY: ClassVar[tuple[str, ...]] = ("name", "from_on")
    name: str
    from_on: dt.date
    until_on: dt.date | None = None
    method: str
    role: LimitRole
    value: float
    unit: str
    purpose: Purpose | None = None
    source: str
    clause: str = ""
    edition: str = ""
    mark: Mark
    decision_id: int | None = refers("decision", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Model(Record):
    """A failure model in force; its numbers are a JSON object."""

    KIND: ClassVar[str] = "model"
    KEY: ClassVar[tuple[str, ...]] = ("name", "from_on")
    name: str
    from_on: dt.date
    numbers: str
    source: str
    mark: Mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision(Record):
    """Something a person decided: who, when, why."""

    KIND: ClassVar[str] = "decision"
    KEY: ClassVar[tuple[str, ...]] = ("number",)
    number: str
    decided_on: dt.date
    kind: DecisionKind
    person_id: int | None = refers("person", optional=True)
    second_person_id: int | None = refers("person", optional=True)
    subject: str
    subject_key: str
    why: str
    authority: str = ""
    until_on: dt.date | None = None

    def faults(self) -> Iterator[Problem]:
        """Refuse a deferral, or a rule on papers, that lacks what it must state."""
        if self.kind is DecisionKind.DEFERRED:
            yield from self._deferral_faults()
        elif self.kind in ON_PAPERS:
            yield from self._paper_faults()

    def _deferral_faults(self) -> Iterator[Problem]:
        for column, value in (
            ("until_on", self.until_on),
            ("person", self.person_id),
            ("authority", self.authority.strip()),
        ):
            if not value:
                yield Problem("defer.lacks", {"column": column}, column=column)
        if self.until_on is not None and self.until_on <= self.decided_on:
            facts = {"until": self.until_on, "decided_on": self.decided_on}
            yield Problem("defer.order", facts, column="until_on")

    def _paper_faults(self) -> Iterator[Problem]:
        is_past = self.kind is DecisionKind.PAPERS_NOT_KEPT
        for column, accepted in (
            ("subject", PAPERED),
            ("subject_key", (NONE_KEPT,) if is_past else tuple(RULED)),
        ):
            value = getattr(self, column)
            if value.strip().lower() not in accepted:
                facts = {"accepted": ", ".join(accepted)}
                yield Problem("papers.word", facts, column=column, value=value)
        until, decided = self.until_on, self.decided_on
        is_over = until is not None and until < decided
        if is_past and not is_over:
            yield Problem("papers.not_past", {"decided_on": decided}, column="until_on")
        elif is_over and not is_past:
            yield Problem("papers.order", {"decided_on": decided}, column="until_on")


@dataclass(frozen=True, slots=True, kw_only=True)
class Held(Record):
    """A value as sent that waits for a person, with what it may mean."""

    KIND: ClassVar[str] = "held"
    KEY: ClassVar[tuple[str, ...]] = ("sheet", "subject_key", "column", "sent_on")
    sheet: str
    subject_key: str
    column: str
    sent_on: dt.date
    doubt: str
    details: str | None = withheld()
    value: str | None = withheld()
    proposal: str | None = withheld()
    is_open: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew(Record):
    """A crew that tests joints, its depot and its hours."""

    KIND: ClassVar[str] = "crew"
    KEY: ClassVar[tuple[str, ...]] = ("name",)
    name: str
    persons: int
    depot: str
    day_from: str
    day_until: str
    working_days: str
    areas: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOff(Record):
    """A day on which a crew, or the whole site, does not work."""

    KIND: ClassVar[str] = "day_off"
    KEY: ClassVar[tuple[str, ...]] = ("crew_id", "off_on")
    crew_id: int | None = refers("crew", optional=True)
    off_on: dt.date
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Road(Record):
    """A road or track; coordinates are a JSON list of [lon, lat]."""

    KIND: ClassVar[str] = "road"
    KEY: ClassVar[tuple[str, ...]] = ("name",)
    name: str
    speed_metre_per_second: float
    coordinates: str
