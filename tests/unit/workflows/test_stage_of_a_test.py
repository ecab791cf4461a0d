"""The word in ``stage`` is the sender's; it switches no guard off."""

import datetime as dt

import pytest

from jointmap.acceptance import REASONS
from jointmap.pages.boundary.page import boundary_named
from jointmap.register.codes import Verdict
from jointmap.wording import say
from tests.opened_site import FIRST, opened, sent, shown

STAGES = ["bench", "before tightening", "before tie-in"]
HEAD = "scope,joint,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
HEAD += "interrupted_side,sources_cycling,cycles\n"
ROW = "boundary,J-1,B-1,{},potential-shift,{},measured,-1.20 V,-0.90 V,{},A,R1,10\n"
BAD, GOOD = "-0.90 V,-0.61 V", "-0.55 V,-0.55 V"
SHORTED = {"tests.csv": HEAD + ROW.format("2025-09-01", "routine", BAD)}
DEVICE_TESTS = "scope,joint,stud,side,tested_on,method,stage,outcome,reading\n"
LIMITS = """catalogue,name,from_on
limits,Resistance before tie-in 1 Mohm,2020-01-01
limits,Stud side 1 Mohm,2020-01-01
limits,Stud side: metal contact,2020-01-01
"""


def told(report):
    return [(p.id, p.column, say(p.id, p.values)) for p in report.held]


def judged(showing, day):
    """Reason, verdict and whether it counts of the tests of one day."""
    site = showing.assessed
    rows = site.tests.tested_on == day
    said = site.judgements
    return [
        (REASONS[said.reason[n]], int(said.verdict[n]), bool(said.counts[n]))
        for n in rows.nonzero()[0].tolist()
    ]


@pytest.mark.parametrize("stage", STAGES)
def test_a_boundary_test_before_anything_was_installed_clears_nothing(tmp_path, stage):
    site = opened(tmp_path, SHORTED)
    row = HEAD + ROW.format("2026-03-11", stage, GOOD)
    report = sent(site, {"tests.csv": row}, FIRST + dt.timedelta(days=90))
    with shown(site) as showing:
        state = showing.assessed.boundaries
        at = state.boundary_id == boundary_named(showing, "B-1")
        assert state.state[at].tolist() == [Verdict.SHORTED.code]
        inconclusive = Verdict.INCONCLUSIVE.code
        new = judged(showing, dt.date(2026, 3, 11))
    site.register.close()
    assert new == [("verdict.not_installed", inconclusive, False)]
    # Of one cell one question waits.
    (first,) = told(report)
    assert first[:2] == ("row.not_installed", "stage")
    assert "accepted: acceptance, routine, as found, as left" in first[2]


def test_before_a_tie_in_that_was_over_years_ago_nothing_counts(tmp_path):
    site = opened(tmp_path, {"adopted.csv": LIMITS})
    row = "joint,J-1,,,2026-03-11,insulation-resistance,before tie-in,measured,"
    sheet = DEVICE_TESTS + row + "> 500 Mohm\n"
    report = sent(site, {"tests.csv": sheet}, FIRST + dt.timedelta(days=90))
    with shown(site) as showing:
        new = judged(showing, dt.date(2026, 3, 11))
    site.register.close()
    assert new == [("verdict.tie_in_over", Verdict.INCONCLUSIVE.code, False)]
    ((id_, column, sentence),) = told(report)
    assert (id_, column) == ("row.tie_in_over", "stage")
    assert "J-1 is in duty since 2020-01-10" in sentence


def test_within_a_month_of_the_first_day_in_duty_it_is_believed(tmp_path):
    site = opened(tmp_path, {"adopted.csv": LIMITS})
    row = "joint,J-1,,,2020-02-09,insulation-resistance,before tie-in,measured,5 Mohm"
    sheet = f"{DEVICE_TESTS}{row}\n"
    report = sent(site, {"tests.csv": sheet}, FIRST + dt.timedelta(days=90))
    with shown(site) as showing:
        ((reason, _, counts),) = judged(showing, dt.date(2020, 2, 9))
    site.register.close()
    assert report.is_clean
    assert (reason, counts) == ("verdict.resistance_isolating", True)


@pytest.mark.parametrize("stage", ["bench", "before tightening"])
def test_a_stud_on_the_bench_clears_no_stud_that_was_lost(tmp_path, stage):
    stud = "stud,J-1,3,{},{},stud-resistance,{},measured,{}\n"
    lost = "".join(stud.format(s, "2025-10-01", "routine", "0.2 ohm") for s in "AB")
    bench = "".join(stud.format(s, "2025-10-02", stage, "5 Mohm") for s in "AB")
    site = opened(
        tmp_path,
        {"adopted.csv": LIMITS, "tests.csv": DEVICE_TESTS + lost},
    )
    report = sent(
        site, {"tests.csv": DEVICE_TESTS + bench}, FIRST + dt.timedelta(days=90)
    )
    with shown(site) as showing:
        (left,) = showing.assessed.studs.sides_left.tolist()
    site.register.close()
    assert left == 1
    assert {id_ for id_, _, _ in told(report)} == {"row.fitted_by_then"}


def test_what_is_fitted_later_may_have_been_on_the_bench(tmp_path):
    site = opened(tmp_path)
    devices = "joint,fitted_on,kind,layout,removed_on,correction_reason\n"
    devices += "J-1,2020-01-05,flange kit,two-side,2025-10-03,replaced\n"
    devices += "J-1,2025-10-03,flange kit,two-side,,\n"
    row = "joint,J-1,,,2025-10-02,insulation-resistance,bench,measured,5 Mohm\n"
    sheets = {"devices.csv": devices, "tests.csv": DEVICE_TESTS + row}
    report = sent(site, sheets, FIRST + dt.timedelta(days=90))
    site.register.close()
    assert report.is_clean
