"""From the catalogue into force, and what is refused on the way."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from jointmap.errors import Refused, WrongUse
from jointmap.intervals import TRIGGERS, citation, rule_columns, rule_in_force
from jointmap.intervals.rules import margin_of, refuse_unsound
from jointmap.intervals.triggers import WHILE_IT_STANDS, trigger_code
from jointmap.register.codes import (
    Basis,
    Mark,
    OccurrenceKind,
    Purpose,
    Subject,
)
from jointmap.register.rule_codes import NUMBERS_OF_SHAPE, RuleShape
from jointmap.tables.interval_rules import RULES
from tests.due_samples import ON, SINCE, own_rule, own_rules, rules


@pytest.mark.parametrize("name", RULES)
def test_every_row_of_the_catalogue_can_be_put_in_force(name):
    rule = rule_in_force(name, SINCE)
    assert (rule.name, rule.from_on, rule.until_on) == (name, SINCE, None)
    assert rule.source == RULES[name].source
    refuse_unsound(rule_columns({1: rule}, ON))


def test_changes_override_the_row():
    changes = {"subject": Subject.JOINT, "months": 30}
    rule = rule_in_force("cfr-192.481a1-atmospheric", SINCE, ON, **changes)
    assert (rule.subject, rule.years, rule.months) == (Subject.JOINT, 3, 30)
    assert rule.until_on == ON


def test_an_unknown_rule_is_refused():
    with pytest.raises(WrongUse, match=r"due\.rule_unknown"):
        rule_in_force("no-such-rule", SINCE)


def test_a_change_that_fits_no_field_type_is_refused():
    with pytest.raises(Refused, match=r"record\.type"):
        rule_in_force("owner-floor", SINCE, months="one")


def test_columns_hold_codes_and_nothing_for_none():
    found = rules("owner-ship-shore-harsh", "owner-shorten-storm")
    assert found.rule_id.tolist() == [1, 2]
    assert found.purpose.tolist() == [Purpose.SHIP_SHORE.code, -1]
    assert found.trigger.tolist() == [-1, TRIGGERS.index("storm")]
    assert found.months.tolist() == [6, 0]
    assert np.isnan(found.factor[0])
    assert found.factor[1] == 0.5


@pytest.mark.parametrize(
    ("on", "count"),
    [
        (dt.date(2019, 12, 31), 0),
        (dt.date(2020, 1, 1), 1),
        (dt.date(2021, 6, 30), 1),
        (dt.date(2021, 7, 1), 0),
    ],
)
def test_a_rule_is_in_force_from_its_first_to_its_last_day(on, count):
    days = (dt.date(2020, 1, 1), dt.date(2021, 6, 30))
    rule = rule_in_force("owner-floor", *days)
    assert len(rule_columns({1: rule}, on)) == count


def test_citation_says_when_the_text_was_not_seen():
    assert citation(rule_in_force("cfr-192.465a-joint", SINCE)) == "49 CFR 192.465(a)"
    recalled = rule_in_force("iso-15589-1-surge-device", SINCE)
    assert citation(recalled) == "ISO 15589-1, from memory"
    own = rule_in_force("owner-floor", SINCE)
    assert citation(own) == "owner's procedure, proposed"
    assert own.mark is Mark.OWNER_CHOICE


WHOLE = {"years": 1, "months": 12, "days": 30, "factor": 0.5, "trigger": "storm"}


FIELDS = [(s, f) for s, needed in NUMBERS_OF_SHAPE.items() for f in needed]


@pytest.mark.parametrize(("shape", "field"), FIELDS)
def test_a_rule_that_lacks_a_number_is_refused_as_record_and_as_columns(shape, field):
    needed = {f: WHOLE[f] for f in NUMBERS_OF_SHAPE[shape]}
    columns = own_rules({"shape": shape, **needed})
    refuse_unsound(columns)
    none = -1 if field == "trigger" else 0
    with pytest.raises(Refused) as caught:
        refuse_unsound(replace(columns, **{field: np.array([none])}))
    (found,) = caught.value.problems
    assert (found.id, found.values["field"]) == ("due.rule_lacks", field)
    with pytest.raises(Refused) as caught:
        own_rule(shape=shape, **{**needed, field: "" if field == "trigger" else None})
    (found,) = caught.value.problems
    assert (found.id, found.column) == ("rule.lacks", field)


def test_every_shape_says_what_it_needs():
    assert set(NUMBERS_OF_SHAPE) == set(RuleShape)


def test_a_multiplier_that_lengthens_is_refused():
    shape = {"shape": RuleShape.MULTIPLIER, "trigger": "storm"}
    columns = own_rules({**shape, "factor": 1.0})
    refuse_unsound(columns)
    with pytest.raises(Refused, match=r"due\.rule_lengthens"):
        refuse_unsound(replace(columns, factor=np.array([1.01])))


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ({"months": -3}, "rule.number"),
        ({"months": 0}, "rule.number"),
        ({"months": 12, "binds_from_on": dt.date(1999, 12, 31)}, "rule.binds"),
        ({"months": 12, "until_on": dt.date(1999, 12, 31)}, "rule.order"),
        ({"months": 12, "years": 1}, "rule.spare"),
        ({"months": 12, "trigger": "storm"}, "rule.spare"),
        (
            {"shape": RuleShape.AFTER_OCCURRENCE, "days": 30, "trigger": "full moon"},
            "rule.trigger",
        ),
        # A clock counts from a result, or from one of few facts.
        (
            {"shape": RuleShape.DECIDE_BY, "days": 14, "trigger": "storm"},
            "rule.trigger",
        ),
        (
            {"shape": RuleShape.MULTIPLIER, "factor": 1.01, "trigger": "storm"},
            "rule.lengthens",
        ),
    ],
)
def test_numbers_of_no_use_never_become_a_rule(changes, problem):
    with pytest.raises(Refused) as caught:
        own_rule(**changes)
    assert [p.id for p in caught.value.problems] == [problem]


def test_a_clock_may_state_days_beside_its_months():
    both = own_rule(shape=RuleShape.FIX_BY, months=6, days=10)
    assert (both.months, both.days) == (6, 10)


def test_the_margin_of_a_rule_in_force_stands_before_the_site_s():
    margin = {"shape": RuleShape.MARGIN}
    assert margin_of(own_rules({"months": 12}), 30) == 30
    assert margin_of(own_rules({**margin, "days": 10}), 30) == 10
    assert (
        margin_of(own_rules({**margin, "days": 10}, {**margin, "days": 45}), 30) == 45
    )


def test_triggers_hold_every_occurrence_that_a_rule_may_name():
    assert {str(k) for k in OccurrenceKind} <= set(TRIGGERS)
    assert set(WHILE_IT_STANDS) <= set(TRIGGERS)
    assert {r.trigger for r in RULES.values()} - {""} <= set(TRIGGERS)


def test_a_trigger_is_known_by_its_place():
    assert trigger_code("") == -1
    assert TRIGGERS[trigger_code("wrong part")] == "wrong part"
    with pytest.raises(WrongUse, match=r"due\.trigger_unknown"):
        trigger_code("full moon")


def test_an_own_rule_is_a_record_like_any_other():
    assert own_rule(months=9).basis is Basis.OWNER
