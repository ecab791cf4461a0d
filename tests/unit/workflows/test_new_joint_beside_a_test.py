"""A joint that comes in at a place where a boundary was read before it was there."""

import csv
import io

import pytest

from jointmap.pages.due.page import due_text
from jointmap.register.codes import Verdict
from tests.opened_site import FIRST, ON, findings, opened, sent, shown
from tests.storage.samples import DAY

READ = {
    "sources.csv": "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n",
    "tests.csv": (
        "scope,joint,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
        "interrupted_side,sources_cycling,sources_steady,cycles\n"
        "boundary,J-1,B-1,2025-06-03,potential-shift,routine,measured,-1.20 V,-0.90 V,"
        "-0.55 V,-0.55 V,A,R1,none,5\n"
    ),
}
JOINT = (
    "tag,boundary,area,state,in_duty_on,latitude,longitude\n"
    "J-9,B-1,East,in duty,{},31.4,-41.9\n"
)
DEVICE = "joint,fitted_on,kind,layout\nJ-9,{},flange kit,two-side\n"


def judged(folder, in_duty_on="", fitted_on=""):
    """Return verdict and last test of a joint, and the finding about its first day."""
    site = opened(folder, READ)
    sheets = {"joints.csv": JOINT.format(in_duty_on)}
    if fitted_on:
        sheets["devices.csv"] = DEVICE.format(fitted_on)
    sent(site, sheets, FIRST + 90 * DAY)
    with shown(site) as showing:
        row = showing.joint_rows[showing.state.joint_ids["J-9"]]
        verdict = Verdict.at(int(showing.assessed.joints.verdict[row]))
    text = due_text(site, on=ON, known=None, until=None, form="csv")
    due = {r["subject"]: r for r in csv.DictReader(io.StringIO(text))}["J-9"]
    found = [f[1] for f in findings(site) if f[0] == "no_first_day"]
    site.register.close()
    return verdict, "2025-06-03" in str(due), found


@pytest.mark.parametrize(
    ("days", "is_credited"),
    [
        ({"fitted_on": "2026-03-01"}, False),
        ({"in_duty_on": "2026-03-01"}, False),
        ({"in_duty_on": "2026-03-01", "fitted_on": "2026-02-01"}, False),
        ({"in_duty_on": "2026-03-01", "fitted_on": "2025-06-03"}, True),
        ({"in_duty_on": "2025-06-03"}, True),
    ],
)
def test_a_joint_has_no_credit_from_before_it_was_there(tmp_path, days, is_credited):
    verdict, is_last, found = judged(tmp_path, **days)
    assert (verdict == Verdict.ISOLATING) is is_credited
    assert is_last is is_credited
    assert found == []


def test_a_joint_of_no_first_day_is_found(tmp_path):
    verdict, _, found = judged(tmp_path)
    assert verdict == Verdict.ISOLATING
    assert found == ["J-9"]
