"""What must hold for hidden-failure dates, whatever the record.

Two things look as if they must hold and do not; ``test_failure_model_traps.py`` shows
them.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.errors import Refused
from jointmap.hazard.ages import Change, Gathered, gathered
from jointmap.hazard.class_rates import Pool
from jointmap.hazard.dates import (
    Rates,
    hazard_events,
    rates_of,
    risk_dates,
)
from jointmap.hazard.failure_model import (
    MECHANISMS,
    Ageing,
    ClassFamily,
    ageing_alike,
    default_prior,
)
from jointmap.hazard.filter import belief_after
from jointmap.hazard.interval import Ahead, years_to_average, years_to_end
from jointmap.hazard.nodes import dense_nodes
from jointmap.hazard.ratchet import ratchet_dates
from tests.random_lives import (
    A_DAY,
    DOUBTFUL,
    GOOD,
    ISOLATING,
    METHOD,
    METHODS,
    MODEL,
    ON,
    RECORD,
    SHORTED,
    START,
    VERDICT,
    a_test,
    asked,
    due,
    joined,
    life,
    one_more,
    record,
    with_verdict,
)

GAP = st.integers(1, 1200)
SHARE = st.floats(0.0, 1.0)
MONTHS = 12.0
# Of a chance that is none.
ROUNDING = 1e-12


@given(MODEL, RECORD, st.data())
def test_a_worse_verdict_never_lengthens_and_never_reassures(made, tests, data):
    """Renewals stay as they are; any test of the record may be the worse one."""
    own = record(tests, always=True)
    at = data.draw(st.sampled_from(np.flatnonzero(own.verdict >= 0).tolist()))
    kinds = [with_verdict(own, at, v) for v in (SHORTED, DOUBTFUL, ISOLATING)]
    dates = [due(made, k) for k in kinds]
    assert dates[0] <= dates[1] + A_DAY
    assert dates[1] <= dates[2] + A_DAY
    for when in ("failed", "failed_on_day"):
        worst, middle, best = (getattr(asked(made, k), when)[0] for k in kinds)
        assert worst >= middle * (1 - 1e-4) - ROUNDING
        assert middle >= best * (1 - 1e-4) - ROUNDING


@given(MODEL, RECORD, SHARE, METHOD)
def test_one_more_isolating_test_never_brings_the_date_forward(
    made, tests, share, method
):
    """Anywhere in the record, or up to three years after it."""
    own = record(tests)
    span = (own.happened_on.max() - START).astype(int) + 1000
    good = a_test(START + int(share * span), method, ISOLATING)
    assert due(made, joined(own, good)) >= due(made, own) - A_DAY


@given(MODEL, RECORD, METHOD, SHARE)
def test_a_short_without_repair_never_extends(made, tests, method, share):
    own = record(tests)
    day = due(made, own)
    # The new test falls before the date it would move.
    wait = int(share * (day - own.happened_on.max()).astype(int))
    assert due(made, one_more(own, wait, method, SHORTED)) <= day + A_DAY


@given(MODEL, RECORD, SHARE, METHOD)
def test_a_short_anywhere_is_no_later_than_no_test(made, tests, share, method):
    own = record(tests, always=True)
    before = (own.happened_on.max() - START).astype(int)
    bad = a_test(START + int(share * before), method, SHORTED)
    assert due(made, joined(own, bad)) <= due(made, own) + A_DAY


@given(MODEL, RECORD, st.floats(0.1, 1.0))
def test_a_stricter_target_never_lengthens(made, tests, factor):
    own, target = record(tests), made.targets[0]
    for name in ("end_chance", "average_chance"):
        row = replace(target, **{name: getattr(target, name) * factor})
        assert due(replace(made, targets=(row,)), own) <= due(made, own)


@given(MODEL, RECORD, st.integers(1, 3000))
def test_the_date_stays_while_nothing_happens(made, tests, days):
    own = record(tests)
    later = own.happened_on.max() + days
    waited, now = asked(made, own, later), asked(made, own, ON)
    for name in ("last_on", "end_on", "average_on"):
        assert getattr(waited, name) == getattr(now, name)
    assert waited.failed_on_day[0] >= waited.failed[0] - 1e-12


@given(MODEL, RECORD, st.floats(0.7, 3.0), st.sampled_from([0, 1]))
def test_the_ageing_of_one_mechanism_moves_no_date_of_the_other(
    made, tests, shape, moved
):
    own = record(tests)
    name = MECHANISMS[moved]
    other = replace(made, ageing={**made.ageing, name: Ageing(shape)})
    still = life(mechanism=1 - moved)
    before, after = (asked(m, own, of=still) for m in (made, other))
    assert (before.end_on, before.average_on) == (after.end_on, after.average_on)
    assert before.failed == after.failed
    # And its own dates follow it, as they would with that shape for all.
    alike = replace(made, ageing=ageing_alike(shape))
    pair = [asked(m, own, of=life(mechanism=moved)) for m in (other, alike)]
    assert pair[0].end_on == pair[1].end_on
    assert pair[0].device_shape[0] == shape


@given(MODEL, RECORD)
def test_years_or_months_leave_the_date(made, tests):
    """Ages in months, rates in the same unit: twelve times as many come out."""
    steps, reached = gathered(life().starts_on, record(tests), 0)
    rates, target = rates_of(made, life()), made.targets[0]
    lasts = []
    for unit in (1.0, MONTHS):
        slower = Rates(
            rates.device_rate / unit**rates.device_shape,
            rates.place_rate / unit,
            rates.likeness,
            rates.device_shape,
        )
        times = ("device_from_year", "device_until_year", "years")
        aged = replace(steps, **{n: getattr(steps, n) * unit for n in times})
        lasts.append(_lasts(made, aged, slower, reached.device_age_year * unit, target))
    assert lasts[0] * MONTHS == pytest.approx(lasts[1], rel=1e-7, abs=1e-9)


def _lasts(made, steps: Gathered, rates: Rates, age, target):
    nodes = dense_nodes(float(rates.likeness[0]))
    belief = belief_after(hazard_events(made, rates, steps), 1, nodes)
    ahead = Ahead(age, rates.device_factor(), rates.device_shape, rates.place_rate)
    end = years_to_end(belief, nodes, ahead, np.array([target.end_chance]))
    goal = np.array([target.average_chance])
    return np.array([end[0], years_to_average(belief, nodes, ahead, goal, end)[0]])


@given(MODEL, RECORD, st.randoms())
def test_order_of_rows_and_repeats_change_nothing(made, tests, chance):
    own = record(tests)
    order = list(range(len(own)))
    chance.shuffle(order)
    shuffled = own.take(np.array(order))
    assert due(made, shuffled) == due(made, own)
    assert due(made, joined(own, own.take(np.array(order[:2])))) == due(made, own)


@given(RECORD, st.data())
def test_a_repeat_is_the_same_day_method_and_verdict_and_nothing_else(tests, data):
    own = record(tests)
    rows, _ = gathered(life().starts_on, own, 0)
    at = data.draw(st.sampled_from(np.flatnonzero(own.verdict >= 0).tolist()))
    one = own.take(np.array([at]))
    assert len(gathered(life().starts_on, joined(own, one), 0)[0]) == len(rows)
    others = [
        replace(one, verdict=(one.verdict + 1) % 3),
        replace(one, method=np.array([sum(METHODS) - one.method[0]], np.int16)),
        replace(one, happened_on=own.happened_on.max() + np.array([1])),
    ]
    for other in others:
        found, _ = gathered(life().starts_on, joined(own, other), 0)
        assert len(found) == len(rows) + 1


@given(RECORD)
def test_no_age_is_negative(tests):
    steps, reached = gathered(life().starts_on, record(tests, always=True), 0)
    assert (steps.device_from_year >= 0).all()
    assert (steps.device_until_year >= steps.device_from_year).all()
    assert (steps.years >= 0).all()
    assert (reached.device_age_year >= 0).all()
    new = steps.change == Change.DEVICE
    assert (steps.device_from_year[1:][new[:-1]] == 0).all()
    alive = (reached.last_on - START).astype(int) / 365.25
    assert steps.years.sum() == pytest.approx(alive[0])
    assert reached.device_age_year == pytest.approx(steps.years[_after(new)].sum())


def _after(new):
    return np.cumsum(new) - new == new.sum()


@given(RECORD, st.integers(1, 3000), st.data())
def test_a_test_before_the_start_is_refused(tests, early, data):
    own = record(tests)
    at = data.draw(st.integers(0, len(own) - 1))
    moved = own.happened_on.copy()
    moved[at] = START - early
    with pytest.raises(Refused) as refused:
        asked(default_prior(), replace(own, happened_on=moved))
    assert refused.value.problems[0].id == "risk.before_start"
    assert refused.value.problems[0].values == {"count": 1}


@given(MODEL, RECORD, st.tuples(METHOD, VERDICT), st.tuples(METHOD, VERDICT))
def test_tests_of_one_day_commute(made, tests, first, second):
    own = record(tests)
    one = one_more(one_more(own, 30, *first), 0, *second)
    other = one_more(one_more(own, 30, *second), 0, *first)
    assert due(made, one) == due(made, other)
    failed = [asked(made, r).failed[0] for r in (one, other)]
    assert failed[0] == pytest.approx(failed[1], rel=1e-9)


@given(MODEL, RECORD, GAP)
def test_passing_a_more_sensitive_method_is_never_worse(made, tests, gap):
    """That is the one which passes fewer of the failed per sound one passed."""
    failed, sound = made.chances()
    odds = [failed[m, ISOLATING] / sound[m, ISOLATING] for m in METHODS]
    sharp, blunt = (METHODS[i] for i in np.argsort(odds))
    own = record(tests)
    dates = [due(made, one_more(own, gap, m, ISOLATING)) for m in (sharp, blunt)]
    assert dates[0] >= dates[1] - A_DAY


@given(MODEL, st.lists(GAP, min_size=2, max_size=8))
def test_without_ageing_the_interval_never_shrinks_with_sure_passes(made, gaps):
    """One that may miss leaves more doubt after a longer gap: see the traps."""
    sure = [replace(e, failed=(1e-12, 1e-11, 1 - 1.1e-11)) for e in made.errors]
    shape = min(made.shapes()[0], 1.0)
    young = replace(made, ageing=ageing_alike(shape), errors=tuple(sure))
    lengths = []
    for n in range(1, len(gaps) + 1):
        own = record([(g, GOOD, ISOLATING, Change.NONE) for g in gaps[:n]])
        lengths.append((due(young, own) - own.happened_on.max()).astype(int))
    assert all(b >= a - 1 for a, b in pairwise(lengths))


@given(MODEL, RECORD, st.floats(1.0, 3.0))
def test_a_higher_rate_never_lengthens(made, tests, factor):
    own = record(tests)
    assert due(_raised(made, factor, factor), own) <= due(made, own) + A_DAY


@given(MODEL, RECORD, st.floats(1.0, 3.0), st.booleans())
def test_a_higher_rate_of_one_cause_never_lengthens(made, tests, factor, device):
    """How sure the sum is moves with its parts: held as it was."""
    own = record([(g, m, v, Change.NONE) for g, m, v, _ in tests])
    sure = _raised(made, 1.0, 1.0, likeness=1e9)
    one = (factor, 1.0) if device else (1.0, factor)
    assert due(_raised(sure, *one), own) <= due(sure, own) + A_DAY


def _raised(made, device, place, likeness=None):
    more = {}
    for name, factor in (("device", device), ("place", place)):
        pool = getattr(made, name).pool
        sure = likeness or pool.likeness
        more[name] = ClassFamily(Pool(pool.mean_rate * factor, sure))
    return replace(made, **more)


@given(MODEL, RECORD)
def test_after_a_repair_no_longer_interval_than_before(made, tests):
    own = record([*tests, (400, GOOD, SHORTED, Change.DEVICE)])
    until, days = ratchet_dates(made, life(), own, ON)
    repaired_on = own.happened_on.max()
    earlier = own.take(own.happened_on < repaired_on)
    allowed = due(made, earlier) - asked(made, earlier).last_on[0]
    assert until[0] == repaired_on + allowed
    assert days[0] == allowed.astype(int)
    proved = one_more(own, 0, GOOD, ISOLATING)
    left = replace(
        proved, turn=np.where(np.arange(len(proved)) == len(own), 2, proved.turn)
    )
    assert np.isnat(ratchet_dates(made, life(), left, ON)[0][0])


def test_a_class_without_target_has_no_date():
    own = record([(300, GOOD, ISOLATING, Change.NONE)])
    dates = risk_dates(default_prior(), life(consequence=-1), own, ON)
    assert np.isnat(dates.end_on[0])
    assert np.isnat(dates.average_on[0])
