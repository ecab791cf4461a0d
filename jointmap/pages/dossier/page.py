"""One joint's whole life on one page."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace

from jointmap.acceptance import StudStates
from jointmap.pages.asked import assessed
from jointmap.pages.clock_views import joint_clocks
from jointmap.pages.decisions import decisions_about
from jointmap.pages.dossier.corrections import corrections_of
from jointmap.pages.dossier.fitting import fact_names, installation_view
from jointmap.pages.dossier.place import location_map, place_view
from jointmap.pages.dossier.studs import stud_rows
from jointmap.pages.due.steps import due_view
from jointmap.pages.findings.every_finding import ALL_FINDERS, all_findings
from jointmap.pages.findings.finder import Finder
from jointmap.pages.findings.missing import missing_of
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
    finders: Sequence[Finder] = ALL_FINDERS,
) -> Dossier:
    """Return the view of one joint; raises ``WrongUse`` for an unknown tag."""
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
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
    seen = all_findings(showing, ShownTests(showing), finders)
    findings = [f for f in seen if f.subject == showing.joint_link(id_)]
    return dossier_view(showing, tests, id_, findings, files)


def joint_named(showing: Showing, tag: str) -> int:
    """Return the joint of a tag or an older name, whatever its letters' case."""
    aliases = (alias for own in showing.aliases.values() for alias in own)
    return joint_called(tag, showing.joints, aliases)


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
        decisions=decisions_about(showing, (joint.tag,)),
        corrections=corrections_of(showing, id_),
        files=files,
        findings=tuple(f.sentence for f in findings),
        missing=missing_of(showing, tests, id_),
    )


def _frame(frame: Frame) -> Frame:
    return replace(frame, up="../", trail=())


def _devices(showing: Showing, joint_id: int) -> Iterator[DeviceView]:
    state = showing.assessed.state
    ground = showing.assessed.ground
    papers = {i.device_id: i for i in state.records(Installation).values()}
    own = [(i, d) for i, d in state.records(Device).items() if d.joint_id == joint_id]
    fitted = int(ground.joints.device_id[showing.joint_rows[joint_id]])
    for id_, device in sorted(own, key=lambda p: p[1].fitted_on, reverse=True):
        yield DeviceView(
            kind=str(device.kind),
            fitted_on=device.fitted_on,
            removed_on=device.removed_on,
            is_fitted=id_ == fitted,
            serial=device.serial,
            layout=str(device.layout),
            facts=facts_of(device, fact_names(Device)),
            installation=installation_view(showing, device, papers.get(id_)),
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
