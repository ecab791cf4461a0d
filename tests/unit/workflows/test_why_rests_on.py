"""Why tells first what a verdict rests on and where that was read, last the next step.

Of a boundary J-1 is read; J-2 stands 15 m from it, J-3 some 330 m.
"""

import pytest

from jointmap.workflows.why import why_text
from tests.opened_site import ON, opened

MORE = {
    "paths.csv": "name,boundary,kind,state,fitted_on,checked_on\n"
    "P-1,B-1,support,apart,2020-01-01,2025-01-05\n"
    "P-2,B-1,support,apart,2020-01-01,2025-01-05\n",
    "joints.csv": "tag,boundary,area,state,in_duty_on,latitude,longitude\n"
    "J-3,B-1,East,in duty,2020-01-10,31.403,-41.9\n",
    "devices.csv": "joint,fitted_on,kind,layout,stud_count\n"
    "J-3,2020-01-05,flange kit,two-side,8\n",
    "tests.csv": "scope,joint,stud,side,tested_on,method,stage,outcome,a_on,a_off,b_on,"
    "b_off,interrupted_side,sources_cycling,reading,path,indication\n"
    "joint,J-1,,,2026-01-05,potential-shift,routine,measured,-1.2 V,-0.9 V,-0.55 V,"
    "-0.55 V,A,portable source on S1,,,\n"
    "stud,J-2,5,A,2026-01-06,stud-resistance,routine,measured,,,,,,,12 Mohm,,\n"
    "parallel path,,,,2026-01-08,look,routine,measured,,,,,,,,P-1,no short\n",
}


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    found = opened(tmp_path_factory.mktemp("why"), MORE)
    yield found
    found.register.close()


def told(site, tag):
    """The answer as one line."""
    return " ".join(why_text(site, tag, on=ON, known=None).split())


def in_order(text, *parts):
    places = [text.index(part) for part in parts]
    assert places == sorted(places), text


def test_where_the_reading_was_made_it_is_read_here(site):
    in_order(
        told(site, "J-1"),
        "Verdict: isolating. By a test of the boundary read here on 2026-01-05:",
        "The verdict rests on this test, read here: 2026-01-05 Potential shift",
        "Last allowed day: ",
    )


def test_a_reading_within_reach_is_credited_and_comes_before_the_newest(site):
    in_order(
        told(site, "J-2"),
        "Verdict: isolating. By a test of the boundary on 2026-01-05, read elsewhere",
        "The verdict rests on this test, read at J-1, 15 m away: credited:"
        " 2026-01-05 Potential shift",
        "The newest test of the joint or its boundary is another, read here:"
        " 2026-01-06 Resistance of one stud",
        "Last allowed day: ",
    )


def test_a_reading_too_far_away_is_no_credit(site):
    in_order(
        told(site, "J-3"),
        "Verdict: not tested. No test of the device fitted now.",
        "is another, read at J-1, 333 m away: no credit: 2026-01-05 Potential shift",
        "Last allowed day: ",
    )


def test_the_answer_ends_with_the_next_step(site):
    last = told(site, "J-3").rpartition("Next: ")[2]
    assert last.startswith("test J-3 first of all, its last allowed day was 2021-04-10")


def test_a_boundary_tells_verdict_tests_and_next_step_first(site):
    in_order(
        told(site, "B-1"),
        "B-1 As of 2026-05-15, as known on",
        "Verdict: inconclusive. Good where it was read;",
        "The verdict rests on this test, read at J-1: 2026-01-05 Potential shift",
        "Next: test J-3 first of all",
        "S1 | Plant, protection",
    )


def test_a_boundary_tells_where_its_test_was_read(tmp_path):
    tests = MORE["tests.csv"].splitlines(keepends=True)
    bad = "".join(tests[:2]).replace("-0.55 V,-0.55 V", "-0.85 V,-0.56 V")
    found = opened(tmp_path, {"tests.csv": bad})
    in_order(
        told(found, "B-1"),
        "Verdict: shorted. Boundary shorted, suspects: 2.",
        "The verdict rests on this test, read at J-1: 2026-01-05 Potential shift",
        "Next: find which suspect joins the sides of B-1",
        "S1 | Plant, protection",
    )
    found.register.close()


def test_a_path_tells_its_test_or_that_it_has_none(site):
    in_order(
        told(site, "P-1"),
        "P-1 As of 2026-05-15",
        "State: apart. Last look: 2026-01-08",
        "The verdict rests on this test, read here: 2026-01-08 Look",
        "Last allowed day: ",
        "Next: ",
    )
    assert "The state rests on no test but on the record" in told(site, "P-2")


def test_other_letters_are_found(site):
    assert told(site, "b-1") == told(site, "B-1")
    assert told(site, "p-1 ") == told(site, "P-1")
