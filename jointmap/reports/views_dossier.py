"""What the dossier of one joint shows."""

import datetime as dt
from dataclasses import dataclass

from markupsafe import Markup

from jointmap.reports.views import (
    NO_DRAWING,
    NO_SIGN,
    ClockRow,
    CorrectionRow,
    DecisionRow,
    Fact,
    Frame,
    Link,
    PathRow,
    Sign,
    Step,
    TestRow,
    ToldTest,
)
from jointmap.reports.views_files import FileView


@dataclass(frozen=True, slots=True, kw_only=True)
class AliasRow:
    """Another name of the joint and when it was used."""

    name: str
    from_on: dt.date | None = None
    until_on: dt.date | None = None
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlteredRow:
    """A fact that was another until ``from_on``; ``what`` names record and field."""

    from_on: dt.date
    what: str
    old: str
    new: str
    who: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionView:
    """Working coordinates, and the captured numbers beside them.

    ``doubt`` says why the place is not trusted, ``proposal`` what is proposed.
    """

    working: str = ""
    captured: str = ""
    crs: str = ""
    method: str = ""
    accuracy: str = ""
    captured_on: dt.date | None = None
    doubt: str = ""
    proposal: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceView:
    """Where the joint is and what it keeps apart."""

    boundary: Link
    boundary_state: Sign
    boundary_sentence: str = ""
    purpose: str = ""
    structure_a: str = ""
    structure_b: str = ""
    state: str = ""
    area: str = ""
    kilometre_post: str = ""
    which_one: str = ""
    electrode_place: str = ""
    service: tuple[Fact, ...] = ()
    access: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    aliases: tuple[AliasRow, ...] = ()
    position: PositionView = PositionView()


@dataclass(frozen=True, slots=True)
class FittingCheck:
    """One checked fact of a fitting: the result, value and limit in words, source.

    ``asks`` where it does not meet or is not on record.
    """

    fact: str
    result: str
    sentence: str
    source: str = ""
    asks: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class InstallationView:
    """How a device was fitted; ``flags`` are sentences that ask for a look.

    ``review`` counts what meets, ``checks`` tells fact by fact, what asks for a look
    first.
    """

    installed_on: dt.date | None = None
    facts: tuple[Fact, ...] = ()
    flags: tuple[str, ...] = ()
    review: str = ""
    checks: tuple[FittingCheck, ...] = ()
    origin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceView:
    """What is or was fitted here; ``installation`` None: not on record.

    ``is_fitted``: fitted on the day of the page.
    """

    kind: str
    fitted_on: dt.date
    removed_on: dt.date | None = None
    is_fitted: bool = False
    serial: str = ""
    layout: str = ""
    facts: tuple[Fact, ...] = ()
    installation: InstallationView | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StudRow:
    """One stud's last readings; ``sides_left`` is e.g. "1 of 2"."""

    number: int
    to_a: str = ""
    to_b: str = ""
    tested_on: dt.date | None = None
    sides_left: str = ""
    verdict: Sign = NO_SIGN
    sentence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OccurrenceRow:
    """Something that happened near the joint."""

    happened_on: dt.date
    kind: str
    place: str
    sentence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitKept:
    """A limit that ran, as it stood then, and how it was kept."""

    from_on: dt.date
    limit_on: dt.date
    how: str
    basis: str
    source: str
    is_broken: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DueView:
    """The last allowed day and every step to it; ``limits`` newest first."""

    state: Sign
    last_allowed_on: dt.date | None = None
    because: str = ""
    source: str = ""
    steps: tuple[Step, ...] = ()
    limits: tuple[LimitKept, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What verdict and date of a joint rest on; ``devices`` newest first.

    ``not_proved`` tells of a repair that no good test has proved.
    """

    frame: Frame
    tag: str
    verdict: Sign
    due: DueView
    clocks: tuple[ClockRow, ...] = ()
    devices: tuple[DeviceView, ...] = ()
    not_proved: str = ""
    next_step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dossier(Answer):
    """One joint's whole life on one page; ``tests`` newest first.

    ``summary`` is one plain sentence: verdict, what is odd, next date and why.
    """

    summary: str
    place: PlaceView
    location_map: Markup = NO_DRAWING
    studs: tuple[StudRow, ...] = ()
    studs_sentence: str = ""
    tests: tuple[TestRow, ...] = ()
    paths: tuple[PathRow, ...] = ()
    occurrences: tuple[OccurrenceRow, ...] = ()
    decisions: tuple[DecisionRow, ...] = ()
    corrections: tuple[CorrectionRow, ...] = ()
    altered: tuple[AlteredRow, ...] = ()
    files: tuple[FileView, ...] = ()
    findings: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """How verdict and date of a joint come about.

    ``tests`` are the one that the verdict rests on, then the newest if it is another.
    """

    answer: Answer
    reason: str
    tests: tuple[ToldTest, ...] = ()
    altered: tuple[str, ...] = ()  # facts that were others on the day of the first


@dataclass(frozen=True, slots=True, kw_only=True)
class PathWhy:
    """How state and date of a parallel path come about."""

    frame: Frame
    name: str
    boundary: str
    kind: str
    state: str
    checked_on: dt.date | None
    removed_on: dt.date | None
    due: DueView
    tests: tuple[ToldTest, ...] = ()
    no_test: str = ""
    next_step: str = ""
