"""Whether a paper covers a day is one answer: for a meter, a torque tool, a sheet."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.assembly import Result
from jointmap.pages.month.planned import plan_month
from jointmap.pages.month.sheet import sheet_view
from jointmap.register.paper_states import PaperState, state_of
from jointmap.snapshot.fittings import fittings_in
from jointmap.snapshot.papers.in_date import Papers, covers
from tests.opened_site import ON, opened, shown

TOOLS = "name,kind,needs_certificate\n"
TOOLS += "V-1,voltmeter,yes\nV-2,voltmeter,yes\nTW-1,torque wrench,yes\n"
# The newer paper ends first; on the day of the test the older one still holds.
TWO = """\
instrument,number,valid_from_on,valid_until_on
{0},K-1,2025-01-01,2026-12-31
{0},K-2,2026-01-01,2026-01-31
"""
READ = "joint,J-1,2026-02-15,potential-shift,routine,measured,-1.20 V,-0.90 V,-0.55 V"
TESTS = "scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,instrument\n"
TESTS += f"{READ},-0.55 V,V-1\n"
FITTED = (
    "joint,device_fitted_on,installed_on,torque_tool\nJ-1,2020-01-05,2026-02-15,TW-1"
)
CREW = {
    "crews.csv": "name,persons,depot,day_from,day_until,working_days\n"
    "East,2,Yard,07:30,16:00,Mon-Fri\n",
    "positions.csv": "subject,name,latitude,longitude\ncrew,East,31.41,-41.9\n",
}
LOW, HIGH = np.datetime64("2026-01-01", "D"), 30
DAY = st.integers(0, HIGH)


@pytest.fixture
def site(tmp_path):
    found = opened(
        tmp_path,
        {
            "instruments.csv": TOOLS,
            "certificates.csv": TWO.format("V-1")
            + TWO.format("TW-1").partition("\n")[2],
            **CREW,
        },
        {"tests.csv": TESTS, "installations.csv": FITTED},
    )
    yield found
    found.register.close()


def test_the_same_two_papers_are_one_answer(site):
    with shown(site) as showing:
        state = showing.assessed.state
        valid = showing.assessed.tests.instrument_paper
        assert state_of(valid)[-1] == PaperState.VALID
        (tool,) = fittings_in(state, ON).review.found["tool"].result
        assert tool == Result.MEETS
        planned = plan_month(showing, dt.date(2026, 6, 1), "2026-06", most=2)
        until = {
            row.name: row.valid_until_on
            for n in range(len(planned.plan.routes))
            for row in sheet_view(planned, n).instruments
        }
    assert until == {"V-1": dt.date(2026, 12, 31)}


def stands(own, day, is_exempt):
    if is_exempt:
        return PaperState.NOT_NEEDED
    if any(covers(a, b, day) for a, b in own):
        return PaperState.VALID
    if any(b < day for _, b in own):
        return PaperState.ENDED
    return PaperState.NOT_YET if own else PaperState.NONE_ON_RECORD


@given(
    st.lists(st.tuples(st.integers(1, 4), DAY, DAY), max_size=12),
    st.lists(st.tuples(st.integers(0, 5), DAY), min_size=1, max_size=12),
    st.sets(st.integers(1, 5), max_size=2),
)
def test_in_date_against_a_loop(papers, asked, exempt):
    owners, first, last = np.array(papers, np.int64).reshape(-1, 3).T
    table = Papers(owners, LOW + first, LOW + last, np.array(sorted(exempt), np.int64))
    who = np.array([a for a, _ in asked], np.int64)
    found = table.in_date(who, LOW + np.array([d for _, d in asked], np.int64))
    for (owner, day), code in zip(asked, found.tolist(), strict=True):
        own = [(a, b) for o, a, b in papers if o == owner]
        assert PaperState.at(code) is stands(own, day, owner in exempt)
        ends = [b for a, b in own if a <= day <= b]
        until = table.until(owner, (LOW + day).item())
        assert until == ((LOW + max(ends)).item() if ends else None)
    before = max(day for _, day in asked)
    ended = sorted((b, owner) for owner, _, b in papers if b < before)
    owners, ends = table.last_end((LOW + before).item())
    days = (ends - LOW).astype(int).tolist()
    assert dict(zip(owners.tolist(), days, strict=True)) == {o: b for b, o in ended}
