"""Electrical boundaries: state, suspects, parallel paths, what is merged."""

import datetime as dt
import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from jointmap.assessment.merged import merged_with, merges_if_shorted
from jointmap.assessment.ranking import KINDS, Ranked
from jointmap.assessment.site_on_day import day_of
from jointmap.findings.finding import About
from jointmap.pages.asked import assessed, assessed_part, of_boundary
from jointmap.pages.boundary.as_text import boundary_lines
from jointmap.pages.boundary.basis import no_test, rests_on
from jointmap.pages.boundary.structures_drawn import drawing_around, site_drawing
from jointmap.pages.boundary_sentences import (
    boundary_row,
    boundary_sign,
    boundary_statement,
    first_bad_on,
    joined_sentence,
    none_suspected,
)
from jointmap.pages.clock_views import clock_rows
from jointmap.pages.current_views import current_rows
from jointmap.pages.decisions import decisions_about
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.next_checks import next_checks, subject_of
from jointmap.pages.paths import path_rows
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text.shown import Block, Column, Table
from jointmap.register import Boundary, Joint, ParallelPath
from jointmap.register.codes import Subject, Verdict
from jointmap.reports import terminal
from jointmap.reports.views import Link
from jointmap.reports.views_boundary import (
    BoundariesView,
    BoundaryJointRow,
    BoundaryLine,
    BoundaryView,
    MergedRow,
    SuspectRow,
)
from jointmap.sections import (
    SUSPECT_REASONS,
)
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.feeds import sources_of
from jointmap.snapshot.names.things_called import boundary_asked
from jointmap.wording import say
from jointmap.wording.quantities import show

# Worst first, as a person wants to read them.
_ORDER = [Verdict.SHORTED, Verdict.DOUBTFUL, Verdict.INCONCLUSIVE, Verdict.NOT_TESTED,
          Verdict.ISOLATING]  # fmt: skip

# A rounded chance must not read as certain either way.
_NEAR = (("checks.hardly", 0.001), ("checks.chance", 0.999))


def boundary_told(showing: Showing, id_: int, width: int = terminal.WIDTH) -> str:
    """Return what is told of a boundary of a state that was judged before."""
    tests = ShownTests(showing)
    findings = shown_findings(showing, tests).told_of(About.boundary(id_))
    return boundary_lines(boundary_view(showing, tests, id_, findings), width)


def boundary_text(
    site: SiteFolder,
    name: str,
    *,
    on: dt.date,
    known: dt.date | None,
    width: int = terminal.WIDTH,
) -> str:
    """Return one boundary as text as wide as asked."""
    with assessed_part(site, of_boundary(name), on, known) as (found, frame):
        showing = Showing(found, frame)
        return boundary_told(showing, boundary_named(showing, name), width)


def boundary_table(
    site: SiteFolder, *, on: dt.date, known: dt.date | None
) -> list[Block]:
    """Return a table of all boundaries for a person at a terminal."""
    with assessed(site, on, known) as (found, frame):
        rows = boundaries_view(Showing(found, frame)).rows
    columns = Column(say("terminal.boundary"), 18), Column(say("terminal.statement"))
    return [Table.of(columns, ((r.name.text, r.said) for r in rows))]


def boundary_named(showing: Showing, name: str) -> int:
    """Return a boundary's id by its name, or refuse an unknown one."""
    return boundary_asked(showing.state, name)


def boundary_view(
    showing: Showing, tests: ShownTests, id_: int, findings: list[str]
) -> BoundaryView:
    """Return the page of one boundary."""
    boundary = showing.boundaries[id_]
    states, row = showing.assessed.boundaries, boundary_row(showing, id_)
    merged = merged_with(showing, id_)
    names = ", ".join(_structure_names(showing, merged))
    own = {*tests.of_boundary.get(id_, [])}
    for joint in _joints_of(showing, id_):
        own |= {*tests.of_joint.get(joint, [])}
    return BoundaryView(
        frame=replace(showing.frame, up="../"),
        name=boundary.name,
        state=boundary_sign(showing, id_),
        statement=boundary_statement(showing, id_),
        purpose=str(boundary.purpose),
        structure_a=showing.structure(boundary.structure_a_id),
        structure_b=showing.structure(boundary.structure_b_id),
        last_good_on=day_of(states.last_good_on[row]),
        first_bad_on=first_bad_on(showing, id_),
        joined_on_purpose=joined_sentence(showing, id_),
        none_suspected=none_suspected(showing, id_),
        suspects=tuple(_suspects(showing, showing.ranked, id_)),
        left_over=tuple(_left_over(showing.ranked, id_)),
        next_checks=next_checks(showing, showing.ranked, id_),
        clocks=clock_rows(showing, Subject.BOUNDARY, id_),
        currents=current_rows(showing, _sides(boundary, merged)),
        joints=tuple(_joint_row(showing, j) for j in _joints_of(showing, id_)),
        paths=path_rows(showing, id_),
        merged=tuple(_merged_row(showing, s) for s in merged),
        merged_sentence=say("boundary.merged", {"names": names}) if merged else "",
        if_shorted="" if merged else _if_shorted(showing, id_),
        tests=tests.rows(own),
        rests_on=tuple(rests_on(showing, tests, id_)),
        no_test=no_test(showing, id_),
        next_step=showing.next_steps.of(Subject.BOUNDARY, id_),
        decisions=decisions_about(showing, showing.boundary_names[id_]),
        findings=tuple(findings),
        diagram=drawing_around(showing, id_),
        statement_page=statement_link(showing, id_),
    )


