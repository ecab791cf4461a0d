"""Places that were bad and read good again, and what may say why."""

import numpy as np

from jointmap.register.codes import Scope, Verdict
from jointmap.register.judged import Judgements
from jointmap.sections.turned_good import Happened, is_explained, turned_good
from tests.judging_samples import code, readings, table

BAD, GOOD, UNSURE = Verdict.SHORTED, Verdict.ISOLATING, Verdict.INCONCLUSIVE


def turned(*verdicts, counts=True, **places):
    """Return the rows, one a year of one place unless ``places`` says otherwise."""
    count = len(verdicts)
    days = [f"{2010 + n}-04-10" for n in range(count)]
    usual = {"joint_id": 1, "boundary_id": 1, "method": "ohmmeter", "tested_on": days}
    said = {"verdict": list(verdicts), "counts": counts}
    found = turned_good(
        readings(count, **{**usual, **places}), table(Judgements, count, said, code)
    )
    return [tuple(row) for row in zip(*(v.tolist() for v in found), strict=True)]


def test_good_after_bad():
    assert turned(GOOD, BAD, GOOD, GOOD) == [(1, 2, 3)]
    assert turned(BAD, GOOD, UNSURE, BAD, UNSURE, GOOD) == [(3, 5, 5)]


def test_not_where_it_was_never_bad_or_is_bad():
    assert turned(GOOD, GOOD) == turned(BAD, BAD) == turned(BAD, GOOD, BAD) == []
    assert turned(UNSURE) == turned(BAD, UNSURE) == []


def test_a_good_reading_that_does_not_count_is_none():
    assert turned(BAD, GOOD, counts=[False, False]) == []


def test_each_place_and_method_by_itself():
    assert turned(BAD, GOOD, joint_id=[1, 2]) == []
    assert turned(BAD, GOOD, method=["ohmmeter", "radio-frequency"]) == []
    assert turned(BAD, GOOD, scope=Scope.PATH) == []
    assert turned(BAD, BAD, GOOD, GOOD, stud=[1, 2, 2, 1]) == [(0, 3, 3), (1, 2, 2)]


def test_what_was_done_between_the_days_says_why():
    days = ["2020-01-01", "2021-01-01", "2020-06-01"]
    known = Happened(np.array([1, 1, 2]), np.array(days, "datetime64[D]"))

    def told(boundary, since, until):
        spans = np.array([[since], [until]], "datetime64[D]")
        return is_explained(known, np.array([boundary]), *spans).tolist()

    assert told(1, "2020-01-01", "2020-05-01") == told(1, "2020-05-01", "2021-01-01")
    assert told(1, "2020-01-01", "2020-01-01") == [True]
    assert told(1, "2020-01-02", "2020-12-31") == [False]
    assert told(2, "2020-01-01", "2021-01-01") == [True]
    assert told(3, "2020-01-01", "2021-01-01") == [False]
