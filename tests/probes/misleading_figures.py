"""Edits of figures: sign, unit, decimal point, side."""

from functools import partial
from random import Random

from tests.probes.misleading_rows import POOLS, far_side, good_shifts, near_and_far
from tests.probes.misleading_spring import Change, Made, Maker, as_of_spring, each_row
from tests.sample_reader import Row, millivolt, ohm


def _far(row: Row) -> tuple[str, str]:
    side = far_side(row)
    return f"{side}_on", f"{side}_off"


def _times(row: Row, names: tuple[str, ...], factor: float) -> None:
    for name in names:
        row[name] = f"{millivolt(row[name]) * factor:.10g} mV"


def minus_lost_far_on(row: Row, _: Random) -> None:
    _times(row, _far(row)[:1], -1)


def minus_lost_far_side(row: Row, _: Random) -> None:
    _times(row, _far(row), -1)


def step_turned_round(row: Row, _: Random) -> None:
    on, off = _far(row)
    row[on], row[off] = row[off], row[on]


def times_b_on(factor: float) -> Change:
    return lambda row, _: _times(row, ("b_on",), factor)


def times_far(factor: float) -> Change:
    return lambda row, _: _times(row, _far(row), factor)


def unit_of_reading(unit: str) -> Change:
    def change(row: Row, _: Random) -> None:
        row["reading"] = f"{ohm(row['reading']):g} {unit}"

    return change


def times_reading(factor: float) -> Change:
    def change(row: Row, _: Random) -> None:
        row["reading"] = f"{ohm(row['reading']) * factor:g} ohm"

    return change


def point_far(factor: float, of: str, chance: Random) -> Made:
    """Shift the point where the step that is left seems still."""
    fit = [v for v in POOLS[of]() if all(_far_at_most_near(r) for r in v)]
    visit = as_of_spring(chance.choice(fit), chance)
    for row in visit:
        _times(row, _far(row), factor)
    return Made({"tests": visit})


def _far_at_most_near(row: Row) -> bool:
    near, far = near_and_far(row)
    return far >= near


def far_read_once(row: Row, _: Random) -> None:
    on, off = _far(row)
    row[on] = row[off]


def far_of_last_year(row: Row, _: Random) -> None:
    good = [r for r in good_shifts() if r["boundary"] == row["boundary"]]
    own = [r for r in good if r["joint"] == row["joint"]]
    for name in _far(row):
        row[name] = [*good, *own][-1][name]


def side_a_for_b(of: str, chance: Random) -> Made:
    visit = as_of_spring(chance.choice(POOLS[of]()), chance)
    for row in visit:
        if row.get("indication") == "short":
            row["indication"] = "no short"
    return Made({"tests": visit}, "whole studs")


FIGURES: dict[str, Maker] = {
    "minus_lost_far_on": each_row(minus_lost_far_on),
    "minus_lost_difference": each_row(times_b_on(-1)),
    "minus_lost_far_side": each_row(minus_lost_far_side),
    "step_turned_round": each_row(step_turned_round),
    "kohm_for_ohm": each_row(unit_of_reading("kohm")),
    "millivolt_for_volt_far": each_row(times_far(1e-3)),
    "millivolt_for_volt_difference": each_row(times_b_on(1e-3)),
    "mohm_for_ohm_hanging": each_row(unit_of_reading("Mohm")),
    "gohm_for_ohm_stud": each_row(unit_of_reading("Gohm"), "whole studs"),
    "gohm_for_ohm_hanging": each_row(unit_of_reading("Gohm")),
    **{f"point_{n}_far": partial(point_far, 10.0**-n) for n in (1, 2, 3)},
    **{f"point_{n}_difference": each_row(times_b_on(10.0**-n)) for n in (1, 2, 3)},
    **{f"point_{n}_hanging": each_row(times_reading(10.0**n)) for n in (1, 2, 3)},
    "far_read_once": each_row(far_read_once),
    "far_of_last_year": each_row(far_of_last_year),
    "side_a_for_b": side_a_for_b,
}
