"""Gaps and contradictions of a site: every finding, per joint or per kind."""

import datetime as dt
from collections.abc import Iterator

from jointmap.errors import Problem, WrongUse
from jointmap.findings.every_finding import ALL_FINDERS
from jointmap.findings.of_design import DESIGN_FINDERS
from jointmap.pages.asked import assessed
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text import lines_text
from jointmap.reports.finding_groups import by_kind
from jointmap.reports.views import Finding
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say
from jointmap.wording.labels import FINDINGS


def check_text(
    site: SiteFolder,
    subject: str | None,
    *,
    design_only: bool,
    on: dt.date,
    known: dt.date | None,
) -> tuple[str, int]:
    """Return the findings as text, and how many there are.

    Parameters
    ----------
    subject
        A joint's tag, a boundary's name or whatever else findings are about; none is
        all, kind after kind.
    design_only
        Only what the design check finds.

    Raises
    ------
    WrongUse
        Nothing on record is called so.
    """
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
        finders = DESIGN_FINDERS if design_only else ALL_FINDERS
        findings = shown_findings(showing, ShownTests(showing), finders).all
        if subject is not None:
            findings = _about(showing, findings, subject)
    return lines_text(_lines(findings)), len(findings)


def _about(
    showing: Showing, findings: tuple[Finding, ...], subject: str
) -> tuple[Finding, ...]:
    found = tuple(f for f in findings if f.subject.text.lower() == subject.lower())
    named = {j.tag.lower() for j in showing.joints.values()}
    named |= {b.name.lower() for b in showing.boundaries.values()}
    if not found and subject.lower() not in named:
        raise WrongUse(Problem("check.unknown", {"name": subject}, value=subject))
    return found


def _lines(findings: tuple[Finding, ...]) -> Iterator[str]:
    for kind, several in by_kind(findings):
        yield f"{FINDINGS[kind]}: {len(several)}"
        yield from (f"  {f.subject.text}: {f.sentence}" for f in several)
    if not findings:
        yield say("check.nothing")
