"""Tests by tenths hold only while two persons' decision allows them."""

import datetime as dt

import pytest

from jointmap.pages.asked import assessed
from jointmap.register.rule_codes import RuleShape
from tests.opened_site import findings, opened
from tests.small_site import DECISIONS

RULE = "cfr-192.465a-tenth-joint"
HEAD = DECISIONS.replace("why", "until_on,why")
ROW = "D-{},{},yearly tests impractical,T1,A1,rule,{},{},locked cabinets\n"


def decided(*decisions):
    """The rule by tenths from 2021 on, with decisions of (day, end, rule)."""
    rows = [ROW.format(n, day, rule, end) for n, (day, end, rule) in
            enumerate(decisions, start=90)]  # fmt: skip
    return {
        "adopted.csv": f"catalogue,name,from_on\nrules,{RULE},2021-01-01\n",
        "decisions.csv": HEAD + "".join(rows),
    }


@pytest.mark.parametrize(
    ("decisions", "from_on", "until_on"),
    [
        ([], None, None),
        ([("2020-05-01", "", RULE)], "2021-01-01", "NaT"),
        ([("2023-05-01", "", RULE)], "2023-05-01", "NaT"),
        ([("2023-05-01", "2027-12-31", RULE)], "2023-05-01", "2027-12-31"),
        ([("2023-05-01", "2025-12-31", RULE)], None, None),
        # Said again: the first day stays, the end is that of the last.
        ([("2023-05-01", "2025-12-31", RULE), ("2025-12-01", "2028-12-31", RULE)],
         "2023-05-01", "2028-12-31"),
        ([("2023-05-01", "", "cfr-192.465a-tenth-boundary")], None, None),
        ([("2023-05-01", "", f" {RULE} ")], "2023-05-01", "NaT"),
    ],
)  # fmt: skip
def test_the_rule_holds_while_the_decision_does(tmp_path, decisions, from_on, until_on):
    site = opened(tmp_path, decided(*decisions))
    with assessed(site, dt.date(2026, 5, 15), None) as (found, _):
        rules = found.ground.rules
    tenth = rules.take(rules.shape == RuleShape.TENTH_A_YEAR.code)
    wanted = [] if from_on is None else [(from_on, until_on)]
    days = zip(tenth.from_on.astype(str), tenth.until_on.astype(str), strict=True)
    assert [*days] == wanted
    told = [key for kind, key, _ in findings(site) if kind == "rule_lacks_condition"]
    assert told == ([RULE] if from_on is None else [])
