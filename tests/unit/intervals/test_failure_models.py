"""Models in force: their text and back, their defaults, what is refused."""

import datetime as dt
import json
from dataclasses import replace

import numpy as np
import pytest

from jointmap.errors import Refused, WrongUse
from jointmap.intervals import learning, weibull
from jointmap.intervals.candidates import REASONS
from jointmap.intervals.class_pool import fit_pool, log_marginal
from jointmap.intervals.class_rates import Pool, pooled
from jointmap.intervals.early_classes import (
    Watched,
    corrected_for_looks,
    early_classes,
    early_years,
)
from jointmap.intervals.failure_model import (
    DEFAULT_PRIOR,
    NO_MODEL,
    ClassFamily,
    default_prior,
    from_json,
    model_in_force,
    model_on,
    to_json,
)
from jointmap.intervals.hazard_ages import Change, LifeEvents, gathered
from jointmap.intervals.hazard_candidates import risk_of
from jointmap.intervals.hazard_dates import LifeColumns, rates_of, risk_dates
from jointmap.intervals.hazard_interval import Ahead, years_of_hazard
from jointmap.intervals.hazard_outlook import average_hidden, predicted_and_found
from jointmap.intervals.learning import causes_of, learn
from jointmap.intervals.seen_lives import seen_lives
from jointmap.intervals.trend import (
    Readings,
    lines_through,
    method_spread,
    remaining_years,
    trend_dates,
    years_of,
)
from jointmap.intervals.turnbull import turnbull
from jointmap.intervals.weibull import LifeIntervals, fit_weibull
from jointmap.register.codes import Basis, code_of
from jointmap.tables import METHOD_CODES
from jointmap.tables.risk import (
    METHOD_ERRORS,
    RISK_TARGETS,
    MethodErrors,
    load_errors,
    load_targets,
)
from jointmap.wording import say
from tests.simulated_plant import NAMES, Plant

ON = dt.date(2026, 5, 15)
DAY = np.datetime64(ON, "D")
SHIFT = METHOD_CODES["potential-shift"]
GOOD, SHORTED = 0, 2


def days(*texts):
    return np.array(texts, "datetime64[D]")


def events(*rows):
    """Rows of (joint, day, verdict), or (joint, day, a change and its cause)."""
    found = []
    for row, day, what in rows:
        test = isinstance(what, int)
        change, device, place = (Change.NONE, False, False) if test else what
        found.append(
            (row, day, 0 if test else 1, change, SHIFT if test else -1,
             what if test else -1, device, place)
        )  # fmt: skip
    columns = [list(c) for c in zip(*found, strict=True)] or [[]] * 8
    kinds = ("i8", "datetime64[D]", "i2", "i2", "i2", "i2", "?", "?")
    return LifeEvents(*(np.array(c, k) for c, k in zip(columns, kinds, strict=True)))


NEW_DEVICE = (Change.DEVICE, True, False)
WAY_AROUND = (Change.PLACE, False, True)


def lives(*starts, consequence=1):
    code = np.zeros(len(starts), np.int16)
    return LifeColumns(days(*starts), code, code, code + consequence)


def test_a_model_is_its_text_and_back():
    model = default_prior()
    pool = Pool(0.01, 2.0)
    family = ClassFamily(pool, ("a", "b"), pooled(pool, *np.ones((3, 2))))
    own = replace(model, device=family, spread_by_method={"ohmmeter": 0.3})
    assert to_json(from_json(to_json(own))) == to_json(own)
    assert to_json(from_json(to_json(model))) == to_json(model)


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "{}", '{"form": 2}', '{"form": 1}', "7"]
)
def test_a_text_that_is_no_model_is_refused(text):
    with pytest.raises(Refused) as refused:
        from_json(text)
    assert refused.value.problems[0].id == "risk.bad_model"


def test_a_model_whose_tables_contradict_is_refused():
    found = json.loads(to_json(default_prior()))
    found["errors"][0]["failed"] = found["errors"][0]["sound"]
    with pytest.raises(Refused) as refused:
        from_json(json.dumps(found))
    assert refused.value.problems[0].id == "risk.errors_order"


def test_the_catalogue_of_models():
    record = model_in_force(DEFAULT_PRIOR, ON)
    assert record.source == "no data of your own"
    assert to_json(from_json(record.numbers)) == record.numbers
    ended = model_in_force(NO_MODEL, dt.date(2026, 6, 1))
    force = {1: record, 2: ended}
    assert model_on(force, dt.date(2026, 5, 14)) is None
    assert model_on(force, ON) is record
    assert model_on(force, dt.date(2026, 6, 1)) is None
    for given in (("none", ON, None), (DEFAULT_PRIOR, ON, ON)):
        with pytest.raises(WrongUse):
            model_in_force(*given)


