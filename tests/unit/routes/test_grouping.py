import numpy as np
import pytest

from jointmap.routes import interruptions, neighbours, timed


def test_sources_by_day_with_the_hours_they_must_cycle(make_month):
    month = make_month(3, days=2)
    plan = timed({0: [0, 1], 1: [2]}, [], month)
    joint = np.array([101, 102, 103, 103, 999])
    source = np.array([20, 20, 20, 10, 30])
    found = interruptions(plan.visits, month.crew_days, joint, source)
    assert found.source_id.tolist() == [10, 20, 20]
    assert [str(d) for d in found.day_on] == ["2026-06-02", "2026-06-01", "2026-06-02"]
    assert found.crew.tolist() == [1, 1, 1]
    assert found.visits.tolist() == [1, 2, 1]
    assert found.from_second.tolist() == [30_600.0, 29_400.0, 30_600.0]
    assert found.until_second.tolist() == [31_600.0, 32_000.0, 31_600.0]


def test_nothing_to_interrupt(make_month):
    month = make_month(1)
    none = np.zeros(0, dtype=np.int64)
    found = interruptions(
        timed({0: [0]}, [], month).visits, month.crew_days, none, none
    )
    assert len(found) == 0


def test_neighbours_within_five_metres():
    joint = np.array([28, 27, 30, 31, 32])
    x = np.array([0.8, 0.0, 100.0, 105.001, np.nan])
    found = neighbours(joint, x, np.zeros(5))
    assert found.joint_id.tolist() == [27]
    assert found.other_id.tolist() == [28]
    assert found.distance_metre == pytest.approx([0.8])
    wider = neighbours(joint, x, np.zeros(5), within_metre=6.0)
    assert wider.other_id.tolist() == [28, 31]


def test_no_places_no_neighbours():
    assert len(neighbours(np.array([1]), np.array([np.nan]), np.array([0.0]))) == 0
