"""What in a test as sent a person should look at: it is kept, and waits for them."""

from collections.abc import Iterator

from jointmap.errors import Problem
from jointmap.register import IsolationTest, Record
from jointmap.register.codes import Side
from jointmap.tables.electrodes import lacks_solution

SPAN_METHOD, SHIFT_METHOD = "span-current", "potential-shift"
# A step this small the wrong way is within what electrode and meter can do.
_NOISE_VOLT = 0.005


def doubts_of_test(record: Record) -> Iterator[Problem]:
    """Yield what may have been written down wrongly; the row itself can stand."""
    if not isinstance(record, IsolationTest):
        return
    if lacks_solution(record.electrode):
        yield Problem("row.no_solution", column="electrode", value=record.electrode)
    spanned = record.method == SPAN_METHOD and record.span_current_ampere is not None
    if spanned and not record.geometry:
        yield Problem("row.no_geometry", column="geometry")
    yield from _wrong_way(record)


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
