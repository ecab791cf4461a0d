"""Worked examples and test vectors of the electrical formulas, one row each."""

import csv
from pathlib import Path

import pytest

from jointmap.acceptance.formulas_pipe import pipe_mass, pipe_resistance
from jointmap.register.codes import Mark
from jointmap.units import to_si
from jointmap.workflows.calculate import CALCULATIONS, values_of

HERE = Path(__file__).parent
WORKED = ("electrical_formulas.csv", "fitting_calculations.csv")
FOOT, POUND_PER_FOOT = 0.3048, 0.45359237 / 0.3048


def rows(name):
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        found = list(csv.DictReader(file))
    return [pytest.param(r, id=f"{name}:{n}") for n, r in enumerate(found, start=2)]


def result_of(row):
    chosen = CALCULATIONS[row["calculation"]]
    given = dict(part.split("=", 1) for part in row["given"].split("; "))
    return chosen.work(**values_of(chosen, given))[row["result"]]


@pytest.mark.parametrize("row", [row for name in WORKED for row in rows(name)])
def test_a_calculation_gives_the_published_value(row):
    one = to_si(1.0, row["unit"], row["quantity"]) - to_si(
        0.0, row["unit"], row["quantity"]
    )
    expected, tolerance = float(row["expected"]) * one, float(row["tolerance"]) * one
    assert result_of(row) == pytest.approx(expected, abs=tolerance, rel=0)
    assert row["source"]
    assert row["mark"] in [*Mark, "worked by hand"]


def test_every_calculation_has_a_published_value():
    shown = {case.values[0]["calculation"] for name in WORKED for case in rows(name)}
    assert shown | {"pipe-mass"} == set(CALCULATIONS)


@pytest.mark.parametrize("row", rows("handbook_pipe.csv"))
def test_pipe_table_within_its_stated_deviations(row):
    per_metre = pipe_resistance(float(row["weight_lb_ft"]) * POUND_PER_FOOT) * 1e6
    per_foot = per_metre * FOOT
    # The table against the formula, as stated to two decimals.
    stated = (float(row["dev_ft_percent"]), float(row["dev_m_percent"]))
    found = (
        100 * (float(row["r_uohm_ft"]) / per_foot - 1),
        100 * (float(row["r_uohm_m"]) / per_metre - 1),
    )
    assert found == pytest.approx(stated, abs=0.01)
    assert max(map(abs, found)) <= 0.29


@pytest.mark.parametrize("row", rows("handbook_pipe.csv"))
def test_pipe_mass_by_size_reproduces_the_table(row):
    mass = pipe_mass(float(row["od_inch"]) * 0.0254, float(row["wall_inch"]) * 0.0254)
    assert mass == pytest.approx(
        float(row["weight_lb_ft"]) * POUND_PER_FOOT, rel=0.0031
    )
    shown = float(row["weight_by_size"]) * POUND_PER_FOOT
    assert mass == pytest.approx(shown, rel=1e-3)


@pytest.mark.parametrize("row", rows("steel_pipe_weights.csv"))
def test_pipe_mass_gives_the_weights_of_the_pipe_standard(row):
    mass = pipe_mass(float(row["od_inch"]) * 0.0254, float(row["wall_inch"]) * 0.0254)
    # Printed to 0.01 lb/ft; the constants of the two unit systems differ by 1e-4.
    apart = 0.005 + 1.5e-4 * float(row["weight_lb_ft"])
    assert mass / POUND_PER_FOOT == pytest.approx(float(row["weight_lb_ft"]), abs=apart)
    assert row["mark"] in list(Mark)
