"""One joint's whole life on one page."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import fields

from jointmap.acceptance import StudStates
from jointmap.findings.every_finding import ALL_FINDERS
from jointmap.findings.finder import Finder
from jointmap.findings.finding import About
from jointmap.findings.missing import missing_of
from jointmap.pages.asked import assessed_part, of_life
from jointmap.pages.decisions import decisions_about
from jointmap.pages.dossier.alterations_shown import altered_rows
from jointmap.pages.dossier.answer import answer_of, joint_named
from jointmap.pages.dossier.corrections import corrections_of
from jointmap.pages.dossier.place import NEIGHBOUR_METRE, location_map, place_view
from jointmap.pages.dossier.studs import stud_rows
from jointmap.pages.findings_shown import ShownFindings, shown_findings
from jointmap.pages.joint_sentences import joint_summary
from jointmap.pages.paths import path_rows
from jointmap.pages.shelf import Shelf
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text import own_markup
from jointmap.register import Device, Occurrence
from jointmap.register.codes import OccurrenceKind
from jointmap.reports import terminal
from jointmap.reports.every_report import REPORTS
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
    judge = of_life(tag, NEIGHBOUR_METRE)
    with assessed_part(site, judge, on, known) as (found, frame):
        return REPORTS["dossier"].make(one_dossier(Showing(found, frame), site, tag))


def dossier_text(
    site: SiteFolder,
    tag: str,
    *,
    on: dt.date,
    known: dt.date | None,
    width: int = terminal.WIDTH,
) -> str:
    """Return the dossier of one joint as short text as wide as asked."""
    judge = of_life(tag, NEIGHBOUR_METRE)
    with assessed_part(site, judge, on, known) as (found, frame):
        view = one_dossier(Showing(found, frame), site, tag)
        return terminal.dossier_text(view, width)


def one_dossier(
    showing: Showing,
    site: SiteFolder,
    tag: str,
    finders: Sequence[Finder] = ALL_FINDERS,
) -> Dossier:
    """Return the view of one joint of a site, or of a part of it that was read.

    Raises ``WrongUse`` for an unknown tag.
    """
    id_ = joint_named(showing, tag)
    files = Shelf(showing, site).of_joint(id_)
    return one_of(showing, ShownTests(showing, id_), id_, files, finders)


def one_of(
    showing: Showing,
    tests: ShownTests,
    id_: int,
    files: tuple[FileView, ...] = (),
    finders: Sequence[Finder] = ALL_FINDERS,
) -> Dossier:
    """Return the view of one joint with what ``finders`` find of it."""
    every = shown_findings(showing, ShownTests(showing), finders)
    return dossier_view(showing, tests, id_, every, files)


def dossier_view(
    showing: Showing,
    tests: ShownTests,
    id_: int,
    every: ShownFindings,
    files: tuple[FileView, ...],
) -> Dossier:
    """Return the view of one joint; ``every`` holds what was found."""
    joint, findings = showing.joints[id_], every.of(showing.joint_link(id_))
    boundary_tests = tests.of_boundary.get(joint.boundary_id, [])
    own = {*tests.of_joint.get(id_, []), *boundary_tests}
    answer = answer_of(showing, id_)
    return Dossier(
        **{field.name: getattr(answer, field.name) for field in fields(answer)},
        summary=joint_summary(showing, id_),
        place=place_view(showing, id_, findings),
        location_map=own_markup(location_map(showing, id_)),
        studs=stud_rows(showing, tests, id_),
        studs_sentence=studs_sentence(showing.assessed.studs, id_),
        tests=tests.rows(own),
        paths=path_rows(showing, joint.boundary_id),
        occurrences=tuple(_occurrences(showing, id_)),
        decisions=decisions_about(showing, showing.joint_names(id_)),
        corrections=corrections_of(showing, id_),
        altered=altered_rows(showing, id_),
        files=files,
        findings=tuple(every.told_of(About.joint(id_))),
        missing=tuple(map(say, missing_of(showing, tests, id_))),
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
    found = _occurrences_near(showing, id_)
    for record in sorted(found, key=lambda r: r.happened_on, reverse=True):
        if record.happened_on <= showing.assessed.on:
            yield OccurrenceRow(
                happened_on=record.happened_on,
                kind=str(record.kind),
                place=record.place,
                sentence=record.remark,
            )


def _occurrences_near(showing: Showing, id_: int) -> list[Occurrence]:
    joint, ground = showing.joints[id_], showing.assessed.ground
    named = {
        *showing.state.ids_of(Occurrence, "joint_id", id_),
        *showing.state.ids_of(Occurrence, "boundary_id", joint.boundary_id),
        *showing.state.ids_of(Occurrence, "area", joint.area),
        *_of_its_batches(showing, id_),
    }
    state, records = showing.state, showing.state.occurrences
    found = (records[n] for n in sorted(named))
    return [record for record in found if id_ in joints_near(state, record, ground)]


def _of_its_batches(showing: Showing, id_: int) -> Iterator[int]:
    """Yield the occurrences that name the batch of a device of a joint."""
    own = showing.state.records_of(Device, "joint_id", id_)
    batches = {device.batch.strip().lower() for _, device in own}
    kind = OccurrenceKind.BATCH_UNDER_SUSPICION
    for number, record in showing.state.records_of(Occurrence, "kind", kind):
        if record.place.strip().lower() in batches:
            yield number
