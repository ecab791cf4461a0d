"""The last AC reading of each joint, boundary, path and source: one ends no other."""

import datetime as dt

import pytest

from jointmap.findings.ac_read import ReadAc, last_ac
from jointmap.findings.finding import About
from jointmap.register.codes import Subject
from tests.opened_site import opened, shown

PATHS = """\
name,boundary,kind,state,fitted_on
P-1,B-1,support,apart,2020-01-05
P-2,B-1,support,apart,2020-01-05
"""
SOURCES = "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n"
HEAD = "scope,joint,boundary,path,source,tested_on,method,stage,outcome,ac_a,ac_b,"
HEAD += "ac_between\n"
SHIFT, LOOK, OUTPUT = (
    f"{method},routine,measured"
    for method in ("potential-shift", "look", "source-output")
)
ROWS = f"""\
joint,J-1,,,,2026-01-05,{SHIFT},3 V,,
joint,J-1,,,,2026-01-06,{SHIFT},1 V,2 V,
boundary,,B-1,,,2026-01-07,{SHIFT},,,20 V
parallel path,,,P-1,,2026-01-08,{LOOK},,,40 V
parallel path,,,P-2,,2026-01-09,{LOOK},,,4 V
source,,,,R1,2026-01-09,{OUTPUT},5 V,,
joint,J-2,,,,2026-01-05,{SHIFT},,,
"""


@pytest.mark.parametrize(
    ("about", "day", "volt"),
    [
        (About.joint(1), 6, 2.0),
        (About.boundary(1), 7, 20.0),
        (About.of(Subject.PATH.code, 1), 8, 40.0),
        (About.of(Subject.PATH.code, 2), 9, 4.0),
        (About.of(Subject.SOURCE.code, 1), 9, 5.0),
    ],
)
def test_the_largest_of_the_last_visit(tmp_path, about, day, volt):
    site = opened(
        tmp_path,
        {"paths.csv": PATHS, "sources.csv": SOURCES},
        {"tests.csv": HEAD + ROWS},
    )
    with shown(site) as showing:
        found = last_ac(showing)
    site.register.close()
    assert found[about] == ReadAc(dt.date(2026, 1, day), volt)
    assert len(found) == 5
