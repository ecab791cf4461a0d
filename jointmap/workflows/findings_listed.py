"""Every finding of a site as text or CSV: of a kind, of one thing, or since a day."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jointmap.errors import Problem, WrongUse
from jointmap.findings.every_finding import ALL_FINDERS
from jointmap.findings.of_design import DESIGN_FINDERS
from jointmap.pages.asked import assessed
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text import csv_text, lines_text
from jointmap.register.dated import LATE_DAYS
from jointmap.reports.finding_groups import by_gravity
from jointmap.reports.views import Finding
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say
from jointmap.workflows.late import late_text
from jointmap.workflows.since import since_text

HEADING = ("gravity", "kind", "subject", "on", "because", "next_step", "source")
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


def found_text(
    site: SiteFolder, wanted: Wanted, *, on: dt.date, known: dt.date | None
) -> tuple[str, int]:
    """Return the findings as text, and how many there are.

    Raises
    ------
    WrongUse
        Nothing on record is called as asked, or no state is known by ``since``.
    """
    if wanted.only == LATE:
        days = LATE_DAYS if wanted.days is None else wanted.days
        return late_text(site, days=days, known=known, form=wanted.form)
    finders = DESIGN_FINDERS if wanted.only == DESIGN else ALL_FINDERS
    if wanted.since is not None:
        return since_text(site, wanted.since, finders, on=on, known=known)
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
        findings = shown_findings(showing, ShownTests(showing), finders).all
        if wanted.subject is not None:
            findings = _about(showing, findings, wanted.subject)
    if wanted.form == "csv":
        return csv_text(HEADING, _rows(findings)), len(findings)
    return lines_text(lines_of(findings)), len(findings)


def _about(
    showing: Showing, findings: Sequence[Finding], subject: str
) -> tuple[Finding, ...]:
    found = tuple(f for f in findings if f.subject.text.lower() == subject.lower())
    named = {j.tag.lower() for j in showing.joints.values()}
    named |= {b.name.lower() for b in showing.boundaries.values()}
    if not found and subject.lower() not in named:
        raise WrongUse(Problem("check.unknown", {"name": subject}, value=subject))
    return found


def _rows(findings: Sequence[Finding]) -> Iterator[tuple[str, ...]]:
    for gravity, several in by_gravity(findings):
        word = say(f"gravity.{gravity}")
        for f in several:
            on = str(f.on or "")
            yield word, f.kind, f.subject.text, on, f.sentence, f.next_step, f.source


def lines_of(findings: Sequence[Finding]) -> Iterator[str]:
    """Yield findings, the gravest first, by subject; one sentence for none."""
    for gravity, several in by_gravity(findings):
        facts = {"gravity": say(f"gravity.{gravity}"), "count": len(several)}
        yield say("findings.of_gravity", facts)
        for f in several:
            yield f"  {f.subject.text}: {f.sentence}"
            yield f"    {say('findings.next', {'step': f.next_step})}"
    if not findings:
        yield say("check.nothing")
