"""Public routing instances: their best-known plans are right by our own checker.

Instances: Solomon 1987. Costs under the rule "times ten, cut to whole numbers".
The files are not part of the project; without them the tests are skipped.
"""

import re
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

FOLDER = Path(__file__).resolve().parents[3] / "shared/reference/data/routing"
# Best-known total distance with a free number of vehicles, and its routes.
BEST = {
    "SOLOMON_C101": (8273, 10),
    "SOLOMON_R101": (16377, 20),
    "SOLOMON_RC101": (16198, 15),
}
DAY = np.datetime64("2026-06-01")


def sections(path):
    found, name = {"": []}, ""
    for line in path.read_text(encoding="ascii").splitlines():
        if re.fullmatch(r"[A-Z_]+SECTION\s*", line):
            name = line.strip()
            found[name] = []
        elif re.match(r"[-\d]", line):
            found[name].append([float(v) for v in line.split()])
        else:
            found[""].append(line)
    return found


def setting(lines, name):
    return int(next(line for line in lines if line.startswith(name)).split(":")[1])


def read(name):
    """Return the instance as a month of one day with a crew for every vehicle."""
    parts = sections(FOLDER / f"{name}.vrp")
    xy = np.array(parts["NODE_COORD_SECTION"])[:, 1:]
    window = 10.0 * np.array(parts["TIME_WINDOW_SECTION"])[:, 1:]
    service = 10.0 * setting(parts[""], "SERVICE_TIME")
    crews, joints = setting(parts[""], "VEHICLES"), len(xy) - 1
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
    text = (FOLDER / f"{name}.sol").read_text(encoding="ascii")
    routes = re.findall(r"Route #\d+:([\d ]+)", text)
    sequences = [[int(v) - 1 for v in route.split()] for route in routes]
    return timed(dict(enumerate(sequences)), [], month)


@pytest.fixture(params=BEST)
def instance(request):
    if not FOLDER.is_dir():
        pytest.skip("the public routing instances are not here")
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
