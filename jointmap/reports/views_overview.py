"""What the index, the findings, the values awaiting decision and the sources show."""

import datetime as dt
from dataclasses import dataclass

from jointmap.reports.views import Finding, Frame, Link, Sign


@dataclass(frozen=True, slots=True, kw_only=True)
class WayIn:
    """A list a user opens; ``count`` equals the number of rows it holds.

    ``unit`` is what is counted: an id of ``wording``, below ``unit``.
    """

    link: Link
    count: int | None = None
    unit: str = ""
    sentence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """One user's ways in; ``user`` is an id of ``wording.labels.USERS``."""

    user: str
    ways: tuple[WayIn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """What changed since a day: how much in one sentence, and what is new."""

    since: dt.date
    summary: str
    new: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexPage:
    """The first page; ``findings`` are all findings, the page groups and counts them.

    ``looked_for`` are the kinds of finding that were looked for, so that the page can
    say of which there is none.
    """

    frame: Frame
    summary: str
    doors: tuple[Door, ...]
    changed: Changed | None = None
    findings: tuple[Finding, ...] = ()
    findings_href: str = "findings.html"
    verdict_counts: tuple[tuple[Sign, int], ...] = ()
    looked_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingsPage:
    """Every finding, the gravest kinds first; the page groups them by kind."""

    frame: Frame
    findings: tuple[Finding, ...]
    looked_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldRow:
    """A value or row that waits for a person, with what is proposed."""

    number: int
    subject: Link
    field: str
    value: str
    sentence: str
    proposal: str = ""
    origin: str = ""
    waiting_since_on: dt.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldPage:
    """All values awaiting decision; ``how_to`` says which command decides."""

    frame: Frame
    rows: tuple[HeldRow, ...]
    how_to: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleRow:
    """A rule in force: what it says, where it comes from, since when."""

    name: str
    applies_to: str
    sentence: str
    basis: str = ""
    source: str = ""
    edition: str = ""
    mark: str = ""
    from_on: dt.date | None = None
    until_on: dt.date | None = None
    decision: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow:
    """A limit in force for a method and a purpose."""

    name: str
    method: str
    purpose: str
    role: str
    value: str
    source: str = ""
    edition: str = ""
    mark: str = ""
    from_on: dt.date | None = None
    until_on: dt.date | None = None
    decision: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SourcesPage:
    """Rules and limits in force on the day the page is about."""

    frame: Frame
    rules: tuple[RuleRow, ...] = ()
    limits: tuple[LimitRow, ...] = ()
