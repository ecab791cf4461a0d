from dataclasses import fields, replace

import numpy as np
import pytest

from jointmap.errors import Problem
from jointmap.routes import Unserved, faults, timed
from jointmap.wording import say


def changed(table, row, **values):
    """Return the columns with one row's values replaced."""
    new = {name: getattr(table, name).copy() for name in values}
    for name, value in values.items():
        new[name][row] = value
    return replace(table, **new)


def without(table, row):
    return table.take(np.delete(np.arange(len(table)), row))


def ids(plan, month):
    found = faults(plan, month.stops, month.crew_days, month.travel)
    for problem in found:
        assert "not given" not in say(problem.id, problem.values)
    return {p.id for p in found}


def plan_of(month, *sequence, left=()):
    out = [Unserved(j, Problem("route.no_room", {})) for j in left]
    return timed({0: list(sequence)}, out, month)


@pytest.fixture
def sound(make_month):
    """A month of two days, and a right plan that leaves one stop out."""
    month = make_month(4, days=2)
    return month, plan_of(month, 0, 1, 2, left=[104])


def test_a_right_plan_has_no_faults(sound):
    month, plan = sound
    assert faults(plan, month.stops, month.crew_days, month.travel) == []


def visits_changed(row, **values):
    return lambda plan: replace(plan, visits=changed(plan.visits, row, **values))


def routes_changed(**values):
    return lambda plan: replace(plan, routes=changed(plan.routes, 0, **values))


@pytest.mark.parametrize(
    ("spoil", "expected"),
    [
        (lambda p: replace(p, unserved=()), "check.forgotten"),
        (lambda p: replace(p, unserved=p.unserved * 2), "check.doubled"),
        (lambda p: replace(p, visits=without(p.visits, 2)), "check.forgotten"),
        (visits_changed(1, joint_id=101), "check.doubled"),
        (visits_changed(1, joint_id=104), "check.doubled"),
        (visits_changed(1, joint_id=999), "check.unknown_joint"),
        (
            lambda p: replace(p, unserved=(Unserved(104, Problem("busy")),)),
            "check.no_reason",
        ),
        (visits_changed(0, crew_day=7), "check.unknown_crew_day"),
        (visits_changed(0, crew_day=-1), "check.unknown_crew_day"),
        (visits_changed(2, crew_day=1), "check.route_rows"),
        (lambda p: replace(p, routes=without(p.routes, 0)), "check.route_rows"),
        (
            lambda p: replace(p, routes=p.routes.take(np.array([0, 0]))),
            "check.route_rows",
        ),
        (routes_changed(crew_day=1), "check.route_rows"),
        (visits_changed(1, order=3), "check.order"),
        (visits_changed(1, arrive_second=29_000.0), "check.leg"),
        (visits_changed(1, arrive_second=99_000.0), "check.time_backwards"),
        (visits_changed(1, leave_second=32_001.0), "check.service_time"),
        (visits_changed(1, start_second=np.nan), "check.service_time"),
        (visits_changed(1, metre=1.0), "check.leg"),
        (visits_changed(1, is_estimated=True), "check.leg"),
        (routes_changed(depart_second=28_000.0), "check.hours"),
        (routes_changed(return_second=60_000.0), "check.hours"),
        (routes_changed(visits=2), "check.total"),
        (routes_changed(drive_second=1.0), "check.total"),
        (routes_changed(service_second=1.0), "check.total"),
        (routes_changed(metre=1.0), "check.total"),
        (routes_changed(back_metre=1.0), "check.total"),
        (routes_changed(is_estimated=True), "check.total"),
    ],
)
def test_a_spoilt_plan_is_found_out(sound, spoil, expected):
    month, plan = sound
    assert expected in ids(spoil(plan), month)


@pytest.mark.parametrize(
    ("stop", "day", "expected"),
    [
        ({"earliest_on": np.array(["2026-06-02"], "M8[D]")}, {}, {"check.day"}),
        ({"is_open": np.zeros((1, 30), dtype=bool)}, {}, {"check.closed"}),
        ({"two_persons": [True]}, {"persons": [1]}, {"check.crew_size"}),
        ({"area": [0]}, {"serves": np.array([[False, True]])}, {"check.area"}),
        ({"area": [1]}, {"serves": np.array([[False, True]])}, set()),
        ({"permit_until_second": [30_000.0]}, {}, {"check.permit"}),
        ({"service_second": [29_000.0]}, {}, {"check.hours"}),
        ({"last_allowed_on": np.array(["2026-05-20"], "M8[D]")}, {}, set()),
        ({"last_allowed_on": np.array(["2026-06-01"], "M8[D]")}, {}, set()),
    ],
)
def test_each_limit_is_read_from_the_task(make_month, stop, day, expected):
    month = make_month(1, stop, day=day)
    assert ids(plan_of(month, 0), month) == expected


def test_the_last_allowed_day_is_kept(make_month):
    stop = {"last_allowed_on": np.array(["2026-06-01"], "M8[D]")}
    month = make_month(1, stop, days=2)
    assert ids(timed({1: [0]}, [], month), month) == {"check.day"}


def test_starting_before_the_permit(make_month):
    month = make_month(1, {"permit_from_second": [36_000.0]})
    plan = plan_of(month, 0)
    early = replace(
        plan,
        visits=changed(plan.visits, 0, start_second=29_400.0, leave_second=30_400.0),
        routes=changed(plan.routes, 0, return_second=31_000.0),
    )
    assert ids(plan, month) == set()
    assert ids(early, month) == {"check.permit"}


def test_one_crew_on_two_routes_of_a_day(make_month):
    day = {"day_on": np.array(["2026-06-01"] * 2, "M8[D]")}
    month = make_month(2, days=2, day=day)
    assert ids(timed({0: [0], 1: [1]}, [], month), month) == {"check.two_places"}


def test_a_plan_for_no_crews(make_month):
    month = make_month(1, days=0)
    plan = timed({}, [Unserved(101, Problem("route.no_crew_day", {}))], month)
    assert ids(plan, month) == set()


def test_every_column_of_a_visit_matters(sound):
    # No number of a visit or a route may be changed unseen.
    month, plan = sound
    for name in ("visits", "routes"):
        table = getattr(plan, name)
        for field in fields(table):
            old = getattr(table, field.name)[0]
            new = not old if isinstance(old, np.bool_) else old + 7
            spoilt = replace(plan, **{name: changed(table, 0, **{field.name: new})})
            assert ids(spoilt, month), (name, field.name)
