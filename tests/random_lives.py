"""Random models and records of one joint, as wide as the properties are claimed for.

One to eight tests; a Weibull shape of 0.7 to 3; a joint's own multiplier with a Gamma
shape of 0.6 to 20, its class's rate as good as known or unsure.
"""

from dataclasses import replace

import numpy as np
from hypothesis import strategies as st

from jointmap.hazard.ages import Change, LifeEvents
from jointmap.hazard.class_rates import Pool
from jointmap.hazard.dates import LifeColumns, risk_dates
from jointmap.hazard.failure_model import (
    ClassFamily,
    ageing_alike,
    default_prior,
)
from jointmap.register.codes import Verdict
from jointmap.tables import METHOD_CODES

GOOD, WEAK = METHOD_CODES["potential-shift"], METHOD_CODES["potential-difference"]
METHODS = (GOOD, WEAK)
ISOLATING, DOUBTFUL, SHORTED = (
    v.code for v in (Verdict.ISOLATING, Verdict.DOUBTFUL, Verdict.SHORTED)
)
START = np.datetime64("2005-01-01")
ON = np.datetime64("2026-05-15")
# Whole days: two sums that agree to a hundred-thousandth may fall on two sides of one.
A_DAY = np.timedelta64(1, "D")

METHOD = st.sampled_from(METHODS)
VERDICT = st.sampled_from([ISOLATING, DOUBTFUL, SHORTED])
TEST = st.tuples(st.integers(1, 1200), METHOD, VERDICT, st.sampled_from(list(Change)))
RECORD = st.lists(TEST, min_size=1, max_size=8)
# Each table's odds rise from isolating to shorted, whatever is drawn.
TABLE = st.tuples(
    st.floats(0.005, 0.15), st.floats(0.02, 0.1),
    st.floats(0.002, 0.05), st.floats(0.01, 0.05),
)  # fmt: skip


def erring(errors, tables):
    """Error tables of which those of the two methods are drawn."""
    own = dict(zip(METHODS, tables, strict=True))
    return tuple(
        replace(row, **_chances(own[code])) if code in own else row
        for row in errors
        for code in [METHOD_CODES[row.method]]
    )


def _chances(table):
    missed, unsure, alarm, unsure_too = table
    failed = (missed, unsure, 1 - missed - unsure)
    return {"failed": failed, "sound": (1 - unsure_too - alarm, unsure_too, alarm)}


def model(rate, shape, likeness, spread, goals, tables):
    """A plant of one class; ``likeness`` says how sure its rate is."""
    half = ClassFamily(Pool(rate / 2, likeness / 2))
    made = default_prior()
    target = replace(made.targets[0], end_chance=goals[0], average_chance=goals[1])
    return replace(
        made,
        ageing=ageing_alike(shape),
        joint_spread=spread,
        device=replace(half, pool=Pool(rate / 2 * 0.8 ** (1 - shape), likeness / 2)),
        place=half,
        errors=erring(made.errors, tables),
        targets=(target,),
        cautious_class="",
        # What a window of repeats does has properties of its own.
        repeat_days=0,
    )


MODEL = st.builds(
    model,
    st.floats(0.002, 0.05),
    st.floats(0.7, 3.0),
    st.one_of(st.floats(0.6, 20.0), st.just(1e6)),
    st.floats(0.6, 20.0),
    st.tuples(
        st.sampled_from([0.01, 0.02, 0.05, 0.1]), st.sampled_from([0.005, 0.02, 0.99])
    ),
    st.tuples(TABLE, TABLE),
)
# The tables that come with the program, where one case is shown.
SHIPPED = ((0.04, 0.03, 0.005, 0.02), (0.12, 0.08, 0.02, 0.05))


def record(tests, always=False):
    """Events of one joint; repaired after a short, or ``always`` where drawn so.

    A repair after a short says by what it had failed.
    """
    day, rows = START, []
    for gap, method, verdict, change in tests:
        day = day + gap
        short = verdict == SHORTED
        rows.append((day, 0, Change.NONE, method, verdict, Change.NONE))
        if change != Change.NONE and (short or always):
            cause = change if short else Change.NONE
            rows.append((day, 1, change, -1, -1, cause))
    return events(rows)


def events(rows):
    columns = list(zip(*rows, strict=True)) if rows else [()] * 6
    day, *codes, cause = columns
    whole = [np.array(c, np.int16) for c in codes]
    causes = [np.array(cause, np.int16) == c for c in (Change.DEVICE, Change.PLACE)]
    days = np.array(day, "datetime64[D]")
    return LifeEvents(np.zeros(len(rows), np.int64), days, *whole, *causes)


def a_test(day, method, verdict):
    return events([(day, 0, Change.NONE, method, verdict, Change.NONE)])


def life(consequence=0, mechanism=0):
    code = np.zeros(1, np.int16)
    codes = (code, code, code + consequence, code + mechanism)
    return LifeColumns(np.array([START]), *codes, np.zeros((1, 5)))


def asked(made, own, on=ON, of=None):
    return risk_dates(made, life() if of is None else of, own, on)


def due(made, own, on=ON):
    dates = asked(made, own, on)
    return np.fmin(dates.end_on, dates.average_on)[0]


def with_verdict(own, at, verdict):
    found = own.verdict.copy()
    found[at] = verdict
    return replace(own, verdict=found)


def joined(own, more):
    pairs = [
        (getattr(own, n), getattr(more, n)) for n in LifeEvents.__dataclass_fields__
    ]
    return LifeEvents(*(np.concatenate(p) for p in pairs))


def one_more(own, gap, method, verdict):
    """``own`` and a test so many days after its last event."""
    return joined(own, a_test(own.happened_on.max() + gap, method, verdict))
