"""What every page shares: its frame, a link, a sign, a fact, a step of a reason.

Views hold plain values only. Sentences in them are already made; a field's or a
finding's name is an id of ``wording.labels``. Blank text shows as "not on record".
"""

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The head and foot of a page.

    ``up`` is the relative way to the folder of ``index.html``: "" for a page beside
    it, "../" one folder down, None for a page that stands without it and so leads
    nowhere else. ``folder`` is the page's own folder as seen from there; what lies in
    it is reached all the same. ``training`` is the sentence of a site with a fixed day.
    ``trail`` is what stands between the index and this page, such as the list it is in.
    """

    site: str
    on: dt.date
    known: dt.date
    entry: int
    fingerprint: str
    version: str
    up: str | None = ""
    folder: str = ""
    training: str = ""
    trail: tuple["Link", ...] = ()

    @property
    def front_page(self) -> "Link":
        """The way to the index page, by the site's name."""
        return Link(self.site, "index.html")


@dataclass(frozen=True, slots=True)
class Link:
    """Words that lead to another page; without ``href`` just the words.

    ``href`` starts from the folder of ``index.html`` ("dossiers/IJ-018.html"); the page
    puts its own ``up`` before it. One that starts with ``#`` stays on the page.
    """

    text: str
    href: str = ""


# The defaults of views: no words, no drawing.
NO_LINK = Link("")
NO_DRAWING = Markup("")


@dataclass(frozen=True, slots=True)
class Sign:
    """A verdict or a due state: always the word, with its glyph beside it.

    ``note`` is what the word alone would hide, such as a repair not proved.
    """

    word: str = ""
    glyph: Markup = NO_DRAWING
    note: str = ""


NO_SIGN = Sign()


@dataclass(frozen=True, slots=True)
class Fact:
    """One named value: SI text for reading, the sender's own text beside it.

    ``name`` is a label id of ``wording.labels.FIELDS`` (the field's own label in
    the register); ``flag`` says what is wrong with the value, if anything is.
    """

    name: str
    value: str = ""
    as_written: str = ""
    flag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a date's reason: the day it yields and where it comes from."""

    sentence: str
    on: dt.date | None = None
    basis: str = ""
    source: str = ""
    mark: str = ""
    governs: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TestRow:
    """One test as a page shows it; ``what`` is e.g. "stud 5 to side A"."""

    __test__: ClassVar[bool] = False

    tested_on: dt.date
    method: str
    verdict: Sign
    stage: str = ""
    what: str = ""
    who: str = ""
    instrument: str = ""
    person_paper: str = ""
    person_fault: bool = False
    instrument_paper: str = ""
    instrument_fault: bool = False
    papers: str = ""  # both in a sentence
    papers_sound: bool = True
    reading: str = ""
    reason: str = ""
    limit: str = ""
    source: str = ""
    counts: bool = True
    why_not: str = ""
    recorded_on: dt.date | None = None
    late_days: int = 0
    origin: str = ""


@dataclass(frozen=True, slots=True)
class ToldTest:
    """A test with a line that says why it is told and where it was read."""

    heading: str
    row: TestRow


@dataclass(frozen=True, slots=True, kw_only=True)
class PathRow:
    """Other metal across a boundary, and what its last look found."""

    name: str
    kind: str
    state: str
    where: Link = NO_LINK
    fitted_on: dt.date | None = None
    removed_on: dt.date | None = None
    checked_on: dt.date | None = None
    due_on: dt.date | None = None
    flag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionRow:
    """What a person decided, and why."""

    decided_on: dt.date
    kind: str
    what: str
    who: str
    why: str
    until_on: dt.date | None = None
    second_person: str = ""
    authority: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionRow:
    """A value that was replaced; both stay. ``what`` names record and field."""

    recorded_on: dt.date
    what: str
    old: str
    new: str
    who: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing to look at.

    ``kind`` is an id behind ``finding.``, ``gravity`` one behind ``gravity.``.
    """

    kind: str
    gravity: str
    subject: Link
    sentence: str
    next_step: str
    source: str
    on: dt.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockRow:
    """One clock after a bad result: ``what`` is decide by, plan by or fix by.

    ``whose`` is the joint or the boundary that it is about.
    """

    whose: Link
    what: str
    since_on: dt.date | None
    until_on: dt.date | None
    days_over: int
    state: str
    source: str
    basis: str = ""