def _sides(boundary: Boundary, merged: list[int]) -> list[int]:
    return merged or [boundary.structure_a_id, boundary.structure_b_id]


def statement_link(showing: Showing, id_: int) -> Link:
    """Return the link to a boundary's statement on one page."""
    page = showing.boundary_link(id_).href
    return Link(
        say("boundary.statement_page"), page.replace(".html", "-statement.html")
    )


def _if_shorted(showing: Showing, id_: int) -> str:
    names = ", ".join(_structure_names(showing, merges_if_shorted(showing, id_)))
    return say("what_if_shorted.if_this", {"names": names})


def _joints_of(showing: Showing, id_: int) -> list[int]:
    return showing.state.ids_of(Joint, "boundary_id", id_)


def _structure_names(showing: Showing, ids: list[int]) -> list[str]:
    return [showing.structure(i) for i in ids]


def _suspects(showing: Showing, found: Ranked, id_: int) -> Iterator[SuspectRow]:
    """Yield the suspects of a boundary, the likeliest first."""
    who, chance = showing.assessed.suspects, found.ranking.suspect
    rows = (who.boundary_id == id_).nonzero()[0]
    order = rows[
        np.lexsort((who.ruled_out[rows], -np.nan_to_num(chance[rows], nan=-1)))
    ]
    for row in order.tolist():
        reason = say(SUSPECT_REASONS[int(who.reason[row])], {})
        against, new_on = bool(who.ruled_out[row]), day_of(found.new_on[row])
        new = (say("suspect.new", {"day": new_on}),) if new_on else ()
        yield SuspectRow(
            subject=subject_of(showing, row),
            kind=KINDS[found.kind[row]] if who.path_id[row] else "joint",
            chance=_chance(showing, row, float(chance[row])),
            speaks_for=new if against else (*new, reason),
            speaks_against=(reason,) if against else (),
        )


def _chance(showing: Showing, row: int, chance: float) -> str:
    if math.isnan(chance):
        through = int(showing.assessed.suspects.through_boundary_id[row])
        values = {"boundary": showing.boundaries[through].name}
        return say("checks.on_other_boundary", values)
    near = next((id_ for id_, most in _NEAR if chance < most), "checks.surely")
    return say(near, {"chance": chance})


def _left_over(found: Ranked, id_: int) -> Iterator[str]:
    """Yield what is left beside the suspects, so that all sums to one."""
    left = found.ranking.boundary
    for row in (left.boundary_id == id_).nonzero()[0].tolist():
        none, way_round = float(left.none_of_these[row]), float(left.way_round[row])
        yield say("checks.left_none", {"chance": none})
        if math.isnan(way_round):
            yield say("checks.left_not_reckoned")
        elif way_round > 0:
            yield say("checks.left_way_round", {"chance": way_round})


def _joint_row(showing: Showing, id_: int) -> BoundaryJointRow:
    found = showing.assessed
    row = showing.joint_rows[id_]
    item = showing.item_rows.get((Subject.JOINT.code, id_))
    return BoundaryJointRow(
        tag=showing.joint_link(id_),
        state=str(showing.joints[id_].state),
        verdict=showing.joint_sign(id_),
        group=str(int(found.groups[row])),
        last_test_on=day_of(found.items.last_on[item]) if item is not None else None,
        last_allowed_on=(
            day_of(found.items.last_allowed_on[item]) if item is not None else None
        ),
        due_state=showing.due_sign(Subject.JOINT, id_),
    )


def _merged_row(showing: Showing, structure_id: int) -> MergedRow:
    state = showing.state
    structure = state.structures[structure_id]
    area = structure.area_square_metre
    sources = sources_of(state, showing.fed, structure_id).values()
    return MergedRow(
        structure=structure.name,
        kind=str(structure.kind),
        area=show(area, "square_metre") if area is not None else "",
        sources=tuple(source.name for source in sources),
    )


def boundaries_view(showing: Showing) -> BoundariesView:
    """Return the list of all boundaries, worst first."""
    lines = [_line(showing, id_) for id_ in showing.boundaries]
    # What is joined on purpose stands with what is not decided.
    words = [str(v) for v in _ORDER]
    words.insert(words.index(str(Verdict.NOT_TESTED)), say("boundary.joined_word"))
    lines.sort(key=lambda line: (words.index(line.state.word), line.name.text))
    return BoundariesView(
        frame=replace(showing.frame, up="../"),
        rows=tuple(lines),
        diagram=site_drawing(showing),
    )


def _line(showing: Showing, id_: int) -> BoundaryLine:
    boundary = showing.boundaries[id_]
    states, row = showing.assessed.boundaries, boundary_row(showing, id_)
    return BoundaryLine(
        name=showing.boundary_link(id_),
        state=boundary_sign(showing, id_),
        structure_a=showing.structure(boundary.structure_a_id),
        structure_b=showing.structure(boundary.structure_b_id),
        purpose=str(boundary.purpose),
        statement=boundary_statement(showing, id_),
        joints=len(_joints_of(showing, id_)),
        paths=len(showing.state.ids_of(ParallelPath, "boundary_id", id_)),
        suspects=int(states.suspects[row]),
        last_good_on=day_of(states.last_good_on[row]),
        first_bad_on=first_bad_on(showing, id_),
    )
