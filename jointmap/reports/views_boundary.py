"""What the pages of boundaries show."""

import datetime as dt
from dataclasses import dataclass

from markupsafe import Markup

from jointmap.reports.views import (
    NO_DRAWING,
    NO_SIGN,
    ClockRow,
    DecisionRow,
    Frame,
    Link,
    PathRow,
    Sign,
    TestRow,
    ToldTest,
)

_NO_LINK = Link("")


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectRow:
    """A joint or a parallel path that may carry the short; what speaks either way."""

    subject: Link
    kind: str
    chance: str = ""
    route: str = ""
    speaks_for: tuple[str, ...] = ()
    speaks_against: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRow:
    """One check that tells of a suspect; ``told`` is in hundredths of a bit."""

    subject: Link
    kind: str
    check: str
    minutes: str
    told: str
    inside_kit: bool = False
    held_back: str = ""
    conditions: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentRow:
    """What a section draws against its design; ``unaccounted`` names candidates."""

    structure: str
    design: str
    measured: str
    readings: tuple[str, ...] = ()
    not_read: str = ""
    unaccounted: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoundaryJointRow:
    """A joint on the boundary; joints of one test ``group`` are read together."""

    tag: Link
    state: str
    verdict: Sign
    group: str = ""
    last_test_on: dt.date | None = None
    last_allowed_on: dt.date | None = None
    due_state: Sign = NO_SIGN


@dataclass(frozen=True, slots=True, kw_only=True)
class MergedRow:
    """A structure that is one metal with others now, and what feeds it."""

    structure: str
    kind: str = ""
    area: str = ""
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BoundaryView:
    """One boundary; ``statement`` is e.g. "boundary shorted, 3 suspects; ...".

    ``rests_on`` is the test that the verdict rests on; ``no_test`` says why there is
    none.
    """

    frame: Frame
    name: str
    state: Sign
    statement: str
    purpose: str
    structure_a: str
    structure_b: str
    last_good_on: dt.date | None = None
    first_bad_on: dt.date | None = None
    joined_on_purpose: str = ""
    none_suspected: str = ""  # why there are none, where it is joined on purpose
    suspects: tuple[SuspectRow, ...] = ()
    left_over: tuple[str, ...] = ()
    clocks: tuple[ClockRow, ...] = ()
    currents: tuple[CurrentRow, ...] = ()
    next_checks: tuple[CheckRow, ...] = ()
    joints: tuple[BoundaryJointRow, ...] = ()
    paths: tuple[PathRow, ...] = ()
    merged: tuple[MergedRow, ...] = ()
    merged_sentence: str = ""
    if_shorted: str = ""
    tests: tuple[TestRow, ...] = ()
    rests_on: tuple[ToldTest, ...] = ()
    no_test: str = ""
    next_step: str = ""
    decisions: tuple[DecisionRow, ...] = ()
    findings: tuple[str, ...] = ()
    diagram: Markup = NO_DRAWING
    statement_page: Link = _NO_LINK


@dataclass(frozen=True, slots=True, kw_only=True)
class BoundaryLine:
    """One boundary in the list of all."""

    name: Link
    state: Sign
    structure_a: str
    structure_b: str
    purpose: str
    statement: str = ""
    joints: int = 0
    paths: int = 0
    suspects: int = 0
    last_good_on: dt.date | None = None
    first_bad_on: dt.date | None = None

    @property
    def said(self) -> str:
        """The statement with what the verdict alone would hide."""
        note = self.state.note
        return f"{self.statement} {note.capitalize()}." if note else self.statement


@dataclass(frozen=True, slots=True, kw_only=True)
class BoundariesView:
    """All boundaries, worst first as the caller ordered them."""

    frame: Frame
    rows: tuple[BoundaryLine, ...]
    diagram: Markup = NO_DRAWING
