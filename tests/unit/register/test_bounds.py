"""Every number and every day of every record has bounds, and they hold at both ends."""

import datetime as dt
import math

import numpy as np
import pytest

from jointmap.errors import Refused
from jointmap.exchange.cells import read_cell
from jointmap.register import FORMS
from jointmap.register.bounds import (
    BEYOND,
    BOUNDS,
    IMPOSSIBLE,
    Bound,
    DayBound,
    bound_fault,
    day_fault,
)
from jointmap.register.columns import in_codes
from jointmap.units import accepted, read_quantity

COUNTED = (int, float, dt.date, dt.datetime)
TODAY = dt.date(2026, 5, 15)
BOUNDED = {
    f"{kind}.{c.name}": c
    for kind, form in FORMS.items()
    for c in form.columns
    if c.type in COUNTED and not c.refers
}
NUMBERS = [n for n, c in BOUNDED.items() if isinstance(c.bound, Bound)]
DAYS = [n for n, c in BOUNDED.items() if isinstance(c.bound, DayBound)]


def test_every_number_and_day_has_a_bound_and_nothing_else_has():
    assert [n for n, c in BOUNDED.items() if c.bound is None] == []
    named = {f"{kind}.{name}" for kind, own in BOUNDS.items() for name in own}
    assert named == set(BOUNDED)
    assert len(NUMBERS) > 80
    assert len(DAYS) > 30


@pytest.mark.parametrize("name", BOUNDED)
def test_a_bound_is_of_the_columns_kind_and_says_why(name):
    column = BOUNDED[name]
    wanted = DayBound if column.type in (dt.date, dt.datetime) else Bound
    assert isinstance(column.bound, wanted)
    assert column.bound.source.strip()


def fault_of(column, text, **more):
    try:
        read_cell(column, text, **more)
    except Refused as refused:
        return refused.problems[0].id
    return ""


def written(column, value):
    """A number in SI as a person may write it."""
    if column.type is int:
        return f"{value:.0f}"
    if not column.quantity:
        return repr(value)
    unit = accepted(column.quantity)[0]
    nought, one = (read_quantity(f"{n} {unit}", column.quantity).value for n in (0, 1))
    return f"{(value - nought) / (one - nought)!r} {unit}"


@pytest.mark.parametrize("name", NUMBERS)
def test_both_ends_of_a_number_are_tried(name):
    column = BOUNDED[name]
    bound = column.bound
    step = 1 if column.type is int else 1e-6 * max(1.0, abs(bound.least))
    assert bound_fault(bound.least, bound, "") is None
    assert bound_fault(bound.most, bound, "") is None
    inside = (bound.least + min(bound.most, 1e15)) / 2
    assert fault_of(column, written(column, inside)) == ""
    wide = step if column.type is int else 1e-6 * max(1.0, abs(bound.most))
    if abs(bound.most) < 2**53:
        for value in (bound.least - step, bound.most + wide):
            is_possible = bound.is_possible(value)
            wanted = BEYOND if is_possible else IMPOSSIBLE
            assert fault_of(column, written(column, value)) == wanted
            told = fault_of(column, written(column, value), accepted=True)
            assert told == ("" if is_possible else IMPOSSIBLE)


@pytest.mark.parametrize("name", NUMBERS)
def test_no_bound_lets_a_number_through_that_is_none(name):
    bound = BOUNDED[name].bound
    for value in (math.inf, -math.inf, math.nan):
        assert bound_fault(value, bound, "") is not None


@pytest.mark.parametrize("name", DAYS)
def test_both_ends_of_a_day_are_tried(name):
    bound = BOUNDED[name].bound
    day = dt.timedelta(days=1)
    last = bound.last(TODAY)
    assert day_fault(bound.first, bound, TODAY) is None
    assert day_fault(last, bound, TODAY) is None
    early = day_fault(bound.first - day, bound, TODAY)
    late = day_fault(last + day, bound, TODAY)
    assert (early.id, late.id) == (
        "cell.day_beyond",
        "cell.day_beyond" if bound.years_ahead else "row.after_now",
    )
    assert bound.last(TODAY) >= TODAY
    assert bound.last(dt.date.max).year <= dt.MAXYEAR


def test_an_instant_may_be_of_tomorrow_elsewhere_but_no_later():
    bound = BOUNDED["test.tested_at"].bound
    noon = dt.datetime(2026, 5, 15, 12, tzinfo=dt.UTC)
    assert day_fault(noon + dt.timedelta(days=1), bound, TODAY) is None
    late = day_fault(noon + dt.timedelta(days=2), bound, TODAY)
    assert late.id == "row.instant_after_now"


def test_a_number_too_large_for_its_column_is_refused_and_never_wraps():
    assert in_codes([1, -32768, 32767]).tolist() == [1, -32768, 32767]
    assert in_codes(np.array([], np.int64)).dtype == np.int16
    for value in (65548, -32769, 2**40):
        with pytest.raises(Refused) as refused:
            in_codes([0, value])
        assert refused.value.problems[0].values["value"] == value
