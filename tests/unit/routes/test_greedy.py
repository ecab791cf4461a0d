import numpy as np
import pytest

from jointmap.routes import REASONS, faults, greedy
from jointmap.wording import say


def planned(month):
    plan = greedy(month.stops, month.crew_days, month.travel)
    assert faults(plan, month.stops, month.crew_days, month.travel) == []
    visits = plan.visits
    order = [
        (int(r), int(j)) for r, j in zip(visits.crew_day, visits.joint_id, strict=True)
    ]
    return plan, order


def only_reason(month):
    plan, order = planned(month)
    assert order == []
    (left,) = plan.unserved
    assert left.reason.id in REASONS
    assert "not given" not in say(left.reason.id, left.reason.values)
    return left.reason.id


JUNE_1 = "2026-06-01"
JUNE = np.arange("2026-06-01", "2026-07-01", dtype="datetime64[D]")


def test_nearest_first_with_times_and_totals(make_month):
    plan, order = planned(make_month(stop={"place": [3, 1, 2]}))
    assert order == [(0, 102), (0, 103), (0, 101)]
    assert plan.visits.order.tolist() == [1, 2, 3]
    assert plan.visits.arrive_second.tolist() == [29_400.0, 31_000.0, 32_600.0]
    assert plan.visits.leave_second.tolist() == [30_400.0, 32_000.0, 33_600.0]
    assert plan.routes.return_second.tolist() == [35_400.0]
    assert plan.routes.metre.tolist() == [60_000.0]
    assert plan.routes.back_metre.tolist() == [30_000.0]
    assert plan.routes.drive_second.tolist() == [3600.0]
    assert plan.routes.service_second.tolist() == [3000.0]
    assert plan.routes.is_estimated.tolist() == [False]
    assert plan.unserved == ()


def test_a_last_allowed_day_goes_before_a_nearer_stop(make_month):
    stop = {
        "place": [1, 5],
        "last_allowed_on": np.array(["NaT", "2026-06-01"], "M8[D]"),
    }
    _, order = planned(make_month(2, stop, days=8))
    assert [j for _, j in order] == [102, 101]
    assert {r for r, _ in order} == {0}


def test_a_day_already_past_is_planned_first_all_the_same(make_month):
    stop = {
        "place": [1, 5],
        "last_allowed_on": np.array(["NaT", "2026-05-20"], "M8[D]"),
    }
    _, order = planned(make_month(2, stop, days=8))
    assert [j for _, j in order] == [102, 101]


def test_earliest_day_is_kept(make_month):
    stop = {"earliest_on": np.array(["2026-06-03"], "M8[D]")}
    _, order = planned(make_month(1, stop, days=5))
    assert order == [(2, 101)]


def test_permit_hours_are_waited_for(make_month):
    stop = {"permit_from_second": [36_000.0], "permit_until_second": [37_000.0]}
    plan, _ = planned(make_month(1, stop))
    assert plan.visits.arrive_second.tolist() == [29_400.0]
    assert plan.visits.start_second.tolist() == [36_000.0]


def test_work_must_end_within_the_permit(make_month):
    stop = {"permit_from_second": [36_000.0], "permit_until_second": [36_999.0]}
    assert only_reason(make_month(1, stop)) == "route.permit_hours"


def test_two_persons_wait_for_a_crew_of_two(make_month):
    day = {"persons": [1, 2]}
    _, order = planned(make_month(1, {"two_persons": [True]}, days=2, day=day))
    assert order == [(1, 101)]


def test_season_and_area(make_month):
    open_ = np.zeros((1, 30), dtype=bool)
    open_[0, [1, 2]] = True
    stop = {"is_open": open_, "area": [1]}
    day = {"serves": np.array([[True, True], [True, False], [False, True]])}
    _, order = planned(make_month(1, stop, days=3, day=day))
    assert order == [(2, 101)]


