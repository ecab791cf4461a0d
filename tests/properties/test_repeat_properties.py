"""Repeats of one method soon after each other count once: what misled one may again."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from jointmap.hazard.ages import Change, gathered
from tests.random_lives import (
    A_DAY,
    GOOD,
    ISOLATING,
    METHOD,
    MODEL,
    RECORD,
    SHORTED,
    START,
    VERDICT,
    WEAK,
    a_test,
    asked,
    due,
    events,
    joined,
    life,
    one_more,
    record,
)

WINDOW = 7
# Days so near that many tests are repeats of each other.
NEAR = st.lists(st.tuples(st.integers(0, 40), METHOD, VERDICT), min_size=1, max_size=12)
FIELDS = ("last_on", "end_on", "average_on", "failed", "multiplier", "isolating")


def counting(own, window=WINDOW):
    return gathered(life().starts_on, own, window)[0]


def of_tests(tests):
    rows = [(START + d, 0, Change.NONE, m, v, Change.NONE) for d, m, v in tests]
    return events(rows)


def same(one, other):
    return all(getattr(one, n)[0] == getattr(other, n)[0] for n in FIELDS)


@given(MODEL, RECORD, st.integers(0, WINDOW), st.data())
def test_a_repeat_before_a_test_that_counts_changes_nothing(made, tests, back, data):
    made = replace(made, repeat_days=WINDOW)
    own = record(tests)
    steps = counting(own)
    at = data.draw(st.sampled_from(np.flatnonzero(steps.verdict >= 0).tolist()))
    day = steps.happened_on[at]
    renewed = steps.happened_on[:at][steps.change[:at] != Change.NONE]
    # Never from before a renewal, which ends a run.
    first = max([START, *(renewed + 1)])
    added = a_test(max(day - back, first), steps.method[at], steps.verdict[at])
    assert same(asked(made, joined(own, added)), asked(made, own))


@given(NEAR, st.integers(0, 10))
def test_the_last_counts_then_the_last_before_its_window(tests, window):
    """Against a person's way: from the last back, each kind by itself."""
    kept, expected = {}, []
    for day, *kind in sorted(tests, reverse=True):
        last = kept.get(tuple(kind))
        if last is None or day < last - window:
            kept[tuple(kind)] = day
            expected.append((day, *kind))
    found = counting(of_tests(tests), window)
    days = (found.happened_on - START).astype(int).tolist()
    seen = zip(days, found.method.tolist(), found.verdict.tolist(), strict=True)
    assert sorted(seen) == sorted(expected)


@given(MODEL, NEAR, METHOD, VERDICT)
def test_a_run_is_its_last_test(made, tests, method, verdict):
    made = replace(made, repeat_days=WINDOW)
    days = [d % (WINDOW + 1) for d, *_ in tests]
    run = of_tests([(d, method, verdict) for d in days])
    assert same(asked(made, run), asked(made, run.take(np.array([np.argmax(days)]))))


@given(MODEL, RECORD, st.integers(0, 2 * WINDOW), METHOD)
def test_one_more_isolating_repeat_never_brings_the_date_forward(
    made, tests, gap, method
):
    made = replace(made, repeat_days=WINDOW)
    own = record(tests)
    assert due(made, one_more(own, gap, method, ISOLATING)) >= due(made, own) - A_DAY


@given(MODEL, NEAR)
def test_passes_that_count_once_reassure_no_more_than_passes_that_all_count(
    made, tests
):
    own = of_tests([(d, m, ISOLATING) for d, m, _ in tests])
    once, each = (due(replace(made, repeat_days=w), own) for w in (WINDOW, 0))
    assert once <= each + A_DAY


def test_verdicts_that_contradict_methods_and_repairs_all_count():
    unlike = of_tests([(0, GOOD, ISOLATING), (2, GOOD, SHORTED), (2, WEAK, SHORTED)])
    assert len(counting(unlike)) == 3
    repaired = events(
        [
            (START, 0, Change.NONE, GOOD, SHORTED, Change.NONE),
            (START + 1, 1, Change.DEVICE, -1, -1, Change.DEVICE),
            (START + 2, 0, Change.NONE, GOOD, SHORTED, Change.NONE),
        ]
    )
    assert len(counting(repaired)) == 3
    assert len(counting(of_tests([(0, GOOD, ISOLATING), (8, GOOD, ISOLATING)]))) == 2
    assert len(counting(of_tests([(0, GOOD, ISOLATING), (7, GOOD, ISOLATING)]))) == 1


def test_two_joints_are_never_one_run():
    own = of_tests([(0, GOOD, ISOLATING), (1, GOOD, ISOLATING)])
    own = replace(own, row=np.array([0, 1]))
    starts = np.array([START, START])
    assert len(gathered(starts, own, WINDOW)[0]) == 2
