"""The numbers of a fitting worksheet, in both unit systems."""

import math
from collections.abc import Iterator

import numpy as np

from jointmap.assembly import Result, fittings_of_records, review
from jointmap.assembly.fitting_plan import Plan, plan_of
from jointmap.assembly.limits import limit
from jointmap.assembly.order import LEAST_STUDS, QUARTERS, cross_order
from jointmap.assembly.passes import pass_torques, passes_of
from jointmap.register import Device, Installation
from jointmap.register.columns import Floats
from jointmap.reports.views_worksheet import NumberRow, PassRow
from jointmap.tables.tightening import Pass
from jointmap.units.inches import FOOT_POUND_NEWTON_METRE, INCH_METRE
from jointmap.wording import say
from jointmap.wording.quantities import show

# Below it a hundredth of a millimetre is told.
SMALL_METRE = 0.001
# Checks that the target torque alone decides.
OF_THE_TARGET = ("stress", "washer_load", "gasket_load")


def plan(device: Device) -> Plan:
    """Return the numbers for a device that nothing was measured for yet."""
    return plan_of(fittings_of_records([device], [_nothing_yet(device)]))


def turns(count: int) -> tuple[int, ...]:
    """Return the turn of each stud in cross order; none for fewer than two studs."""
    if count < LEAST_STUDS:
        return ()
    found = np.empty(count, dtype=np.int64)
    found[cross_order(count) - 1] = np.arange(1, count + 1)
    return tuple(found.tolist())


def groups(turned: tuple[int, ...]) -> tuple[str, ...]:
    """Return the studs in cross order, by fours, as a fitter reads them off."""
    order = (np.argsort(turned) + 1).tolist()
    return tuple(
        " - ".join(map(str, order[first : first + QUARTERS]))
        for first in range(0, len(order), QUARTERS)
    )


def numbers(planned: Plan) -> Iterator[NumberRow]:
    """Yield each number that can be had; the others say where to take them from."""
    yield _length("stud_add", planned.stud_add_metre)
    yield _length("stud_to_order", planned.stud_to_order_metre, _too_short(planned))
    sleeve = (planned.sleeve_add_least_metre, planned.sleeve_add_most_metre)
    yield _between("sleeve", *sleeve)
    yield _between(
        "sleeve_table", planned.sleeve_least_metre, planned.sleeve_most_metre
    )
    yield _length("hole_room", planned.hole_room_metre)
    for name, limit_name in (
        ("centreline", "centreline offset"),
        ("parallelism", "parallelism"),
        ("flatness", "flatness under a hard gasket"),
    ):
        yield _length(name, np.array([limit(limit_name)]))
    yield _length("gap_at_rest", planned.gap_at_rest_metre)
    yield _torque("draw_up", planned.draw_up_newton_metre)
    threads = f"{limit('threads past each nut'):.0f}"
    yield NumberRow(say("worksheet.threads"), threads, threads)


def _too_short(planned: Plan) -> str:
    ordinary, least = planned.stud_ordinary_metre[0], planned.stud_least_metre[0]
    if not ordinary < least:
        return ""
    return say("worksheet.ordinary", {"length": f"{_inch(ordinary)} in"})


def _length(name: str, values: Floats, note: str = "") -> NumberRow:
    value = float(values[0])
    what = say(f"worksheet.{name}")
    if math.isnan(value):
        return NumberRow(what, "", "", say("worksheet.not_in_tables"))
    return NumberRow(what, f"{_millimetre(value)} mm", f"{_inch(value)} in", note)


def _torque(name: str, values: Floats) -> NumberRow:
    value = float(values[0])
    what = say(f"worksheet.{name}")
    if math.isnan(value):
        return NumberRow(what, "", "", say("worksheet.not_in_tables"))
    return NumberRow(what, show(value, "newton_metre"), show(value, "foot_pound"))


def _between(name: str, low: Floats, high: Floats) -> NumberRow:
    first, last = float(low[0]), float(high[0])
    what = say(f"worksheet.{name}")
    if math.isnan(first + last):
        return NumberRow(what, "", "", say("worksheet.not_in_tables"))
    both = [
        say("worksheet.between", {"low": shown(first), "high": shown(last)})
        for shown in (_millimetre, _inch)
    ]
    return NumberRow(what, f"{both[0]} mm", f"{both[1]} in")


def _millimetre(metre: float) -> str:
    if metre < SMALL_METRE:
        return f"{metre * 1000:.2f}".rstrip("0").rstrip(".")
    return f"{metre * 1000:.1f}"


def _inch(metre: float) -> str:
    return f"{metre / INCH_METRE:.3f}".rstrip("0").rstrip(".")


def stops(device: Device) -> tuple[str, ...]:
    """Return why the kit's own target would break a stud or crush the laminate."""
    found = review(device, _nothing_yet(device))
    return tuple(
        say("worksheet.wrong_target", {"why": say(c.because, c.values)})
        for c in found
        if c.name in OF_THE_TARGET and c.result is Result.DOES_NOT_MEET
    )


def _nothing_yet(device: Device) -> Installation:
    return Installation(device_id=1, installed_on=device.fitted_on)


def kit_note(planned: Plan) -> str:
    """Return the target torque in both systems and what it does to the stud."""
    target = float(planned.target_newton_metre[0])
    if math.isnan(target):
        return say("worksheet.no_torque")
    share = float(planned.stress_share[0])
    known = not math.isnan(share)
    facts = {"share": share, "factor": float(planned.nut_factor[0])}
    facts["scatter"] = limit("torque scatter")
    stress = say("worksheet.stress", facts) if known else ""
    both = f"{show(target, 'newton_metre')}, {show(target, 'foot_pound')}"
    return say("worksheet.of_kit", {"torque": both, "share": stress})


def passes(planned: Plan, scheme: str) -> Iterator[PassRow]:
    """Yield each pass as a wrench is set, in either unit; blank without a target."""
    steps = passes_of(scheme)
    metric = _set(planned, 1.0, steps)
    imperial = _set(planned, FOOT_POUND_NEWTON_METRE, steps)
    for step, newton_metre, foot_pound in zip(steps, metric, imperial, strict=True):
        order = say(f"worksheet.{step.order}")
        if step.wait_hours:
            order += say("worksheet.wait", {"hours": step.wait_hours})
        share = show(step.share, "percent")
        yield PassRow(step.number, order, share, newton_metre, foot_pound)


def _set(planned: Plan, unit: float, steps: tuple[Pass, ...]) -> tuple[str, ...]:
    target = float(planned.target_newton_metre[0])
    if math.isnan(target):
        return ("",) * len(steps)
    return tuple(f"{t:g}" for t in pass_torques(round(target / unit), steps))
