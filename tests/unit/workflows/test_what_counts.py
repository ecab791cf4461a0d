"""A good result that does not count changes nothing; a bad one is an alarm."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.acceptance import stud_states
from jointmap.pages.boundary_sentences import boundary_statement
from jointmap.pages.clock_views import joint_clocks
from jointmap.pages.joint_sentences import joint_summary
from jointmap.pages.shown_tests import ShownTests
from jointmap.register.codes import PathState, Scope, Side, Verdict
from jointmap.sections import boundary_states, evidence, joint_states, suspects
from jointmap.sections import test_groups as groups_of
from tests.judging_samples import (
    ON,
    boundaries_of,
    joints_of,
    judged,
    paths_of,
    readings,
)
from tests.opened_site import findings, opened, shown

DAY = dt.date(2025, 12, 1)
ADOPTED = """catalogue,name,from_on
rules,owner-after-repair,2020-01-01
rules,owner-plan-joint,2020-01-01
rules,owner-fix-joint,2020-01-01
"""
METERS = "name,kind,needs_certificate\nV-1,radio-frequency isolation tester,yes\n"
PAPERS = "instrument,number,valid_from_on,valid_until_on\n"
PAPERS += "V-1,K-1,2025-01-01,2025-10-10\n"
TESTS = "scope,joint,tested_on,method,stage,outcome,indication,instrument\n"
BAD = "joint,J-1,2025-10-01,radio-frequency,routine,measured,short,V-1\n"
LAPSED = "joint,J-1,2025-11-01,radio-frequency,routine,measured,no short,V-1\n"
REPAIR = "happened_on,kind,place,joint\n2025-10-03,repair,stud 3,J-1\n"


def told(folder, tests, **more):
    """What the joint, its boundary, its clocks and its findings say."""
    sheets = {
        "adopted.csv": ADOPTED,
        "instruments.csv": METERS,
        "certificates.csv": PAPERS,
        "tests.csv": TESTS + tests,
        **{f"{name}.csv": text for name, text in more.items()},
    }
    site = opened(folder, sheets)
    with shown(site, DAY) as showing:
        id_ = next(i for i, j in showing.joints.items() if j.tag == "J-1")
        summary = joint_summary(showing, id_)
        boundary = boundary_statement(showing, 1)
        clocks = [(c.what, c.until_on) for c in joint_clocks(showing, id_)]
    kinds = {k for k, at, _ in findings(site, DAY) if at == "J-1"}
    site.register.close()
    return summary, boundary, clocks, kinds - {"instrument_lapsed"}


@pytest.mark.parametrize("repaired", [{}, {"occurrences": REPAIR}])
def test_a_good_reading_with_a_lapsed_meter_proves_nothing(tmp_path, repaired):
    before = told(tmp_path / "before", BAD, **repaired)
    after = told(tmp_path / "after", BAD + LAPSED, **repaired)
    assert after[1:] == before[1:]
    assert before[0].startswith("Shorted")
    assert after[0].startswith(before[0].split(".")[0])
    assert "does not count" in after[0]
    assert "the instrument's certificate had ended" in after[0]


def test_a_bad_reading_with_a_lapsed_meter_is_an_alarm(tmp_path):
    good = BAD.replace(",short", ",no short")
    bad = LAPSED.replace("no short", "short")
    summary, boundary, clocks, _ = told(tmp_path, good + bad)
    assert summary.startswith("Shorted")
    assert "shorted" in boundary.lower()
    assert [until for _, until in clocks] == [dt.date(2026, 2, 1), dt.date(2026, 5, 1)]


def test_nothing_but_readings_that_do_not_count_is_not_isolating(tmp_path):
    summary, _, _, _ = told(tmp_path, LAPSED)
    assert summary.startswith("Inconclusive")
    assert "does not count" in summary


VERDICTS = [Verdict.ISOLATING, Verdict.DOUBTFUL, Verdict.SHORTED, Verdict.INCONCLUSIVE]
ROW = st.tuples(
    st.sampled_from([Scope.JOINT, Scope.BOUNDARY, Scope.PATH, Scope.STUD]),
    st.integers(1, 3),
    st.integers(0, 300),
    st.sampled_from(VERDICTS),
    st.booleans(),
    st.booleans(),
    st.sampled_from(list(Side)),
)


def site_of(rows):
    """Joints, paths and tests of one boundary; what each test came to."""
    shift, own = "potential-shift", "joint-resistance"
    kinds = {Scope.BOUNDARY: shift, Scope.PATH: "look", Scope.STUD: "stud-resistance"}
    method = [kinds.get(row[0], own if row[4] else shift) for row in rows]

    def where(scope, values, otherwise):
        found = zip(rows, values, strict=True)
        return [value if row[0] in scope else otherwise for row, value in found]

    places = [row[1] for row in rows]
    named = where((Scope.JOINT, Scope.STUD), places, 0)
    tests = readings(
        len(rows),
        scope=[row[0] for row in rows],
        method=method,
        joint_id=named,
        device_id=named,
        boundary_id=where((Scope.BOUNDARY,), [1] * len(rows), 0),
        path_id=where((Scope.PATH,), places, 0),
        stud=where((Scope.STUD,), [3] * len(rows), 0),
        side=where((Scope.STUD,), [row[6] for row in rows], -1),
        tested_on=[np.datetime64("2025-01-01", "D") + row[2] for row in rows],
    )
    of_device = [m in {own, "stud-resistance"} for m in method]
    said = judged([row[3] for row in rows], of_device)
    return tests, replace(said, counts=np.array([row[5] for row in rows], np.bool_))


def states_of(tests, said):
    """Everything that is concluded, as lists."""
    joints = joints_of(3, x_metre=[0.0, 10.0, 900.0], fitted_on="2016-05-01")
    paths = paths_of(3, state=PathState.NOT_KNOWN)
    seen = evidence(joints, tests, said, groups_of(joints, 50.0), 50.0)
    site = (boundaries_of(), joints, paths, tests, said, ON)
    bounds, who = boundary_states(*site, seen=seen), suspects(*site, seen=seen)
    each = joint_states(joints, tests, seen, bounds, who, ON)
    studs = stud_states(tests, said, joints)
    told = [
        (bounds, ("state", "last_good_on", "first_bad_on")),
        (each, ("verdict", "last_good_on", "since_on")),
        (who, ("joint_id", "path_id", "ruled_out", "is_cause")),
        (studs.take(studs.sides_left >= 0), ("joint_id", "stud", "sides_left")),
    ]
    return [getattr(table, name).tolist() for table, names in told for name in names]


@given(st.lists(ROW, max_size=12))
def test_what_does_not_count_is_as_if_it_could_not_decide(rows):
    tests, said = site_of(rows)
    idle = np.array([not r[5] and r[3] is Verdict.ISOLATING for r in rows], np.bool_)
    open_ = np.where(idle, Verdict.INCONCLUSIVE.code, said.verdict).astype(np.int16)
    everything = np.ones(len(rows), np.bool_)
    undecided = replace(said, verdict=open_, counts=everything)
    assert repr(states_of(tests, said)) == repr(states_of(tests, undecided))


@given(st.lists(ROW, max_size=12), ROW)
def test_a_good_result_more_that_does_not_count_makes_nothing_better(rows, more):
    good = (*more[:3], Verdict.ISOLATING, more[4], False, more[6])
    before, after = states_of(*site_of(rows)), states_of(*site_of([*rows, good]))
    # Not tested and tried without a result are told apart, and that is all.
    first, then = (
        [x if x != Verdict.NOT_TESTED.code else Verdict.INCONCLUSIVE.code for x in s]
        for s in (before[0] + before[3], after[0] + after[3])
    )
    assert first == then
    assert repr(before[1:3] + before[4:]) == repr(after[1:3] + after[4:])


PEOPLE = "code,role\nT2,field technician\n"
DECIDED = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
EXCEPTION = "D-1,{day},accepted exception,{by},{second},instrument,V-1,checked\n"
BY = TESTS.replace("instrument\n", "instrument,person\n")


def after_exception(folder, tester, *, by="T1", second="A1", day="2025-11-20"):
    """What a good reading with a lapsed meter does after such a decision."""
    rows = "".join(
        row.strip() + f",{who}\n" for row, who in ((BAD, "T2"), (LAPSED, tester))
    )
    decision = EXCEPTION.format(day=day, by=by, second=second)
    sheets = {
        "adopted.csv": ADOPTED,
        "people.csv": PEOPLE,
        "instruments.csv": METERS,
        "certificates.csv": PAPERS,
        "tests.csv": BY + rows,
    }
    site = opened(folder, sheets, {"decisions.csv": DECIDED + decision})
    with shown(site, DAY) as showing:
        summary = joint_summary(showing, 1)
        row = ShownTests(showing).rows(showing.test_rows)[0]
    found = [s for k, at, s in findings(site, DAY) if k == "instrument_lapsed"]
    site.register.close()
    return summary, row, found[0]


def test_an_accepted_exception_makes_a_test_count_and_is_shown(tmp_path):
    summary, row, finding = after_exception(tmp_path, "T2")
    assert summary.startswith("Isolating")
    assert row.counts
    assert (
        row.instrument_paper == "ended, counts by accepted exception D-1 of 2025-11-20"
    )
    assert "counts by accepted exception D-1 (checked)" in finding


CANNOT = [
    {"tester": "T1"},
    {"tester": "A1"},
    {"tester": ""},
    # Decided before the test, or before the paper had ended.
    {"tester": "T2", "day": "2025-10-20"},
    {"tester": "T2", "day": "2025-09-20"},
]


@pytest.mark.parametrize("case", CANNOT)
def test_an_exception_that_lets_nothing_count(tmp_path, case):
    summary, row, finding = after_exception(tmp_path, **case)
    assert summary.startswith("Shorted")
    assert not row.counts
    assert row.instrument_paper == "ended, does not count"
    assert "does not count" in finding
    assert ("is not by another person" in finding) == ("day" not in case)
