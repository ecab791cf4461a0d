"""A current source that feeds several structures: sheet, tests, groups, currents."""

import datetime as dt

import pytest

from jointmap.acceptance import REASONS
from jointmap.findings.of_boundaries import floating_structures
from jointmap.pages.boundary.page import boundary_named, boundary_view
from jointmap.pages.current_views import current_rows
from jointmap.pages.shown_tests import ShownTests
from jointmap.wording import say
from jointmap.workflows.what_if_shorted import what_if_text
from tests.opened_site import FIRST, ON, findings, opened, sent, shown

STRUCTURES = """name,kind,is_protected,design_current
S2,pipeline section,yes,2 A
S3,pipeline section,yes,1 A
Arm,plant piping,no,
"""
SOURCES = "name,structure,kind,can_be_interrupted,also_feeds\n"
R1 = SOURCES + "R1,S2,rectifier,yes,S3; Arm\n"
READ = "scope,source,tested_on,method,stage,outcome,test_current\n"
READ += "source,R1,2026-01-20,source-output,routine,measured,5 A\n"
BOUNDARIES = "name,structure_a,structure_b,purpose\nB-2,S2,S3,sectioning\n"
BOUNDARIES += "B-3,S1,S2,sectioning\n"


def site_with(folder, sources=R1, **more):
    sheets = {f"{name}.csv": text for name, text in more.items()}
    return opened(
        folder,
        {
            "structures.csv": STRUCTURES,
            "sources.csv": sources,
            "boundaries.csv": BOUNDARIES,
            **sheets,
        },
    )


@pytest.mark.parametrize(
    ("also", "says"),
    [
        ("S3; S9", "no structure of this name"),
        ("S2", "this structure is named already"),
        ("S3;S3", "this structure is named already"),
    ],
)
def test_a_structure_that_is_none_or_named_twice_is_refused(tmp_path, also, says):
    site = opened(tmp_path, {"structures.csv": STRUCTURES})
    sheets = {"sources.csv": f"{SOURCES}R1,S2,rectifier,yes,{also}\n"}
    report = sent(site, sheets, FIRST + dt.timedelta(days=60))
    site.register.close()
    assert [p.column for p in report.refused] == ["also_feeds"]
    assert says in say(report.refused[0].id, report.refused[0].values)


def test_every_structure_it_feeds_names_it(tmp_path):
    site = site_with(tmp_path)
    with shown(site) as showing:
        id_ = boundary_named(showing, "B-2")
        # Fed, so it does not float; and both sides are fed, not merged.
        names = [showing.structure(s) for s in floating_structures(showing)]
        view = boundary_view(showing, ShownTests(showing), id_, [])
    assert "Arm" not in names
    assert view.merged == ()
    told = [s for k, at, s in findings(site) if (k, at) == ("design_one_source", "B-2")]
    assert "R1 feeds both sides: its own cables join them" in told[0]
    site.register.close()


def test_what_if_a_joint_shorts_names_the_source_of_each(tmp_path):
    joints = "tag,boundary,area,state\nJ-9,B-2,East,in duty\n"
    site = site_with(tmp_path, joints=joints)
    told = what_if_text(site, "J-9", on=ON, known=None)
    site.register.close()
    assert [line for line in told.splitlines() if "S3" in line and "R1" in line]
    assert [line for line in told.splitlines() if "S2" in line and "R1" in line]


def test_structures_that_share_a_source_are_held_against_their_designs_together(
    tmp_path,
):
    only = R1.replace("; Arm", "")
    site = site_with(tmp_path, only, tests=READ)
    with shown(site) as showing:
        ids = [s for s in showing.drawn if showing.structure(s) in ("S2", "S3")]
        rows = current_rows(showing, ids)
    said = [(r.structure, r.design, r.measured) for r in rows]
    assert said == [("S2 + S3", "3 A", "5 A")]
    over = [s for k, at, s in findings(site) if k == "section_current"]
    site.register.close()
    assert len(over) == 1
    assert "2 A is not accounted for" in over[0]


def test_the_newest_reading_of_a_source_counts_whenever_it_came_in(tmp_path):
    older = "source,R1,2026-01-10,source-output,routine,measured,3 A\n"
    site = site_with(tmp_path, R1.replace("; Arm", ""), tests=READ + older)
    with shown(site) as showing:
        ids = [s for s in showing.drawn if showing.structure(s) in ("S2", "S3")]
        measured = [row.measured for row in current_rows(showing, ids)]
    site.register.close()
    assert measured == ["5 A"]


def test_without_every_design_current_nothing_is_compared(tmp_path):
    site = site_with(tmp_path, tests=READ)
    with shown(site) as showing:
        assert dict(showing.drawn) == {}
    site.register.close()


SHIFT = "scope,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
SHIFT += "interrupted_side,sources_cycling,sources_steady,cycles\n"


@pytest.mark.parametrize(
    ("boundary", "side", "cycling", "steady", "reason"),
    [
        # R1 feeds both sides of B-2: it cycles on both, and nothing is told.
        ("B-2", "A", "R1", "", "both_sides_cycling"),
        # Of B-3 it feeds the far side only: steady, if that is written down.
        ("B-3", "A", "R2", "R1", "shift_isolating"),
        ("B-3", "A", "R2", "", "sources_not_named"),
    ],
)
def test_a_source_of_several_structures_cycles_on_all_of_them(
    tmp_path, boundary, side, cycling, steady, reason
):
    row = f"boundary,{boundary},2025-11-01,potential-shift,routine,measured,-1.2 V,"
    row += f"-0.9 V,-0.6 V,-0.6 V,{side},{cycling},{steady},5\n"
    site = site_with(tmp_path, R1 + "R2,S1,rectifier,yes,\n", tests=SHIFT + row)
    with shown(site) as showing:
        found = showing.assessed
        own = found.tests.boundary_id == boundary_named(showing, boundary)
        told = [REASONS[r] for r in found.judgements.reason[own]]
    site.register.close()
    assert told == [f"verdict.{reason}"]