def test_each_crew_takes_what_its_depot_is_near_to(make_month):
    day = {
        "day_on": JUNE[[0, 0]],
        "crew": [1, 2],
        "depot_place": [0, 9],
    }
    # Plenty of later days, so that nothing is urgent.
    day = {k: np.tile(v, 6) for k, v in day.items()}
    day["day_on"] = np.repeat(JUNE[:6], 2)
    month = make_month(4, {"place": [1, 8, 2, 7]}, days=12, day=day)
    _, order = planned(month)
    assert order == [(0, 101), (0, 103), (1, 102), (1, 104)]


def test_what_one_depot_cannot_hold_another_takes(make_month):
    day = {
        "day_on": np.repeat(JUNE[:4], 2),
        "crew": np.tile([1, 2], 4),
        "depot_place": np.tile([0, 9], 4),
        "until_second": np.tile([31_000.0, 57_600.0], 4),
    }
    # Five stops at the first depot's door, four days with room for one each.
    stop = {"place": [1] * 5}
    plan, order = planned(make_month(5, stop, days=8, day=day))
    assert plan.unserved == ()
    assert {r % 2 for r, _ in order} == {0, 1}


def test_ties_go_to_the_lower_id(make_month):
    _, order = planned(make_month(3, {"joint_id": [9, 7, 8], "place": [1, 1, 1]}))
    assert [j for _, j in order] == [7, 8, 9]


def test_estimated_legs_mark_the_route(make_month):
    plan, _ = planned(make_month(2, {"place": [1, 6]}))
    assert plan.visits.is_estimated.tolist() == [False, True]
    assert plan.routes.is_estimated.tolist() == [True]


@pytest.mark.parametrize(
    ("stop", "day", "reason"),
    [
        ({"earliest_on": np.array(["2026-06-09"], "M8[D]")}, {}, "route.no_crew_day"),
        (
            {
                "earliest_on": np.array(["2026-06-02"], "M8[D]"),
                "last_allowed_on": np.array(["2026-06-01"], "M8[D]"),
            },
            {},
            "route.no_crew_day",
        ),
        ({"is_open": np.zeros((1, 30), dtype=bool)}, {}, "route.closed"),
        ({"area": [0]}, {"serves": np.array([[False, True]])}, "route.area"),
        ({"two_persons": [True]}, {"persons": [1]}, "route.two_persons"),
        ({"permit_until_second": [30_000.0]}, {}, "route.permit_hours"),
        ({"permit_from_second": [57_000.0]}, {}, "route.too_long"),
        ({"service_second": [30_000.0]}, {}, "route.too_long"),
    ],
)
def test_why_a_stop_is_left_out(make_month, stop, day, reason):
    assert only_reason(make_month(1, stop, day=day)) == reason


@pytest.mark.parametrize("last", ["NaT", "2012-03-29", "2026-06-01", "2026-06-29"])
@pytest.mark.parametrize("earliest", ["2026-05-16", "2026-06-03"])
@pytest.mark.parametrize("days", [0, 1, 5])
def test_no_span_ends_before_it_begins(make_month, last, earliest, days):
    stop = {
        "earliest_on": np.array([earliest], "M8[D]"),
        "last_allowed_on": np.array([last], "M8[D]"),
        "is_open": np.zeros((1, 30), dtype=bool),
    }
    (left,) = planned(make_month(1, stop, days=days))[0].unserved
    told = say(left.reason.id, left.reason.values)
    assert "NaT" not in told
    assert f"from {earliest}" in told
    assert (f"to {last}" in told) is (
        "NaT" > last >= max(earliest, JUNE_1 * bool(days))
    )


def test_a_full_month_says_so(make_month):
    month = make_month(3, {"service_second": [20_000.0] * 3})
    plan, order = planned(month)
    assert len(order) == 1
    assert [(u.joint_id, u.reason.id) for u in plan.unserved] == [
        (102, "route.no_room"),
        (103, "route.no_room"),
    ]


def test_no_crews_and_no_stops(make_month):
    assert only_reason(make_month(1, days=0)) == "route.no_crew_day"
    plan, order = planned(make_month(0))
    assert (order, plan.unserved, len(plan.routes)) == ([], (), 0)
