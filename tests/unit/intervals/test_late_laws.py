"""Laws that had begun to bind before they were adopted."""

import datetime as dt

import pytest

from jointmap.intervals import late_laws, stack
from jointmap.register.codes import Basis
from jointmap.register.rule_codes import RuleShape
from tests.due_samples import own_rules, subject

LAW = {"basis": Basis.LAW, "months": 12, "binds_from_on": dt.date(2019, 7, 1)}
ADOPTED = {"from_on": dt.date(2022, 1, 1)}
EDITION = {"from_on": dt.date(2024, 1, 1)}
TENTH = {"shape": RuleShape.TENTH_A_YEAR, "months": None, "years": 10}


@pytest.mark.parametrize(
    ("rule", "starts_on", "bound_on"),
    [
        (LAW, "2015-01-01", "2019-07-01"),
        (LAW, "2020-02-02", "2020-02-02"),
        (LAW, "NaT", None),
        (LAW, "2022-01-01", None),
        ({**LAW, "from_on": dt.date(2019, 7, 1)}, "2015-01-01", None),
        ({**LAW, "binds_from_on": None}, "2015-01-01", None),
        # It stands in the place of another: nobody must adopt it.
        ({**LAW, **TENTH}, "2015-01-01", None),
    ],
)
def test_a_law_is_late_where_it_bound_something_before(rule, starts_on, bound_on):
    rules = own_rules({**ADOPTED, **rule}, {**LAW, **EDITION}, ended=True)
    found = [*late_laws(subject(starts_on=starts_on), rules)]
    wanted = [] if bound_on is None else [(1, bound_on, 1)]
    assert [(w.rule_id, str(w.bound_from_on), w.count) for w in found] == wanted


def test_what_has_no_first_day_was_there_when_the_first_of_all_was():
    rules = own_rules({**ADOPTED, **LAW}, ended=True)
    both = stack([subject(1, starts_on="2020-02-02"), subject(2)])
    (found,) = late_laws(both, rules)
    assert (str(found.bound_from_on), found.count) == ("2020-02-02", 2)
