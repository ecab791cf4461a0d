"""One joint's whole life on one page."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace

from jointmap.acceptance import StudStates
from jointmap.findings.every_finding import ALL_FINDERS
from jointmap.findings.finder import Finder
from jointmap.findings.missing import missing_of
from jointmap.pages.asked import assessed
from jointmap.pages.clock_views import joint_clocks
from jointmap.pages.decisions import decisions_about
from jointmap.pages.dossier.corrections import corrections_of
from jointmap.pages.dossier.fitting import fact_names, installation_view
from jointmap.pages.dossier.place import location_map, place_view
from jointmap.pages.dossier.studs import stud_rows
from jointmap.pages.due.steps import due_view
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.joint_sentences import joint_summary
from jointmap.pages.paths import path_rows
from jointmap.pages.shelf import Shelf
from jointmap.pages.showing import GLYPH_PX, Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.pages.shown_values import facts_of
from jointmap.plain_text import own_markup
from jointmap.register import (
    Device,
    Installation,
    Occurrence,
)
from jointmap.register.codes import Subject
from jointmap.reports import REPORTS
from jointmap.reports.views import Finding, Frame
from jointmap.reports.views_dossier import (
    DeviceView,
    Dossier,
    OccurrenceRow,
)
from jointmap.reports.views_files import FileView
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.joint_names import joint_called
from jointmap.snapshot.occurrences import joints_near
from jointmap.wording import say


def dossier_html(
    site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None
) -> str:
    """Return the dossier of one joint as an HTML page."""
    with assessed(site, on, known) as (found, frame):
        return REPORTS["dossier"].make(one_dossier(Showing(found, frame), site, tag))


def dossier_text(
    site: SiteFolder, tag: str, *, on: dt.date, known: dt.date | None
) -> str:
    """Return the dossier of one joint as short text."""
    with assessed(site, on, known) as (found, frame):
        view = one_dossier(Showing(found, frame), site, tag)
        return REPORTS["dossier-text"].make(view)


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
    every = shown_findings(showing, ShownTests(showing), finders)
    findings = every.of(showing.joint_link(id_))
    tests, shelf = ShownTests(showing, id_), Shelf(showing, site)
    return dossier_view(showing, tests, id_, findings, shelf.of_joint(id_))


def joint_named(showing: Showing, tag: str) -> int:
    """Return the joint of a tag or an older name, whatever its letters' case."""
    tags = {id_: joint.tag for id_, joint in showing.joints.items()}
    older = ((a.name, id_) for id_, own in showing.aliases.items() for a in own)
    return joint_called(tag, tags, older)


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
    boundary_tests = tests.of_boundary.get(joint.boundary_id, [])
    own = {*tests.of_joint.get(id_, []), *boundary_tests}
    return Dossier(
        frame=_frame(showing.frame),
        tag=joint.tag,
        summary=joint_summary(showing, id_),
        verdict=showing.joint_sign(id_, GLYPH_PX),
        place=place_view(showing, id_, findings),
        due=due_view(showing, Subject.JOINT, id_, missed),
        clocks=joint_clocks(showing, id_),
        location_map=own_markup(location_map(showing, id_)),
        devices=tuple(_devices(showing, id_)),
        studs=stud_rows(showing, tests, id_),
        studs_sentence=studs_sentence(showing.assessed.studs, id_),
        tests=tests.rows(own),
        paths=path_rows(showing, joint.boundary_id),
        occurrences=tuple(_occurrences(showing, id_)),
        decisions=decisions_about(showing, joint.tag),
        corrections=corrections_of(showing, id_),
        files=files,
        findings=tuple(f.sentence for f in findings),
        missing=tuple(map(say, missing_of(showing, tests, id_))),
    )


def _frame(frame: Frame) -> Frame:
    return replace(frame, up="../", trail=())


def _devices(showing: Showing, joint_id: int) -> Iterator[DeviceView]:
    own = showing.records_of(Device, "joint_id", joint_id)
    ground = showing.assessed.ground
    fitted = int(ground.joints.device_id[showing.joint_rows[joint_id]])
    for id_, device in sorted(own, key=lambda p: p[1].fitted_on, reverse=True):
        papers = [i for _, i in showing.records_of(Installation, "device_id", id_)]
        yield DeviceView(
            kind=str(device.kind),
            fitted_on=device.fitted_on,
            removed_on=device.removed_on,
            is_fitted=id_ == fitted,
            serial=device.serial,
            layout=str(device.layout),
            facts=facts_of(device, fact_names(Device)),
            installation=installation_view(
                showing, device, papers[-1] if papers else None
            ),
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
        *showing.ids_of(Occurrence, "joint_id", id_),
        *showing.ids_of(Occurrence, "boundary_id", joint.boundary_id),
        *showing.ids_of(Occurrence, "area", joint.area),
    }
    records = showing.assessed.state.records(Occurrence)
    found = (records[n] for n in sorted(named))
    return [record for record in found if id_ in joints_near(record, ground)]
