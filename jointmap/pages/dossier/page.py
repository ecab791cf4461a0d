"""One joint's whole life on one page."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import fields

from jointmap.acceptance import StudStates
from jointmap.pages.asked import assessed
from jointmap.pages.decisions import decisions_about
from jointmap.pages.dossier.corrections import corrections_of
from jointmap.pages.dossier.place import location_map, place_view
from jointmap.pages.dossier.studs import stud_rows
from jointmap.pages.dossier.why import joint_named, why_view
from jointmap.pages.findings.every_finding import all_findings
from jointmap.pages.findings.missing import missing_of
from jointmap.pages.joint_sentences import joint_summary
from jointmap.pages.paths import path_rows
from jointmap.pages.shelf import Shelf
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text import own_markup
from jointmap.register import (
    Occurrence,
)
from jointmap.reports import REPORTS
from jointmap.reports.views import Finding
from jointmap.reports.views_dossier import (
    Dossier,
    OccurrenceRow,
)
from jointmap.reports.views_files import FileView
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.occurrences import joints_near
from jointmap.wording import say


def dossier_html(
    site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None
) -> str:
    """Return the dossier of one joint as an HTML page."""
    return REPORTS["dossier"].make(one_dossier(site, tag, on, known))


def dossier_text(
    site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None
) -> str:
    """Return the dossier of one joint as short text."""
    return REPORTS["dossier-text"].make(one_dossier(site, tag, on, known))


def one_dossier(
    site: SiteFolder,
    tag: str,
    on: dt.date,
    known: dt.date | None,
) -> Dossier:
    """Return the view of one joint; raises ``WrongUse`` for an unknown tag."""
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
        id_ = joint_named(showing, tag)
        link = showing.joint_link(id_)
        seen = all_findings(showing, ShownTests(showing))
        findings = [f for f in seen if f.subject == link]
        tests, shelf = ShownTests(showing, id_), Shelf(showing, site)
        return dossier_view(showing, tests, id_, findings, shelf.of_joint(id_))


def dossier_view(
    showing: Showing,
    tests: ShownTests,
    id_: int,
    findings: list[Finding],
    files: tuple[FileView, ...],
) -> Dossier:
    """Return the view of one joint."""
    joint = showing.joints[id_]
    missed = tuple(f.sentence for f in findings if f.kind == "missed_year")
    why = why_view(showing, tests, id_, missed)
    return Dossier(
        **{field.name: getattr(why, field.name) for field in fields(why)},
        summary=joint_summary(showing, id_),
        place=place_view(showing, id_, findings),
        location_map=own_markup(location_map(showing, id_)),
        studs=stud_rows(showing, tests, id_),
        studs_sentence=studs_sentence(showing.assessed.studs, id_),
        paths=path_rows(showing, joint.boundary_id),
        occurrences=tuple(_occurrences(showing, id_)),
        decisions=decisions_about(showing, (joint.tag,)),
        corrections=corrections_of(showing, id_),
        files=files,
        findings=tuple(f.sentence for f in findings),
        missing=missing_of(showing, tests, id_),
    )


def studs_sentence(studs: StudStates, joint_id: int) -> str:
    """Return how many studs isolate on how many sides; blank without stud readings."""
    own = studs.joint_id == joint_id
    if not own.any():
        return ""
    left, possible = studs.sides_left[own], studs.sides_possible[own]
    whole = int(((left == possible) & (left >= 0)).sum())
    facts = {"whole": whole, "count": int(own.sum()), "open": int((left < 0).sum())}
    return say("stud.summary", facts)


def _occurrences(showing: Showing, id_: int) -> Iterator[OccurrenceRow]:
    ground = showing.assessed.ground
    found = showing.assessed.state.records(Occurrence).values()
    for record in sorted(found, key=lambda r: r.happened_on, reverse=True):
        if record.happened_on <= showing.assessed.on and id_ in joints_near(
            record, ground
        ):
            yield OccurrenceRow(
                happened_on=record.happened_on,
                kind=str(record.kind),
                place=record.place,
                sentence=record.remark,
            )
