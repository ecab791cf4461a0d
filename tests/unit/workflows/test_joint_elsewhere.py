"""A joint and the boundary named beside it belong together."""

import pytest

from jointmap.changes.change import Change
from jointmap.changes.revise import revise
from jointmap.errors import Refused
from jointmap.wording.problems import line_of
from tests.opened_site import FIRST, opened, sent
from tests.storage.samples import DAY

NOW = FIRST + 60 * DAY
MORE = {
    "structures.csv": "name,kind,is_protected\nS2,pipeline section,yes\n",
    "boundaries.csv": "name,structure_a,structure_b,purpose\n"
    "B-2,S1,S2,protection\nB-3,Plant,S1,protection\n",
    "joints.csv": "tag,boundary,area,state,in_duty_on\nJ-3,B-2,East,planned,\n",
}
TEST = (
    "scope,joint,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off\n"
    "boundary,{},{},2025-11-01,potential-shift,routine,measured,-1.2 V,-0.9 V,-0.5 V,"
    "-0.5 V\n"
)
PATH = "name,boundary,joint,kind,state\nP-1,{1},{0},support,apart\n"
HAPPENED = "kind,happened_on,place,joint,boundary\nrepair,2025-11-01,here,{},{}\n"
SHEETS = {"tests.csv": TEST, "paths.csv": PATH, "occurrences.csv": HAPPENED}


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize(
    ("joint", "boundary", "taken"),
    [("J-1", "B-1", True), ("J-1", "B-2", False), ("J-3", "B-1", False),
     ("", "B-2", True)],
)  # fmt: skip
def test_what_is_named_beside_a_joint(tmp_path, sheet, joint, boundary, taken):
    site = opened(tmp_path, MORE)
    report = sent(site, {sheet: SHEETS[sheet].format(joint, boundary)}, NOW)
    assert report.accepted.total() == taken
    told = [line_of(p) for p in report.refused]
    assert len(told) == (not taken)
    if not taken:
        own = {"J-1": "B-1", "J-3": "B-2"}[joint]
        assert f"belongs to {own}, and {boundary} is named" in told[0]
        assert f"{sheet}, line 2" in told[0]


def test_a_boundary_of_the_same_structures_may_be_read_at_the_joint(tmp_path):
    site = opened(tmp_path, MORE)
    assert sent(site, {"tests.csv": TEST.format("J-1", "B-3")}, NOW).is_clean
    report = sent(site, {"paths.csv": PATH.format("J-1", "B-3")}, NOW)
    assert len(report.refused) == 1


def test_what_is_corrected_is_asked_about_and_what_stood_is_not(tmp_path):
    site = opened(tmp_path, MORE)
    path = PATH.replace("boundary,", "boundary,remark,").format("J-1", "B-1,x")
    assert sent(site, {"paths.csv": path}, NOW).is_clean
    change = Change(NOW.date(), NOW + DAY, "T1", "seen again")
    with pytest.raises(Refused, match="joint_elsewhere"):
        revise(site, "path", "P-1", {"boundary": "B-2"}, change)
    revise(site, "joint", "J-1", {"boundary": "B-2"}, change)
    revise(site, "path", "P-1", {"remark": "painted"}, change)
