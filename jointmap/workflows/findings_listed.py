"""Every finding of a site, shown or as CSV: of a kind, of one thing, or since a day."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from jointmap.assessment.assess import Assessment
from jointmap.errors import Problem, WrongUse
from jointmap.findings.every_finding import ALL_FINDERS
from jointmap.findings.finder import Finder
from jointmap.findings.finding import About
from jointmap.findings.of_design import DESIGN_FINDERS
from jointmap.pages.asked import assessed, assessed_part, of_things
from jointmap.pages.findings_shown import (
    HEADING,
    ShownFindings,
    cells_of,
    rows_by_gravity,
    shown_findings,
    table_of,
)
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text import csv_text
from jointmap.plain_text.shown import Block
from jointmap.register import (
    Boundary,
    CurrentSource,
    Joint,
    ParallelPath,
    Record,
    Structure,
)
from jointmap.register.codes import Subject
from jointmap.register.dated import LATE_DAYS
from jointmap.reports.views import Finding
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.names.things_called import Called, not_called, things_called
from jointmap.snapshot.names.unknown_names import is_named
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.wording import say
from jointmap.workflows.late import late_shown
from jointmap.workflows.since import Since, since_shown

DESIGN, LATE = "design", "late"
ONLY = (DESIGN, LATE)
_NAMED_ONLY: tuple[type[Record], ...] = (Structure, CurrentSource)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked for: a tag or name, a kind, a day or fingerprint; none is all."""

    subject: str | None = None
    only: str | None = None
    since: str | None = None
    days: int | None = None
    form: str = "table"

    def __post_init__(self) -> None:
        """Raise ``WrongUse`` for options that say nothing of what is asked."""
        late = self.only == LATE
        wrong = {
            "--days": self.days is not None and not late,
            "SUBJECT": late and self.subject is not None,
            "--since": self.since is not None and (late or self.subject is not None),
        }
        told = [name for name, is_wrong in wrong.items() if is_wrong]
        if told:
            raise WrongUse(Problem("findings.options", {"names": ", ".join(told)}))


@dataclass(frozen=True, slots=True)
class Listed:
    """Findings, and the next step of each thing that was asked about."""

    findings: Sequence[Finding]
    next_steps: tuple[str, ...] = ()


def found_shown(
    site: SiteFolder, wanted: Wanted, *, on: dt.date, known: dt.date | None
) -> tuple[Sequence[Block] | str, int]:
    """Return the findings for a person, or as CSV, and how many there are.

    Raises
    ------
    WrongUse
        Nothing on record is called as asked, or no state is known by ``since``.
    """
    if wanted.only == LATE:
        days = LATE_DAYS if wanted.days is None else wanted.days
        return late_shown(site, days=days, known=known, form=wanted.form)
    finders = DESIGN_FINDERS if wanted.only == DESIGN else ALL_FINDERS
    if wanted.since is not None:
        asked = Since(wanted.since, finders, wanted.form)
        return since_shown(site, asked, on=on, known=known)
    listed = _listed(site, wanted.subject, finders, on=on, known=known)
    if wanted.form == "csv":
        return csv_text(HEADING, cells_of(listed.findings)), len(listed.findings)
    return shown_to_a_person(listed), len(listed.findings)


def shown_to_a_person(listed: Listed) -> list[Block]:
    """Return next steps, then findings, the gravest first; one sentence for none."""
    if not listed.findings:
        return [*listed.next_steps, say("check.nothing")]
    return [*listed.next_steps, table_of(rows_by_gravity(listed.findings))]


def _listed(
    site: SiteFolder,
    subject: str | None,
    finders: Sequence[Finder],
    *,
    on: dt.date,
    known: dt.date | None,
) -> Listed:
    called = None if subject is None else _called(site, subject, on, known)
    if subject is None or not called:
        with assessed(site, on, known) as (found, frame):
            every = _of_all(Showing(found, frame), finders).all
            return Listed(every if subject is None else _named(found, every, subject))
    with assessed_part(site, of_things(called), on, known) as (found, frame):
        return findings_of(Showing(found, frame), called, finders)


def _called(
    site: SiteFolder, subject: str, on: dt.date, known: dt.date | None
) -> Called:
    with snapshot_of(site.register, known) as state:
        return things_called(state.on_day(on), subject)


def findings_of(
    showing: Showing, called: Called, finders: Sequence[Finder] = ALL_FINDERS
) -> Listed:
    """Return what concerns the things called so, of a state judged before."""
    things = [
        *map(About.joint, called.joints),
        *map(About.boundary, called.boundaries),
        *(About.of(Subject.PATH.code, id_) for id_ in called.paths),
    ]
    steps = (showing.next_steps.of(Subject.at(t.subject), t.id) for t in things)
    found = _of_all(showing, finders).concerning(things)
    return Listed(found, tuple(dict.fromkeys(steps)))


def _of_all(showing: Showing, finders: Sequence[Finder]) -> ShownFindings:
    return shown_findings(showing, ShownTests(showing), finders)


def _named(
    found: Assessment, every: Sequence[Finding], subject: str
) -> Sequence[Finding]:
    """Return the findings about what has a name and no page, such as a structure.

    Raises ``WrongUse`` for a name that neither a finding nor anything on record has.
    """
    name = subject.strip()
    own = [f for f in every if f.subject.text.lower() == name.lower()]
    if not own and not is_named(found.state, name, _NAMED_ONLY):
        more = tuple(dict.fromkeys(f.subject.text for f in every))
        kinds = (Joint, Boundary, ParallelPath, *_NAMED_ONLY)
        raise not_called(found.state, name, kinds, more)
    return own