def test_the_default_prior_gives_the_intervals_of_its_own_words():
    """Mean 0.01, as sure as one failure in 100 years: 100 ((1-p)^-1 - 1) years."""
    flat = replace(default_prior(), joint_spread=1e9, cautious_class="")
    for place, target in enumerate(RISK_TARGETS.values()):
        only = replace(target, average_chance=0.9)
        model = replace(flat, targets=(only,))
        dates = risk_dates(model, lives("2020-01-01", consequence=place), events(), DAY)
        years = 100 * (1 / (1 - target.end_chance) - 1)
        gone = (dates.end_on[0] - days("2020-01-01")[0]).astype(int)
        assert gone == int(years * 365.25)


def test_the_cautious_class_is_tested_sooner():
    model = default_prior()
    plain = replace(model, cautious_class="")
    own = lives("2020-01-01", consequence=0)
    ends = [risk_dates(m, own, events(), DAY).end_on[0] for m in (model, plain)]
    assert ends[0] < ends[1]
    assert rates_of(model, own).likeness[0] == model.joint_spread


CATALOGUE_FAULTS = [
    ("ohmmeter,0.1,0.1,0.7,0.9,0.05,0.05,n,s,m", "risk.errors_sum"),
    ("ohmmeter,0,0.1,0.9,0.9,0.05,0.05,n,s,m", "risk.errors_sum"),
    ("ohmmeter,0.9,0.05,0.05,0.05,0.05,0.9,n,s,m", "risk.errors_order"),
    ("ohmmeter,0.1,0.1,0.8,0.9,0.1,0,n,s,m", "risk.errors_sum"),
    ("dowsing,0.1,0.1,0.8,0.9,0.05,0.05,n,s,m", "risk.errors_method"),
    ("ohmmeter,0.1,0.1,0.8,0.9,0.05,0.05,n,,m", "risk.errors_method"),
]


@pytest.mark.parametrize(("row", "problem"), CATALOGUE_FAULTS)
def test_an_error_table_that_contradicts_itself_is_refused(row, problem):
    names = ["failed_isolating", "failed_doubtful", "failed_shorted"]
    names += [n.replace("failed", "sound") for n in names]
    heading = ",".join(["method", *names, "note", "source", "mark"])
    with pytest.raises(Refused) as refused:
        load_errors(f"{heading}\n{row}\n")
    assert refused.value.problems[0].id == problem
    assert say(problem, refused.value.problems[0].values)


def test_every_row_of_the_catalogue_is_the_owners_choice():
    assert len(METHOD_ERRORS) == 12
    assert set(RISK_TARGETS) == set("ABCD")
    rows = [*METHOD_ERRORS.values(), *RISK_TARGETS.values()]
    assert {row.mark for row in rows} == {"owner's choice"}
    assert all(row.source for row in rows)


@pytest.mark.parametrize("row", ["A,0,0.1,12,s,m", "A,0.1,1,12,s,m", "A,0.1,0.1,0,s,m"])
def test_a_target_that_is_none_is_refused(row):
    heading = "consequence,end_chance,average_chance,cap_months,source,mark"
    with pytest.raises(Refused) as refused:
        load_targets(f"{heading}\n{row}\n")
    assert refused.value.problems[0].id == "risk.target_range"


def test_a_method_without_table_moves_nothing():
    model = replace(default_prior(), errors=())
    own = events((0, "2021-01-01", SHORTED))
    before = risk_dates(model, lives("2020-01-01"), events(), DAY)
    after = risk_dates(model, lives("2020-01-01"), own, DAY)
    assert after.failed_on_day == pytest.approx(before.failed_on_day)


@pytest.mark.parametrize(
    ("after", "until", "problem"),
    [
        ([2.0, 1.0], [1.0, np.inf], "risk.life_backwards"),
        ([-1.0, 1.0], [1.0, np.inf], "risk.life_backwards"),
        ([1.0, 2.0], [np.inf, np.inf], "risk.no_failure"),
        ([1.0, 1.0], [np.nextafter(1.0, 2.0)] * 2, "risk.no_fit"),
        ([0.0, 1.0], [1.0, np.inf], "risk.no_fit"),
        ([9.0, 9.5, 9.8, 0.0], [10.0, 10.5, 10.2, 9.9], "risk.no_fit"),
    ],
)
def test_lives_that_no_law_fits_are_refused(after, until, problem):
    lived = LifeIntervals(np.array(after), np.array(until), np.ones(len(after)))
    with pytest.raises(Refused) as refused:
        fit_weibull(lived)
    assert refused.value.problems[0].id == problem
    assert say(problem, refused.value.problems[0].values)


