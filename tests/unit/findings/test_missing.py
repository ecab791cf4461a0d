"""What is still missing of a joint's record, one by one."""

import pytest

from jointmap.assessment.recorded_tests import RecordedTests
from jointmap.findings.missing import missing_of
from tests.opened_site import opened, shown

LINE = (
    '{"features": [{"properties": {"name": "L"}, "geometry": {"type":'
    ' "LineString", "coordinates": [[-41.8, 31.4], [-42.0, 31.4]]}}]}'
)
CHAINAGES = """line,measuring,measured_on,post,latitude,longitude
L,2020,2020-01-01,0 km,31.4,-41.8
L,2020,2020-01-01,19 km,31.4,-42.0
"""


@pytest.mark.parametrize(
    ("head", "cells", "is_missing"),
    [
        (",line", ",L", True),
        (",line,post,post_measuring", ",L,9.5 km,2020", False),
        ("", "", False),
    ],
)
def test_a_joint_on_a_line_has_a_kilometre_post(tmp_path, head, cells, is_missing):
    more = f"tag,boundary,area,state,latitude,longitude{head}\n"
    more += f"J-5,B-1,East,planned,31.4,-41.9{cells}\n"
    sheets = {"lines.geojson": LINE, "chainages.csv": CHAINAGES, "joints.csv": more}
    site = opened(tmp_path, sheets)
    with shown(site) as showing:
        tests = RecordedTests(showing)
        found = missing_of(showing, tests, showing.state.joint_ids["J-5"])
    site.register.close()
    assert ("missing.post" in found) == is_missing


@pytest.mark.parametrize("purpose", ["not stated", "sectioning"])
def test_a_boundary_has_a_purpose(tmp_path, purpose):
    sheets = {
        "structures.csv": "name,kind,is_protected\nS2,pipeline section,yes\n",
        "boundaries.csv": "name,structure_a,structure_b,purpose\n"
        f"B-2,S1,S2,{purpose}\n",
        "joints.csv": "tag,boundary,area,state\nJ-5,B-2,East,planned\n",
    }
    site = opened(tmp_path, sheets)
    with shown(site) as showing:
        found = missing_of(
            showing, RecordedTests(showing), showing.state.joint_ids["J-5"]
        )
    site.register.close()
    assert ("missing.purpose" in found) == (purpose == "not stated")
