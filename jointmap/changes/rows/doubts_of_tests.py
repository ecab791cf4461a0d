"""What in a test as sent a person should look at: it is kept, and waits for them."""

from collections.abc import Iterator
from typing import cast

import numpy as np

from jointmap.acceptance.plausible import NOBLEST_VOLT, at_one_potential, odd_potentials
from jointmap.acceptance.potentials import Potentials
from jointmap.errors import Problem
from jointmap.register import Instrument, IsolationTest, Record
from jointmap.register.codes import Indication, Outcome, Side
from jointmap.tables.electrodes import lacks_solution

SPAN_METHOD, SHIFT_METHOD = "span-current", "potential-shift"
# A step this small the wrong way is within what electrode and meter can do.
_NOISE_VOLT = 0.005
# Figures between which a reading and an indication need not agree (common practice, no
# source): metal contact reads less, no path worth the name reads more.
_CONTACT_OHM, _APART_OHM = 1.0, 1_000.0
# Of the interrupted side's step, as the catalogue has it for both verdicts.
_STILL, _FOLLOWS = 0.10, 0.50
# Outcomes with which nobody came near enough to read anything.
_NOT_THERE = (
    Outcome.GATE_LOCKED, Outcome.NO_ACCESS, Outcome.BERTH_OCCUPIED,
    Outcome.FROZEN_GROUND, Outcome.FLOODED, Outcome.STORM,
)  # fmt: skip
_READINGS = {
    "reading": "reading_ohm", "indication": "indication", "a_on": "a_on_volt",
    "a_off": "a_off_volt", "b_on": "b_on_volt", "b_off": "b_off_volt",
    "span_current": "span_current_ampere", "test_current": "test_current_ampere",
}  # fmt: skip


def doubts_of_test(record: Record) -> Iterator[Problem]:
    """Yield what may have been written down wrongly; the row itself can stand.

    One doubt of each cell at most: a second would take the place of the first.
    """
    if isinstance(record, IsolationTest):
        found: dict[str, Problem] = {}
        for doubt in _doubts(record):
            found.setdefault(doubt.column, doubt)
        yield from found.values()


def beyond_its_range(test: IsolationTest, instrument: Instrument) -> Iterator[Problem]:
    """Yield a doubt where a reading is more than its instrument can show."""
    most, read = instrument.range_ohm, test.reading_ohm
    if most is not None and read is not None and read > most:
        facts = {"instrument": instrument.name, "most": most, "read": read}
        value = test.as_written or f"{read:g} ohm"
        yield Problem("row.beyond_range", facts, column="reading", value=value)


def _doubts(record: IsolationTest) -> Iterator[Problem]:
    if lacks_solution(record.electrode):
        yield Problem("row.no_solution", column="electrode", value=record.electrode)
    spanned = record.method == SPAN_METHOD and record.span_current_ampere is not None
    if spanned and not record.geometry:
        yield Problem("row.no_geometry", column="geometry")
    yield from _implausible(record)
    yield from _wrong_way(record)
    yield from _at_odds(record)
    yield from _read_all_the_same(record)


def _read_all_the_same(test: IsolationTest) -> Iterator[Problem]:
    """Yield a doubt where a visit that could not be made gave a reading."""
    given = [k for k, n in _READINGS.items() if getattr(test, n) is not None]
    if test.outcome in _NOT_THERE and given:
        facts = {"given": ", ".join(given)}
        value = str(test.outcome)
        yield Problem("row.no_visit", facts, column="outcome", value=value)


def _at_odds(test: IsolationTest) -> Iterator[Problem]:
    """Yield a doubt where one part of a test says short and another no short."""
    said = {
        "indication": test.indication,
        "reading": _of_resistance(test),
        "shift": _of_shift(test),
    }
    words = {Indication.SHORT, Indication.NO_SHORT} & {*said.values()}
    if len(words) > 1:
        told = ", ".join(f"{k}: {v}" for k, v in said.items() if v in words)
        column = "indication" if test.indication in words else "reading"
        shown = (
            test.indication if column == "indication" else f"{test.reading_ohm:g} ohm"
        )
        facts = {"told": told}
        yield Problem("row.at_odds", facts, column=column, value=str(shown))


def _of_resistance(test: IsolationTest) -> Indication | None:
    ohm, bound = test.reading_ohm, test.reading_bound
    if ohm is None:
        return None
    if ohm <= _CONTACT_OHM and bound <= 0:
        return Indication.SHORT
    return Indication.NO_SHORT if ohm >= _APART_OHM and bound >= 0 else None


def _of_shift(test: IsolationTest) -> Indication | None:
    volts = (test.a_on_volt, test.a_off_volt, test.b_on_volt, test.b_off_volt)
    if test.method != SHIFT_METHOD or test.interrupted_side is None:
        return None
    if any(v is None for v in volts):
        return None
    a_on, a_off, b_on, b_off = cast("tuple[float, float, float, float]", volts)
    near, far = a_on - a_off, b_on - b_off
    if test.interrupted_side is Side.B:
        near, far = far, near
    if far <= near * _FOLLOWS < 0:
        return Indication.SHORT
    return Indication.NO_SHORT if far >= near * _STILL and near < 0 else None


def _wrong_way(test: IsolationTest) -> Iterator[Problem]:
    """Yield a doubt where the interrupted side grew more positive with current on."""
    if test.method != SHIFT_METHOD or test.interrupted_side is None:
        return
    is_a = test.interrupted_side is Side.A
    on = test.a_on_volt if is_a else test.b_on_volt
    off = test.a_off_volt if is_a else test.b_off_volt
    if on is not None and off is not None and on - off > _NOISE_VOLT:
        label = "a_on" if is_a else "b_on"
        facts = {"side": test.interrupted_side, "step": on - off}
        yield Problem("row.shift_sign", facts, column=label, value=f"{on:g} V")


def _implausible(test: IsolationTest) -> Iterator[Problem]:
    """Yield a doubt for each potential that cannot be, beside the others."""
    volts = {n: getattr(test, n) for n in Potentials._fields[:4]}
    side = test.interrupted_side if test.method == SHIFT_METHOD else None
    columns = {n: np.array([v], np.float64) for n, v in volts.items()}
    code = np.array([-1 if side is None else side.code], np.int16)
    read = Potentials(**columns, interrupted_side=code)
    told = {k.removesuffix("_volt"): v for k, v in volts.items() if v is not None}
    facts = {
        "read": ", ".join(f"{k} {v:g} V" for k, v in told.items()),
        "most": NOBLEST_VOLT,
    }
    for odd in (*odd_potentials(read), *at_one_potential(read)):
        if odd.rows[0]:
            label = odd.column.removesuffix("_volt")
            value = f"{volts[odd.column]:g} V"
            yield Problem(f"row.{odd.kind}", dict(facts), column=label, value=value)
