"""No date by an owner's rule or a standard lies before the day it was adopted."""

import datetime as dt

import numpy as np
import pytest

from jointmap.due_list import because, build
from jointmap.register.codes import Basis
from jointmap.register.rule_codes import RuleShape
from jointmap.wording import say
from tests.due_samples import GOOD, SHORTED, history, own_rules, subject, triggers

ON = dt.date(2026, 5, 15)
ADOPTED = dt.date(2025, 3, 1)
YEARLY = {"months": 12}
LAW = {**YEARLY, "basis": Basis.LAW}
LATER = dt.date(2021, 7, 1)
STORM = {
    "name": "storm",
    "shape": RuleShape.AFTER_OCCURRENCE,
    "days": 30,
    "trigger": "storm",
}
SHORTEN = {
    "name": "shorten",
    "shape": RuleShape.MULTIPLIER,
    "basis": Basis.CONDITION,
    "factor": 0.5,
    "trigger": "last result shorted",
}


def due(tests, *rules, starts_on="NaT", raised=()):
    own = subject(starts_on=starts_on)
    return build(
        own, history(*tests), triggers(*raised), own_rules(*rules, on=ON), ON, 30, 10
    )


@pytest.mark.parametrize(
    ("rule", "tests", "starts_on", "wanted", "word"),
    [
        (YEARLY, [(1, "2019-05-20", GOOD)], "NaT", "2025-03-01", "due.from_rule"),
        (YEARLY, [], "2012-03-29", "2025-03-01", "due.from_rule"),
        (YEARLY, [(1, "2024-02-29", GOOD)], "NaT", "2025-03-01", "due.from_rule"),
        (YEARLY, [(1, "2024-03-01", GOOD)], "NaT", "2025-03-01", "due.months"),
        (YEARLY, [(1, "2024-06-01", GOOD)], "NaT", "2025-06-01", "due.months"),
        (
            {**YEARLY, "basis": Basis.STANDARD},
            [(1, "2019-05-20", GOOD)],
            "NaT",
            "2025-03-01",
            "due.from_rule",
        ),
        # A law binds whoever adopted it when.
        (
            LAW,
            [(1, "2019-05-20", GOOD)],
            "NaT",
            "2020-05-20",
            "due.months",
        ),
    ],
)
def test_the_first_day_of_the_rule(rule, tests, starts_on, wanted, word):
    items, found = due(tests, {**rule, "from_on": ADOPTED}, starts_on=starts_on)
    assert str(items.last_allowed_on[0]) == wanted
    id_, values = because(0, found, items)
    assert id_ == word + ("" if tests else "_from_start")
    assert wanted in say(id_, values)


def test_what_happened_before_the_rule_is_late_from_its_first_day():
    rule = {**STORM, "from_on": ADOPTED}
    items, _ = due(
        [], rule, starts_on="2020-01-01", raised=[(1, "storm", "2021-06-01")]
    )
    assert str(items.last_allowed_on[0]) == "2025-03-01"


def test_an_interval_is_not_shortened_to_a_day_before_its_own_rule():
    base = {**YEARLY, "from_on": ADOPTED}
    items, found = due([(1, "2020-05-20", SHORTED)], base, SHORTEN)
    assert set(found.last_allowed_on.astype(str)) == {"2025-03-01"}
    assert str(items.last_allowed_on[0]) == "2025-03-01"


def test_a_new_edition_does_not_give_the_untested_another_interval():
    old = {**YEARLY, "from_on": dt.date(2021, 1, 1), "until_on": dt.date(2025, 2, 28)}
    items, _ = due([], old, {**YEARLY, "from_on": ADOPTED}, starts_on="2020-01-01")
    assert str(items.last_allowed_on[0]) == "2025-03-01"
    assert items.last_allowed_on[0] < np.datetime64(ON)


@pytest.mark.parametrize(
    ("tests", "starts_on", "wanted", "word"),
    [
        ([(1, "2019-05-20", GOOD)], "NaT", "2021-07-01", "due.from_rule"),
        ([(1, "2023-01-02", GOOD)], "NaT", "2024-01-02", "due.months"),
        ([], "2012-03-29", "2022-07-01", "due.months_from_law"),
        ([], "2021-07-01", "2022-07-01", "due.months_from_start"),
        ([], "2021-09-01", "2022-09-01", "due.months_from_start"),
    ],
)
def test_a_law_counts_from_its_own_day_or_the_start_after_it(
    tests, starts_on, wanted, word
):
    rule = {**LAW, "from_on": ADOPTED, "binds_from_on": LATER}
    items, found = due(tests, rule, starts_on=starts_on)
    assert str(items.last_allowed_on[0]) == wanted
    id_, values = because(0, found, items)
    assert id_ == word
    assert wanted in say(id_, values)
