"""A month's routes: every due line on one route or said to be left out, and why."""

import datetime as dt
import re

import numpy as np
import pytest

from jointmap.changes.load import load
from jointmap.errors import WrongUse
from jointmap.pages.month.page import month_pages, month_view
from jointmap.pages.month.planned import plan_month
from jointmap.pages.month.task import first_of_month, month_task, month_to_plan
from jointmap.register import Joint, Position
from jointmap.wording.problems import lines_of
from jointmap.workflows.opening import new_site
from tests.opened_site import KEY, opened, shown
from tests.synthetic import synthetic_site
from tests.synthetic_sheets import write_sheets

ON = dt.date(2026, 5, 15)
NOW = dt.datetime(2026, 5, 14, 12, tzinfo=dt.UTC)
FIRST_DAY = dt.date(2026, 6, 1)
CREWS = "name,persons,depot,day_from,day_until,working_days,areas\n"
PLACES = "subject,name,latitude,longitude\n"
EAST = {
    "crews.csv": CREWS + "East,{persons},Yard,07:30,16:00,Mon-Fri,{areas}\n",
    "positions.csv": PLACES + "crew,East,31.41,-41.9\n",
}
# Far enough away to be a test group, and so a stop, of its own.
FAR = "tag,boundary,area,state,in_duty_on,two_persons,latitude,longitude\n{}\n"


def crew(persons=2, areas=""):
    return {k: v.format(persons=persons, areas=areas) for k, v in EAST.items()}


def far(two="no", area="East"):
    row = f"J-8,B-1,{area},in duty,2020-01-10,{two},31.45,-41.95"
    return {
        "joints.csv": FAR.format(row),
        "devices.csv": "joint,fitted_on,kind\nJ-8,2020-01-05,union\n",
    }


def planned_of(folder, *more):
    site = opened(folder, *more)
    with shown(site, ON) as showing:
        planned = plan_month(showing, FIRST_DAY, "2026-06")
        view = month_view(planned)
        pages = dict(month_pages(planned))
    site.register.close()
    return planned, view, pages


def left_out(view):
    return {link.text: row.reason for row in view.unserved for link in row.subjects}


def test_a_crew_of_two_takes_all(tmp_path):
    planned, view, pages = planned_of(tmp_path, far(two="yes"), crew(2))
    assert left_out(view) == {}
    assert len(planned.plan.visits) == 2
    assert set(pages) == {"index.html", "2026-06-01-east.html"}
    assert "J-8" in pages["2026-06-01-east.html"]


@pytest.mark.parametrize(
    ("place", "team", "why"),
    [
        ({"two": "yes"}, {"persons": 1}, "It needs two persons"),
        ({"area": "West"}, {"areas": "East"}, "No crew that works in its area"),
    ],
)
def test_a_stop_that_no_crew_may_take_is_left_out_with_its_reason(
    tmp_path, place, team, why
):
    planned, view, pages = planned_of(tmp_path, far(**place), crew(**team))
    assert list(left_out(view)) == ["J-8"]
    assert left_out(view)["J-8"].startswith(why)
    assert len(planned.plan.visits) == 1
    assert why in pages["index.html"]
    assert "J-8" not in pages["2026-06-01-east.html"].split("Look-alikes")[0]


def test_a_joint_without_any_place_is_left_out(tmp_path):
    nowhere = far()
    nowhere["joints.csv"] = FAR.format("J-8,B-1,East,in duty,2020-01-10,no,,")
    _, view, _ = planned_of(tmp_path, nowhere, crew())
    assert list(left_out(view)) == ["J-8"]


def test_without_crews_nothing_is_planned_and_all_is_told(tmp_path):
    planned, view, pages = planned_of(tmp_path, far())
    assert len(planned.plan.visits) == 0
    assert set(left_out(view)) == {"J-1", "J-2", "J-8"}
    assert list(pages) == ["index.html"]


def test_crew_names_stay_file_names_below_the_folder(tmp_path):
    odd = crew()
    odd = {k: v.replace("East,", "../Süd/1,") for k, v in odd.items()}
    _, view, pages = planned_of(tmp_path, odd)
    names = [n for n in pages if n != "index.html"]
    assert [n for n in names if re.search(r"[^a-z0-9_.-]|\.\.", n)] == []
    links = [c.sheet.href for d in view.days for c in d.cells if c.sheet.href]
    assert [h.rsplit("/", 1)[-1] for h in links] == names


