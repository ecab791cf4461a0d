"""Verdicts against published limits and worked cases, one row each."""

import csv
from pathlib import Path

import numpy as np
import pytest

from jointmap.acceptance import (
    REASONS,
    judge,
    kit_resistance,
    shifts,
    stud_resistance,
)
from jointmap.register.codes import (
    Indication,
    Layout,
    Mark,
    Purpose,
    Side,
    Stage,
    Verdict,
)
from tests.judging_samples import limits_of, readings

HERE = Path(__file__).parent
SETS = {
    "SHIFT": ("Shift guard 50 mV;Shift ratio isolating 0.10;Shift ratio shorted 0.50"),
    "JOINT": (
        "Joint resistance: metal contact 1 milliohm;Joint resistance isolating 1 ohm"
    ),
    "LEAK": "Leakage isolating 2.5 percent;Leakage shorted 50 percent",
}
FLAGS = {
    "a_current": "a_has_current",
    "b_current": "b_has_current",
    "named": "sources_named",
    "free": "hangs_free",
    "buried": "is_buried",
    "both": "far_side_cycles",
}
NUMBERS = {
    "reading": "reading_ohm",
    "bound": "reading_bound",
    "test": "test_current_ampere",
    "span": "span_current_ampere",
    "ac": "ac_volt",
    "a_on": "a_on_volt",
    "a_off": "a_off_volt",
    "b_on": "b_on_volt",
    "b_off": "b_off_volt",
    "geometry": "geometry",
    "cycles": "cycles",
    "spread": "cycle_spread_volt",
    "leads": "leads_proven",
}
WORDS = {
    "purpose": ("purpose", Purpose),
    "stage": ("stage", Stage),
    "shown": ("indication", Indication),
    "interrupted": ("interrupted_side", Side),
    "layout": ("layout", Layout),
}


def given(text):
    """Return the columns that "a_on=-0.860 shown=no short named=yes" stands for."""
    values = {}
    parts = text.replace("=no short", "=no_short").split()
    for key, value in (part.split("=") for part in parts):
        if key in FLAGS:
            values[FLAGS[key]] = value == "yes"
        elif key in NUMBERS:
            values[NUMBERS[key]] = float(value)
        else:
            name, family = WORDS[key]
            values[name] = family(value.replace("_", " "))
    return values


def rows():
    with (HERE / "acceptance.csv").open(encoding="utf-8", newline="") as file:
        for line, row in enumerate(csv.DictReader(file), start=2):
            yield pytest.param(row, id=f"acceptance.csv:{line}")


@pytest.mark.parametrize("row", list(rows()))
def test_a_reading_gets_the_verdict_its_source_gives(row):
    names = SETS.get(row["limits"], row["limits"])
    limits = limits_of(*(n for n in names.split(";") if n))
    tests = readings(method=row["method"], **given(row["given"]))
    found = judge(tests, limits)
    assert Verdict.at(found.verdict[0]) == row["verdict"]
    assert REASONS[found.reason[0]] == f"verdict.{row['reason']}"
    if row["compared"]:
        assert found.compared[0] == pytest.approx(float(row["compared"]), abs=1e-6)
    assert row["source"]
    assert row["mark"] in list(Mark)


def test_shift_vector_v8():
    # 1 - s is the effectiveness in trade use: 98.333 %.
    tests = readings(
        method="potential-shift",
        a_on_volt=-1.250,
        a_off_volt=-0.950,
        b_on_volt=-0.620,
        b_off_volt=-0.615,
        interrupted_side=Side.A,
    )
    found = shifts(tests)
    assert found.ratio[0] == pytest.approx(0.016667, abs=1e-4)
    assert 100 * (1 - found.ratio[0]) == pytest.approx(98.333, abs=1e-3)


@pytest.mark.parametrize(
    ("lost_a", "lost_b", "expected", "places"),
    [(20e6, 20e6, 3.13e6, 0.01e6), (0.5, 20e6, 2.90e6, 0.01e6), (0.5, 0.4, 0.9, 1e-3)],
    ids=["sound", "one side lost: invisible", "both lost: shorted"],
)
def test_kit_of_twelve_studs(lost_a, lost_b, expected, places):
    # 12 studs, isolating sides of 20 Mohm, gasket 50 Mohm; reckoned from the parts.
    a, b = np.full(12, 20e6), np.full(12, 20e6)
    a[4], b[4] = lost_a, lost_b
    found = kit_resistance(50e6, stud_resistance(a, b))
    assert found == pytest.approx(expected, abs=places)


@pytest.mark.parametrize(("stud", "expected"), [(5e6, 0.414938e6), (25e6, 2.040816e6)])
def test_flange_vector_v20(stud, expected):
    assert kit_resistance(100e6, np.full(12, stud)) == pytest.approx(expected, abs=1)
