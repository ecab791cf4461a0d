"""Every finding of a site, shown or as CSV: of a kind, of one thing, or since a day."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from jointmap.errors import Problem, WrongUse
from jointmap.findings.every_finding import ALL_FINDERS
from jointmap.findings.finder import Finder
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
from jointmap.pages.showing import Showing, subject_link
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text import csv_text
from jointmap.plain_text.shown import Block
from jointmap.register.codes import Subject
from jointmap.register.dated import LATE_DAYS
from jointmap.reports.views import Finding
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.things_called import Called, things_called
from jointmap.wording import say
from jointmap.workflows.late import late_shown
from jointmap.workflows.since import Since, since_shown

DESIGN, LATE = "design", "late"
ONLY = (DESIGN, LATE)


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
    findings = _findings(site, wanted.subject, finders, on=on, known=known)
    if wanted.form == "csv":
        return csv_text(HEADING, cells_of(findings)), len(findings)
    return shown_to_a_person(findings), len(findings)


def shown_to_a_person(findings: Sequence[Finding]) -> list[Block]:
    """Return findings, the gravest first; one sentence for none."""
    if not findings:
        return [say("check.nothing")]
    return [table_of(rows_by_gravity(findings))]


def _findings(
    site: SiteFolder,
    subject: str | None,
    finders: Sequence[Finder],
    *,
    on: dt.date,
    known: dt.date | None,
) -> Sequence[Finding]:
    called = None if subject is None else _called(site, subject, on, known)
    if subject is None or not called:
        with assessed(site, on, known) as (found, frame):
            every = _of_all(Showing(found, frame), finders).all
        return every if subject is None else _called_only(every, subject)
    with assessed_part(site, of_things(called), on, known) as (found, frame):
        return findings_of(Showing(found, frame), called, finders)


def _called(
    site: SiteFolder, subject: str, on: dt.date, known: dt.date | None
) -> Called:
    with site.register.read(known) as state:
        return things_called(state.on_day(on), subject)


def findings_of(
    showing: Showing, called: Called, finders: Sequence[Finder] = ALL_FINDERS
) -> Sequence[Finding]:
    """Return the findings about what is called so, of a state judged before."""
    links = {
        *map(showing.joint_link, called.joints),
        *map(showing.boundary_link, called.boundaries),
        *(subject_link(showing, Subject.PATH.code, id_) for id_ in called.paths),
    }
    return [f for f in _of_all(showing, finders).all if f.subject in links]


def _of_all(showing: Showing, finders: Sequence[Finder]) -> ShownFindings:
    return shown_findings(showing, ShownTests(showing), finders)


def _called_only(findings: Sequence[Finding], subject: str) -> Sequence[Finding]:
    """Return the findings about what has a name and no page, such as a structure."""
    found = [f for f in findings if f.subject.text.lower() == subject.lower()]
    if not found:
        raise WrongUse(Problem("check.unknown", {"name": subject}, value=subject))
    return found
