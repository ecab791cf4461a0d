"""Every finding of a site, shown or as CSV: of a kind, of one thing, or since a day."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from jointmap.errors import Problem, WrongUse
from jointmap.findings.every_finding import ALL_FINDERS
from jointmap.findings.of_design import DESIGN_FINDERS
from jointmap.pages.asked import assessed
from jointmap.pages.findings_shown import rows_of, shown_findings, table_of
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text import csv_text
from jointmap.plain_text.shown import Block
from jointmap.register.dated import LATE_DAYS
from jointmap.reports.views import Finding
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say
from jointmap.workflows.late import late_shown
from jointmap.workflows.since import since_shown

HEADING = ("kind", "subject", "on", "because")
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
            "--format csv": self.since is not None and self.form == "csv",
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
        return since_shown(site, wanted.since, finders, on=on, known=known)
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
        findings = shown_findings(showing, ShownTests(showing), finders).all
        if wanted.subject is not None:
            findings = _about(showing, findings, wanted.subject)
    if wanted.form == "csv":
        rows = [(f.kind, f.subject.text, str(f.on or ""), f.sentence) for f in findings]
        return csv_text(HEADING, rows), len(findings)
    if not findings:
        return [say("check.nothing")], 0
    return [table_of(rows_of(findings))], len(findings)


def _about(
    showing: Showing, findings: Sequence[Finding], subject: str
) -> tuple[Finding, ...]:
    found = tuple(f for f in findings if f.subject.text.lower() == subject.lower())
    named = {j.tag.lower() for j in showing.joints.values()}
    named |= {b.name.lower() for b in showing.boundaries.values()}
    if not found and subject.lower() not in named:
        raise WrongUse(Problem("check.unknown", {"name": subject}, value=subject))
    return found