def test_a_far_start_is_walked_up_to():
    """Failures all late: the first steps overshoot and are halved."""
    after = np.array([9.0, 9.5, 8.0, 0.0, 10.0])
    until = np.array([9.4, 10.5, 8.5, 7.0, 11.0])
    fit = fit_weibull(LifeIntervals(after, until, np.array([50.0, 50, 50, 1, 20])))
    assert fit.shape > 8
    assert fit.steps > 3


def test_a_step_too_far_is_halved_until_it_climbs(monkeypatch):
    lived = LifeIntervals(np.array([0.0, 1]), np.array([2.0, np.inf]), np.ones(2))
    points = weibull._Points.of(lived)
    place = np.array([0.0, 1.0])
    value, slope, _ = points.derivatives(place)
    there, found, _, _ = weibull._halved(points, place, value, slope * 1e6)
    assert found > value
    assert np.abs(there - place).max() < 1e3
    monkeypatch.setattr(weibull, "_HALVINGS", 1)
    down = weibull._halved(points, place, value, -slope)
    assert down[1] < value


def test_turnbull_of_exact_halves():
    masses = turnbull(LifeIntervals(np.zeros(2), np.array([1.0, 2.0]), np.ones(2)))
    assert masses.share.tolist() == [1.0]


def test_searches_that_are_cut_short_stay_near(monkeypatch):
    monkeypatch.setattr("jointmap.intervals.turnbull._MOST_ROUNDS", 1)
    count = np.array([1.0, 5, 2])
    lived = LifeIntervals(np.array([0.0, 0, 2]), np.array([3.0, 1, 4]), count)
    assert turnbull(lived).share.sum() == pytest.approx(1.0)
    monkeypatch.setattr("jointmap.intervals.weibull._MOST_STEPS", 2)
    with pytest.raises(Refused):
        fit_weibull(lived)
    one = Ahead(*np.array([[2.0], [0.01], [2.0], [0.02]]))
    exact = years_of_hazard(one, np.array([0.3]))
    monkeypatch.setattr("jointmap.intervals.hazard_interval._NEWTON", 2)
    rough = years_of_hazard(one, np.array([0.3]))
    assert rough == pytest.approx(exact, rel=0.05)


def test_a_class_unknown_to_the_model_has_the_pools_rate():
    family = ClassFamily(
        Pool(0.01, 2.0), ("a",), pooled(Pool(0.01, 2.0), *np.ones((3, 1)))
    )
    assert (family.code("a"), family.code("b")) == (0, 1)
    assert family.with_other().rate[1] == pytest.approx(0.01)


def test_years_since_1970():
    assert years_of(days("1970-01-01", "1971-01-01")) * 365.25 == pytest.approx(
        [0, 365]
    )


def test_pools_of_classes():
    failures, exposure = (
        np.array([0.0, 4, 9, 2, 30]),
        np.array([90.0, 100, 110, 80, 100]),
    )
    pool = fit_pool(failures, exposure)
    assert 0.02 < pool.mean_rate < 0.2
    nudged = [Pool(pool.mean_rate * f, pool.likeness) for f in (0.8, 1.25)]
    best = log_marginal(pool, failures, exposure)
    assert all(log_marginal(p, failures, exposure) < best + 0.1 for p in nudged)
    rates = pooled(pool, failures, exposure, exposure)
    own = failures / exposure
    middle = np.minimum(own, pool.mean_rate), np.maximum(own, pool.mean_rate)
    assert ((middle[0] <= rates.rate) & (rates.rate <= middle[1])).all()
    none = fit_pool(np.zeros(3), np.full(3, 1000.0))
    assert none.mean_rate < 0.005


def test_hazard_of_one_kind_only_and_of_none():
    one = Ahead(*np.array([[2.0] * 3, [0.01, 0.0, 0.0], [2.0] * 3, [0.0, 0.02, 0.0]]))
    years = years_of_hazard(one, np.array([0.05, 0.05, 0.05]))
    assert years[0] == pytest.approx(np.sqrt(4 + 5) - 2)
    assert years[1] == pytest.approx(2.5)
    assert np.isinf(years[2]) or np.isnan(years[2])
    assert years_of_hazard(one, np.zeros(3)).tolist() == [0.0, 0.0, 0.0]


