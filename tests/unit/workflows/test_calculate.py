"""Calculations at a desk: what is refused, and what is told."""

import pytest

from jointmap.acceptance.formulas_joint import joint_beside_earth
from jointmap.errors import Refused, WrongUse
from jointmap.tables import SOURCES
from jointmap.wording import say
from jointmap.workflows.calculate import CALCULATIONS, calculate_text, citation

LEAK = ["factor=2.04 A/mV", "on=0.3 mV", "off=0.17 mV", "test_current=10 A"]
SHIFT = ["far_on=-0.602 V", "far_off=-0.600 V"]
FLUID = ["voltage=1 V", "length=1 m", "bore=0.3 m"]


@pytest.mark.parametrize(
    ("name", "given", "fault"),
    [
        ("leakage", LEAK, "calculate.missing"),
        ("leakage", [*LEAK, "geometry=near"], "calculate.word"),
        ("span-current", ["drop=0.17 mV", "length=60 m"], "calculate.missing"),
        ("pipe-mass", ["outside_diameter=12.75 in"], "calculate.missing"),
        ("pipe-mass", ["outside_diameter=1 in", "wall=2 in"], "formula.wall"),
        ("pipe-resistance", ["mass=0 kg/m"], "formula.not_positive"),
        ("pipe-resistance", ["mass=-3 kg/m"], "formula.not_positive"),
        ("pipe-resistance", ["mass=118.7"], "unit.none"),
        ("pipe-resistance", ["mass=> 100 kg/m"], "calculate.bound"),
        ("pipe-resistance", ["mass=100 kg/m", "size=6"], "calculate.not_asked"),
        ("pipe-resistance", ["100 kg/m"], "calculate.no_value"),
        (
            "span-factor",
            ["calibration_current=10 A", "on=1 mV", "off=1 mV"],
            "formula.no_step",
        ),
        (
            "shift-ratio",
            ["near_on=-0.905 V", "near_off=-0.900 V", *SHIFT],
            "formula.shift_small",
        ),
        (
            "shift-ratio",
            ["near_on=-0.850 V", "near_off=-0.950 V", *SHIFT],
            "formula.shift_sign",
        ),
        (
            "four-lead-resistance",
            ["on_volt=0.1 V", "off_volt=0.3 V", "on_current=1 A"],
            "formula.negative_resistance",
        ),
        (
            "four-lead-resistance",
            ["on_volt=0.1 V", "off_volt=0.1 V", "on_current=1 A"],
            "formula.negative_resistance",
        ),
        (
            "four-lead-resistance",
            ["on_volt=0.1 V", "off_volt=0 V", "on_current=0 A"],
            "formula.no_step",
        ),
        ("parallel-earth", ["joint=0 ohm", "earth=2 ohm"], "formula.not_positive"),
        (
            "joint-beside-earth",
            ["measured=3 ohm", "earth=2 ohm"],
            "formula.above_earth",
        ),
        ("flange", ["gasket=1 Mohm", "stud=1 Mohm", "studs=2.5"], "formula.whole"),
        ("fluid-column", [*FLUID, "resistivity=0 ohm·m"], "formula.not_positive"),
        ("electrode", ["reading=-0.7 V", "electrode=Ag/AgCl"], "calculate.word"),
        (
            "sleeve-room",
            ["hole=26 mm", "stud=25 mm", "sleeve_wall=1 mm"],
            "formula.no_room",
        ),
        (
            "unseen-failure",
            ["rate=0.02 /y", "interval=1 y", "coverage=120 %"],
            "formula.share",
        ),
        (
            "half-remaining-life",
            ["actual=5 mm", "least=6 mm", "rate=0.1 mm/y"],
            "formula.below_least",
        ),
    ],
)
def test_refused_with_its_sentence(name, given, fault):
    with pytest.raises(Refused) as caught:
        calculate_text(name, given)
    problem = caught.value.problems[0]
    assert problem.id == fault
    assert "not given" not in say(problem.id, problem.values)


def test_all_faults_at_once():
    with pytest.raises(Refused) as caught:
        calculate_text("span-current", ["drop=1 furlong", "length=3 kg", "more=1 m"])
    assert len(caught.value.problems) == 4


def test_an_unknown_name_says_what_is_known():
    with pytest.raises(WrongUse) as caught:
        calculate_text("cathode", [])
    assert "span-current" in str(caught.value.problems[0].values["accepted"])


def test_a_formula_called_from_code_refuses_what_the_desk_would():
    from jointmap.acceptance.formulas_pipe import leak_share
    from jointmap.acceptance.formulas_potential import to_copper_sulfate

    with pytest.raises(Refused, match="geometry"):
        leak_share(2000.0, 3e-4, 1.7e-4, 10.0, "")
    with pytest.raises(Refused, match="electrode"):
        to_copper_sulfate(-0.7, "silver chloride")


def test_a_reading_that_is_the_ground_alone_leaves_the_joint_open():
    assert joint_beside_earth(2.0, 2.0) == float("inf")


def test_the_list_and_the_needs_are_told():
    listed = calculate_text(None, [])
    assert all(name in listed for name in CALCULATIONS)
    for name, chosen in CALCULATIONS.items():
        told = calculate_text(name, [])
        assert chosen.formula in told
        assert all(i.name in told for i in chosen.inputs)
        assert chosen.source in SOURCES
        assert citation(chosen) in told


def test_a_worked_result_shows_inputs_as_written_formula_and_source():
    told = calculate_text("pipe-resistance", ["mass=118.7 lb/ft"])
    assert "118.7 lb/ft" in told
    assert "18 uohm·cm (usual)" in told
    assert "= resistance             7.991 uohm/m" in told
    assert "table 5.3" in told
