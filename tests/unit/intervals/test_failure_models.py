"""Models in force: their text and back, their defaults, what is refused."""

import datetime as dt
import json
from dataclasses import replace

import numpy as np
import pytest

from jointmap.errors import Refused, WrongUse
from jointmap.hazard.class_rates import Pool, pooled
from jointmap.hazard.dates import rates_of, risk_dates
from jointmap.hazard.failure_model import (
    DEFAULT_PRIOR,
    NO_MODEL,
    ClassFamily,
    ageing_alike,
    default_prior,
    from_json,
    model_in_force,
    model_on,
    to_json,
)
from jointmap.tables.risk import (
    ERROR_COLUMNS,
    METHOD_ERRORS,
    RISK_TARGETS,
    TARGET_COLUMNS,
    MethodErrors,
    load_errors,
    load_targets,
)
from jointmap.wording import say
from tests.failure_samples import (
    DAY,
    ON,
    SHORTED,
    days,
    events,
    lives,
)


def test_a_model_is_its_text_and_back():
    model = default_prior()
    pool = Pool(0.01, 2.0)
    family = ClassFamily(pool, ("a", "b"), pooled(pool, *np.ones((3, 2))))
    own = replace(model, device=family, spread_by_method={"ohmmeter": 0.3})
    assert to_json(from_json(to_json(own))) == to_json(own)
    assert to_json(from_json(to_json(model))) == to_json(model)


def test_a_record_with_one_shape_for_all_gives_the_same_dates():
    """As written before shapes were kept apart: rates per year ** shape."""
    rates = pooled(Pool(0.01, 2.0), *np.array([[3.0], [200.0], [200.0]]))
    family = ClassFamily(Pool(0.01, 2.0), ("union, mild, buried",), rates)
    model = replace(default_prior(), ageing=ageing_alike(2.0), device=family)
    older = json.loads(to_json(model))
    del older["ageing"]
    older["device_shape"] = 2.0
    device = older["device"]
    device["names"] = ["union, mild"]
    device["pool"]["mean_rate"] = 0.001
    device["rates"]["rate"] = [rates.rate[0] / 10]
    device["rates"]["exposure"] = [2000.0]
    read = from_json(json.dumps(older))
    assert read.device.names == ("union, mild, above ground", "union, mild, buried")
    assert read.device.pool.mean_rate == pytest.approx(0.01)
    assert read.device.rates.exposure == pytest.approx([200.0, 200.0])
    own = replace(lives("2020-01-01"), mechanism=np.ones(1, np.int16))
    at = replace(own, device_class=np.array([read.device.code("union, mild, buried")]))
    dates = [risk_dates(m, o, events(), DAY) for m, o in ((model, own), (read, at))]
    assert dates[0].end_on == dates[1].end_on
    assert dates[0].device_rate == pytest.approx(dates[1].device_rate)


def test_a_model_that_leaves_a_mechanism_out_is_refused():
    found = json.loads(to_json(default_prior()))
    del found["ageing"]["buried"]
    with pytest.raises(Refused) as refused:
        from_json(json.dumps(found))
    assert refused.value.problems[0].id == "risk.bad_model"


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


GOOD_ROW = "ohmmeter,0.1,0.1,0.8,0.9,0.05,0.05,n,s,m"
TABLE_FAULTS = [
    ("ohmmeter,0.1,0.1,0.7,0.9,0.05,0.05,n,s,m", "risk.errors_sum", ""),
    ("ohmmeter,0,0.1,0.9,0.9,0.05,0.05,n,s,m", "risk.errors_sum", ""),
    ("ohmmeter,0.9,0.05,0.05,0.05,0.05,0.9,n,s,m", "risk.errors_order", ""),
    ("ohmmeter,0.1,0.1,0.8,0.9,0.1,0,n,s,m", "risk.errors_sum", ""),
    ("dowsing,0.1,0.1,0.8,0.9,0.05,0.05,n,s,m", "table.word", "method"),
    ("ohmmeter,0.1,0.1,0.8,0.9,0.05,0.05,n, ,m", "table.no_source", "source"),
    ("ohmmeter,few,0.1,0.8,0.9,0.05,0.05,n,s,m", "table.number", "failed_isolating"),
    ("ohmmeter,-1,0.1,0.8,0.9,0.05,0.05,n,s,m", "table.number", "failed_isolating"),
    ("ohmmeter,0.1", "table.cells", ""),
    (f"{GOOD_ROW},more", "table.cells", ""),
    (f"{GOOD_ROW}\n{GOOD_ROW}", "table.twice", ""),
]


@pytest.mark.parametrize(("row", "problem", "column"), TABLE_FAULTS)
def test_an_unsound_error_table_is_refused_with_its_line(row, problem, column):
    heading = ",".join(ERROR_COLUMNS)
    with pytest.raises(Refused) as refused:
        load_errors(f"{heading}\n{row}\n", "mine.csv")
    (found,) = refused.value.problems
    assert (found.id, found.column) == (problem, column)
    assert found.file == "mine.csv"
    assert found.line == row.count("\n") + 2
    assert say(problem, found.values)


@pytest.mark.parametrize("text", ["", "method,chance\n", "consequence,mark\n"])
def test_a_table_with_another_heading_is_refused(text):
    for load in (load_errors, load_targets):
        with pytest.raises(Refused) as refused:
            load(text)
        assert refused.value.problems[0].id == "table.keys"


def test_every_row_of_the_catalogue_is_the_owners_choice():
    assert len(METHOD_ERRORS) == 12
    assert set(RISK_TARGETS) == set("ABCD")
    rows = [*METHOD_ERRORS.values(), *RISK_TARGETS.values()]
    assert {row.mark for row in rows} == {"owner's choice"}
    assert all(row.source for row in rows)


TARGET_FAULTS = [
    ("A,0,0.1,12,s,m", "risk.target_range"),
    ("A,0.1,1,12,s,m", "risk.target_range"),
    ("A,0.1,0.1,0,s,m", "risk.target_range"),
    ("A,0.1,0.1,1.5,s,m", "table.number"),
    ("E,0.1,0.1,12,s,m", "table.word"),
]


@pytest.mark.parametrize(("row", "problem"), TARGET_FAULTS)
def test_a_target_that_is_none_is_refused(row, problem):
    with pytest.raises(Refused) as refused:
        load_targets(f"{','.join(TARGET_COLUMNS)}\n{row}\n")
    assert refused.value.problems[0].id == problem


def test_a_method_without_table_moves_nothing():
    model = replace(default_prior(), errors=())
    own = events((0, "2021-01-01", SHORTED))
    before = risk_dates(model, lives("2020-01-01"), events(), DAY)
    after = risk_dates(model, lives("2020-01-01"), own, DAY)
    assert after.failed_on_day == pytest.approx(before.failed_on_day)


def test_a_class_unknown_to_the_model_has_the_pools_rate():
    family = ClassFamily(
        Pool(0.01, 2.0), ("a",), pooled(Pool(0.01, 2.0), *np.ones((3, 1)))
    )
    assert (family.code("a"), family.code("b")) == (0, 1)
    assert family.with_other().rate[1] == pytest.approx(0.01)


def test_error_rows_say_what_they_are():
    row = METHOD_ERRORS["ohmmeter"]
    assert isinstance(row, MethodErrors)
    assert list(row.faults()) == []