def test_ages_run_from_the_last_new_device():
    own = events(
        (0, "2021-01-01", GOOD),
        (0, "2022-01-01", SHORTED),
        (0, "2022-02-01", NEW_DEVICE),
        (0, "2023-02-01", GOOD),
        (1, "2021-01-01", SHORTED),
        (1, "2021-06-01", WAY_AROUND),
        (1, "2022-01-01", GOOD),
    )
    steps, reached = gathered(days("2020-01-01", "2020-01-01", "2020-03-01"), own)
    assert steps.device_until_year * 365.25 == pytest.approx(
        [366, 731, 762, 365, 366, 517, 731]
    )
    assert steps.device_from_year * 365.25 == pytest.approx(
        [0, 366, 731, 0, 0, 366, 517]
    )
    assert reached.device_age_year * 365.25 == pytest.approx([365, 731, 0])
    assert reached.last_on.tolist()[2] == dt.date(2020, 3, 1)
    causes = causes_of(steps)
    assert causes.row.tolist() == [0, 1]
    assert causes.by_device.tolist() == [True, False]
    assert causes.gained(steps.years) * 365.25 == pytest.approx([396, 517])


def test_candidates_of_risk():
    model = default_prior()
    own = lives("2020-01-01", "2020-01-01", "2020-01-01", "2020-01-01", consequence=1)
    own = replace(own, consequence=np.array([1, 1, 1, -1], np.int16))
    record = events(
        (0, "2025-01-01", GOOD),
        (1, "2025-01-01", SHORTED),
        (2, "2024-01-01", GOOD),
        (2, "2025-01-01", SHORTED),
        (2, "2025-02-01", NEW_DEVICE),
    )
    risk = risk_of(model, own, record, np.array([10, 11, 12, 13]), DAY)
    found = {
        (int(r), REASONS[int(c)]): d
        for r, c, d in zip(
            risk.candidates.row,
            risk.candidates.reason,
            risk.candidates.last_allowed_on,
            strict=True,
        )
    }  # fmt: skip
    assert set(found) == {
        (10, "due.risk_average"),
        (11, "due.risk_least"),
        (12, "due.risk_average"),
        (12, "due.risk_ratchet"),
        (10, "due.risk_cap"),
        (11, "due.risk_cap"),
        (12, "due.risk_cap"),
    }
    assert found[11, "due.risk_least"] == days("2025-01-31")[0]
    assert found[10, "due.risk_cap"] == days("2027-01-01")[0]
    bases = dict(zip(risk.candidates.reason, risk.candidates.basis, strict=True))
    assert bases[REASONS.index("due.risk_cap")] == code_of(Basis.OWNER)
    only_end = replace(
        model, targets=tuple(replace(t, average_chance=0.9) for t in model.targets)
    )
    ends = risk_of(only_end, own, record, np.arange(4), DAY).candidates
    assert REASONS.index("due.risk") in ends.reason


def test_learning_from_few_failures_keeps_the_prior_shape():
    own = lives("2010-01-01", "2010-01-01")
    record = events((0, "2015-01-01", GOOD), (1, "2015-01-01", SHORTED))
    model = learn(default_prior(), own, record, ("kit",), ("protection",))
    assert model.device_shape == 1.0
    assert model.device.names == ("kit",)
    assert "effective failures in 10 joint-years" in model.data
    assert model.device.rates.joint_years[0] == pytest.approx(10, abs=0.01)


def test_learning_is_the_same_for_a_sample_that_is_the_whole(monkeypatch):
    plant = Plant(3, 150)
    plant.history(20.0)
    whole = learn(default_prior(), plant.lives(), plant.events(), NAMES, NAMES)
    monkeypatch.setattr(learning, "SAMPLE", 100)
    part = learn(default_prior(), plant.lives(), plant.events(), NAMES, NAMES)
    assert part.data.split(" in ")[1] == whole.data.split(" in ")[1]
    assert 0.5 < part.device_shape / whole.device_shape < 2.0


def test_what_a_plan_leaves_hidden():
    own = lives("2020-01-01", "2020-01-01")
    record = events((0, "2024-01-01", GOOD), (1, "2024-01-01", GOOD))
    hidden = average_hidden(default_prior(), own, record, days("2025-01-01", "NaT"))
    assert 0 < hidden[0] < 0.05
    assert np.isnan(hidden[1])


