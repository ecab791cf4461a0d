"""A limit that was broken stays told, with what stood then: by the command line."""

import pytest

from tests.command_line import jointmap
from tests.opened_site import opened

HEAD = "scope,joint,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
HEAD += "interrupted_side,sources_cycling,cycles\n"
GOOD = "boundary,J-2,B-1,{},potential-shift,routine,measured,-1.20 V,-0.90 V,"
GOOD += "-0.55 V,-0.55 V,A,R1,5\n"
LOADED = {
    "joints.csv": "tag,boundary,area,state,in_duty_on,severity,correction_reason\n"
    "J-2,B-1,East,in duty,2024-02-10,normal,kept\n",
    "adopted.csv": "catalogue,name,from_on\nrules,owner-protection-normal,2020-01-01\n",
    "sources.csv": "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n",
    "decisions.csv": "number,decided_on,kind,person,second_person,subject,subject_key,"
    "why,authority,until_on\n"
    "D-1,2024-02-10,released,T1,A1,joint,J-2,in duty later,,\n"
    "D-2,2025-01-20,deferred,T1,A1,joint,J-2,under water,the head,2025-06-30\n",
}
LATE = {"tests.csv": HEAD + GOOD.format("2025-06-20")}
ON = ("--on", "2026-05-15")
TOLD = "2025-02-10 was the last allowed day: tested 2025-06-20, 130 days late; put off"


@pytest.fixture(scope="module")
def late(tmp_path_factory):
    site = opened(tmp_path_factory.mktemp("late"), LOADED, LATE)
    site.register.close()
    return site.path


def flat(text: str) -> str:
    return " ".join(text.split())


def test_a_broken_limit_stays_told(late, tmp_path):
    why = flat(jointmap("why", late, "J-2", *ON).out)
    assert f"{TOLD} until 2025-06-30 by T1 (register keeper)" in why
    assert "130 days late" in flat(jointmap("findings", late, *ON).out)
    page = tmp_path / "d.html"
    assert jointmap("dossier", late, "J-2", "--out", page, *ON).code in {0, 1}
    told = page.read_text(encoding="utf-8")
    late_by = '<span class="flag">tested 2025-06-20, 130 days late'
    assert told.count(late_by) == 1, "of the owner's limits"
    assert "tested 2025-06-20, 41 days late" in told, "by law"
    assert "not tested yet" in told


def test_what_a_limit_was_is_told_as_of_its_own_day(late):
    before = flat(jointmap("why", late, "J-2", "--on", "2025-06-19").out)
    assert "130 days late" not in before
    assert "Last allowed day: 2025-02-10" in before


def test_the_day_by_law_stands_beside_what_governs(late):
    on = ("--on", "2025-03-01")
    table = jointmap("due", late, "--format", "csv", *on).out
    for told in (jointmap("why", late, "J-2", *on).out, table):
        assert "Last allowed by law: 2025-05-10." in flat(told)
        assert "51 days before the day it was put off to" in flat(told)
    assert ",2025-02-10,2025-05-10," in table


def test_a_joint_that_is_retired_keeps_its_history(tmp_path):
    site = opened(tmp_path, LOADED, LATE)
    site.register.close()
    who = ("--by", "T1", "--second", "A1", "--reason", "line cut")
    ran = jointmap(
        "change", "retire", site.path, "J-2", "--how", "cut out", "--day", "2026-05-01",
        *who,
    )  # fmt: skip
    assert ran.code == 0, ran
    why = flat(jointmap("why", site.path, "J-2", *ON).out)
    assert TOLD in why