@pytest.fixture(scope="module")
def large(tmp_path_factory):
    """A made-up site of one block of 118 joints, loaded from its sheets."""
    folder = tmp_path_factory.mktemp("made")
    write_sheets(folder / "sheets", synthetic_site(118, 4, seed=7))
    site = new_site(folder / "site", "SYN", KEY)
    report = load(
        site, [folder / "sheets"], now=NOW, by="T1", reason="made up", rules=True
    )
    return site, report


def test_made_up_site_loads_clean(large):
    site, report = large
    assert (report.held, report.refused) == ([], [])
    with site.register.read() as state:
        assert len(state.records(Joint)) == len(state.records(Position)) == 118


@pytest.mark.parametrize("month", ["2026-05", "2026-06", "2026-12", "2027-03"])
def test_every_due_line_is_on_one_route_or_left_out(large, month):
    first = first_of_month(month)
    with shown(large[0], ON) as showing:
        planned = plan_month(showing, first, month)
        view = month_view(planned)
        task = planned.task
        items = showing.assessed.items
        visited = planned.plan.visits.joint_id.tolist()
        left = [u.joint_id for u in planned.plan.unserved] + list(task.nowhere)
        assert sorted(visited + left) == sorted(task.members_of)
        members = [m for own in task.members_of.values() for m in own]
        assert len(members) == len(set(members))
        end = (np.datetime64(month, "M") + 1).astype("datetime64[D]") - 1
        due = np.flatnonzero(items.planning_on <= end).tolist()
        assert set(due) <= set(members)
        assert (
            f"{len(visited)} stops on {len(planned.plan.routes)} crew days"
            in view.summary
        )
        assert sum(c.stops for d in view.days for c in d.cells if c.sheet.href) == len(
            visited
        )
        assert len(view.unserved) == len(left)
        assert all(row.reason and row.advice for row in view.unserved)


def test_stops_and_crews_of_a_task_fit_each_other(large):
    with shown(large[0], ON) as showing:
        task = month_task(showing, FIRST_DAY)
    assert len(task.stops) + len(task.nowhere) == len(task.members_of)
    assert (task.crew_days.day_on > np.datetime64(ON)).all()
    assert [c.name for _, c in task.crews] == ["East", "West"]


@pytest.mark.parametrize(
    ("month", "on", "accepted"),
    [
        ("2016-06", "2026-05-15", "2026-05 or a later month, or --on a day before"),
        ("2026-04", "2026-05-15", "--on a day before 2026-04-30"),
        ("2026-05", "2026-05-31", "2026-06 or a later month"),
        ("2026-05", "2026-05-30", None),
        ("2026-05", "2026-05-01", None),
        ("2026-06", "2026-05-31", None),
        ("9999-12", "9999-12-31", "10000-01"),
    ],
)
def test_a_month_that_is_over_is_refused(month, on, accepted):
    day = dt.date.fromisoformat(on)
    if accepted is None:
        assert str(month_to_plan(month, day)).startswith(month)
        return
    with pytest.raises(WrongUse) as refused:
        month_to_plan(month, day)
    (line,) = lines_of(refused.value.problems)
    assert f"on {on} no day of {month} is left" in line
    assert accepted in line


@pytest.mark.parametrize("on", ["2026-05-01", "2026-05-15", "2026-05-28"])
def test_nothing_is_planned_before_the_day_asked(tmp_path, on):
    site = opened(tmp_path, far(two="yes"), crew(1))
    with shown(site, dt.date.fromisoformat(on)) as showing:
        planned = plan_month(showing, dt.date(2026, 5, 1), "2026-05", 20)
        view = month_view(planned)
    site.register.close()
    days = planned.task.crew_days.day_on[planned.plan.visits.crew_day]
    assert len(days)
    assert (days > np.datetime64(on)).all()
    spans = [re.findall(r"from (\S+) to (\S+)\.", row.reason) for row in view.unserved]
    assert all(on < begin <= end for found in spans for begin, end in found)


@pytest.mark.parametrize("text", ["2026-13", "June", "2026-06-01", "", "26-06"])
def test_no_month(text):
    with pytest.raises(WrongUse) as refused:
        first_of_month(text)
    assert refused.value.problems[0].id == "month.bad"
