"""What a command refuses, decisions.csv does not bring in either."""

import pytest

from jointmap.wording.problems import line_of
from tests.opened_site import FIRST, opened, sent
from tests.storage.samples import DAY

HEAD = (
    "number,decided_on,kind,person,second_person,subject,subject_key,why,authority,"
    "until_on\n"
)
LATER = FIRST + 100 * DAY  # 2026-04-20
MORE = {
    "structures.csv": "name,kind,is_protected\nS2,pipeline section,yes\n",
    "boundaries.csv": "name,structure_a,structure_b,purpose\nB-2,S1,S2,protection\n",
    "joints.csv": (
        "tag,boundary,area,state,in_duty_on,out_of_duty_on\n"
        "J-3,B-1,East,removed,2021-01-10,2025-03-01\n"
    ),
    "paths.csv": (
        "name,boundary,kind,state,fitted_on,removed_on\n"
        "SD-1,B-1,surge protective device,not known,2025-06-01,2026-02-01\n"
    ),
    "sources.csv": "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n",
    "adopted.csv": (
        "catalogue,name,from_on\n"
        "rules,iso-15589-1-surge-device,2020-01-01\n"
        "rules,cfr-192.465b-source,2026-04-01\n"
    ),
}


@pytest.fixture
def site(tmp_path):
    made = opened(tmp_path, MORE)
    yield made
    made.register.close()


def deferred(subject, key, decided_on, until_on):
    who = f"T1,A1,{subject},{key}"
    return f"D-9,{decided_on},deferred,{who},no crew,head,{until_on}\n"


def refused(site, row):
    report = sent(site, {"decisions.csv": HEAD + row}, LATER)
    return " ".join(line_of(p) for p in report.refused)


@pytest.mark.parametrize(
    ("subject", "key", "decided_on", "until_on", "says"),
    [
        ("joint", "J-2", "2026-04-19", "2026-05-19", ""),
        ("joint", "j-2", "2020-01-10", "2020-02-10", ""),
        ("joint", "J-2", "2020-01-09", "2020-02-10", "not there yet on 2020-01-09"),
        ("joint", "J-2", "1900-01-01", "1900-12-31", "not there yet on 1900-01-01"),
        ("joint", "J-3", "2025-02-28", "2025-04-28", ""),
        ("joint", "J-3", "2025-03-01", "2025-04-28", "out of duty, gone"),
        ("boundary", "B-1", "2026-04-19", "2026-05-19", "its joints have dates"),
        ("boundary", "B-2", "2026-04-19", "2026-05-19", "no rule that gives it a date"),
        ("structure", "S1", "2026-04-19", "2026-05-19", "accepted: joint, boundary,"),
        ("crew", "none", "2026-04-19", "2026-05-19", "no crew of this name"),
        ("parallel path", "SD-1", "2025-06-01", "2026-05-19", ""),
        ("path", "SD-1", "2025-05-31", "2026-05-19", "not there yet on 2025-05-31"),
        ("path", "sd-1", "2026-02-01", "2026-05-19", "out of duty, gone"),
        ("source", "R1", "2026-04-01", "2026-05-19", ""),
        ("source", "R1", "2026-03-31", "2026-05-19", "no rule that gives it a date"),
    ],
)
def test_what_has_no_date_is_not_put_off(
    site, subject, key, decided_on, until_on, says
):
    told = refused(site, deferred(subject, key, decided_on, until_on))
    assert says in told
    assert bool(told) == bool(says)


@pytest.mark.parametrize(
    ("decided_on", "is_refused"), [("2026-02-08", True), ("2026-02-09", False)]
)
def test_an_entry_is_not_seen_before_it_is_there(site, decided_on, is_refused):
    head = HEAD.replace(",second_person", "")
    row = f"D-9,{decided_on},seen,A1,entry,2,looked at,,\n"
    report = sent(site, {"decisions.csv": head + row}, LATER, by="A1")
    assert [p.id for p in report.refused] == ["seen.too_early"] * is_refused
    if is_refused:
        assert "entry 2 was recorded on 2026-02-09" in line_of(report.refused[0])
