"""Public routing instances: their best-known plans are right by our own checker.

Instances: Solomon 1987. Costs under the rule "times ten, cut to whole numbers".
"""

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from jointmap.routes import (
    CrewDayColumns,
    Month,
    StopColumns,
    TravelTimes,
    faults,
    greedy,
    timed,
)

HERE = Path(__file__).parent
# Best-known total distance with a free number of vehicles, and its routes.
BEST = {"C101": (8273, 10), "R101": (16377, 20), "RC101": (16198, 15)}
VEHICLES = 25
DAY = np.datetime64("2026-06-01")


def table(name, instance):
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = [r for r in csv.DictReader(file) if r["instance"] == instance]
    assert all(row["source"] and row["mark"] for row in rows)
    return rows


def read(name):
    """Return the instance as a month of one day with a crew for every vehicle."""
    rows = table("routing_customers", name)
    assert [int(row["customer"]) for row in rows] == list(range(101))
    xy, window = (
        np.array([[float(row[c]) for c in columns] for row in rows])
        for columns in (("x", "y"), ("opens", "closes"))
    )
    window, service = 10.0 * window, 10.0 * float(rows[1]["service"])
    crews, joints = VEHICLES, len(xy) - 1
    apart = np.floor(10.0 * np.hypot(*(xy[:, None] - xy[None]).transpose(2, 0, 1)))
    stops = StopColumns(
        np.arange(joints) + 1,
        np.arange(joints) + 1,
        np.full(joints, service),
        np.full(joints, DAY),
        np.full(joints, DAY),
        np.zeros(joints, dtype=bool),
        window[1:, 0],
        window[1:, 1] + service,  # theirs ends the start, ours the end of service
        np.full(joints, -1, dtype=np.int16),
        np.ones((joints, 30), dtype=bool),
    )
    crew_days = CrewDayColumns(
        np.arange(crews),
        np.full(crews, DAY),
        np.full(crews, window[0, 0]),
        np.full(crews, window[0, 1]),
        np.ones(crews, dtype=np.int64),
        np.zeros(crews, dtype=np.int64),
        np.ones((crews, 0), dtype=bool),
    )
    return Month(
        stops, crew_days, TravelTimes(apart, apart, np.zeros(apart.shape, bool))
    )


def best_plan(name, month):
    routes = [row["customers"].split() for row in table("routing_plans", name)]
    sequences = [[int(v) - 1 for v in route] for route in routes]
    return timed(dict(enumerate(sequences)), [], month)


@pytest.fixture(params=BEST)
def instance(request):
    month = read(request.param)
    return request.param, month, best_plan(request.param, month)


def test_best_known_plan_is_right_at_its_cost(instance):
    name, month, plan = instance
    assert faults(plan, month.stops, month.crew_days, month.travel) == []
    cost, routes = BEST[name]
    assert plan.routes.metre.sum() == cost
    assert len(plan.routes) == routes
    assert len(plan.visits) == 100


def test_a_joint_taken_out_of_the_best_known_plan_is_missed(instance):
    _, month, plan = instance
    fewer = replace(plan, visits=plan.visits.take(np.arange(99)))
    assert faults(fewer, month.stops, month.crew_days, month.travel)


def test_greedy_is_right_and_not_better_than_the_best_known(instance):
    name, month, _ = instance
    plan = greedy(month.stops, month.crew_days, month.travel)
    assert faults(plan, month.stops, month.crew_days, month.travel) == []
    if not plan.unserved:
        assert plan.routes.metre.sum() >= BEST[name][0]