def test_predicted_against_found_by_quarter():
    own = lives("2020-01-01")
    record = events(
        (0, "2024-01-15", GOOD), (0, "2024-02-15", SHORTED), (0, "2024-04-01", GOOD)
    )
    found = predicted_and_found(default_prior(), own, record)
    assert found.begins_on.tolist() == [dt.date(2024, 1, 1), dt.date(2024, 4, 1)]
    assert (found.tests.tolist(), found.found.tolist()) == ([2, 1], [1, 0])
    assert ((found.low <= found.predicted) & (found.predicted <= found.high)).all()
    assert not found.outside.any()


def test_lives_as_seen():
    own = events(
        (0, "2021-01-01", GOOD),
        (0, "2022-01-01", SHORTED),
        (0, "2022-02-01", NEW_DEVICE),
        (0, "2023-02-01", GOOD),
        (1, "2019-01-02", SHORTED),
        (1, "2020-01-01", GOOD),
    )
    steps, _ = gathered(days("2020-01-01", "2019-01-01"), own)
    seen = seen_lives(steps)
    assert seen.after_year * 365.25 == pytest.approx([366, 365, 0])
    assert seen.until_year * 365.25 == pytest.approx([731, np.inf, 1])


def readings(values, step=0.5):
    n = len(values)
    zero = np.zeros(n, np.int64)
    return Readings(zero, 50 + step * np.arange(n), np.array(values), zero.astype("i2"))


def test_trends_that_are_none():
    for values, step in (
        ([9.0, 8, 7], 0.5),
        ([9.0, 8, 7, 6], 0.2),
        ([6.0, 7, 8, 9], 0.5),
    ):
        lines = lines_through(readings(values, step), 1)
        assert np.isnat(trend_dates(lines, np.array([3.0]), np.array([0.1]))[0])
    lines = lines_through(readings([9.0, 8, 7, 6]), 1)
    for limit, spread in ((np.nan, 0.1), (3.0, np.nan)):
        assert np.isinf(remaining_years(lines, np.array([limit]), np.array([spread])))[
            0
        ]


def test_trend_to_half_of_what_is_left():
    lines = lines_through(readings([9.0, 8, 7, 6]), 1)
    spread = np.array([1e-9])
    assert remaining_years(lines, np.array([4.0]), spread)[0] == pytest.approx(1.0)
    assert remaining_years(lines, np.array([7.0]), spread)[0] == 0.0
    due = trend_dates(lines, np.array([4.0]), spread)
    assert due[0] == days("1970-01-01")[0] + round(51.5 * 365.25) + int(0.5 * 365.25)


def test_scatter_is_pooled_by_method():
    lines = lines_through(readings([5.0, 5.2, 5.0, 5.2]), 1)
    found = method_spread(lines, 2)
    assert found[0] == pytest.approx(np.sqrt(lines.squared_misses[0] / 2))
    assert np.isnan(found[1])


def test_early_classes_are_held_against_all_others():
    fitted = np.zeros(40)
    failed = np.where(np.arange(40) < 7, 1.0, np.inf)
    failed[39] = 2.0
    watched = early_years(fitted, failed, np.full(40, 10.0), 3.0)
    batch = np.array([0] * 15 + [1] * 24 + [-1])
    everyone = np.zeros(40, int)
    scan = early_classes(
        watched, {"batch": (("19-07", "20-01"), batch), "plant": (("all",), everyone)}
    )
    assert len(scan) == 2
    assert (scan.look[0], scan.code[0], scan.failures[0]) == (0, 0, 7)
    assert scan.raw_p[0] < scan.share_p[0]
    assert scan.corrected_p[0] == pytest.approx(2 * scan.raw_p[0])
    assert scan.raw_p[1] == 1.0


def test_others_without_a_failure_are_held_by_share():
    watched = Watched(np.array([1, 1, 1, 0, 0, 0, 0]), np.ones(7))
    scan = early_classes(watched, {"b": (("x", "y"), np.array([0, 0, 0, 1, 1, 1, 1]))})
    assert scan.raw_p[0] == pytest.approx((3 / 7) ** 3)
    assert scan.expected[0] == 0.0


def test_many_looks_are_paid_for():
    assert corrected_for_looks(np.array([0.01, 0.02, 0.9])) == pytest.approx(
        [0.03, 0.04, 0.9]
    )
    assert corrected_for_looks(np.array([0.5, 0.6])).max() == 1.0


def test_error_rows_say_what_they_are():
    row = METHOD_ERRORS["ohmmeter"]
    assert isinstance(row, MethodErrors)
    assert list(row.faults()) == []
