"""Calculations at a desk: what is refused, and what is told."""

from itertools import product

import pytest

from jointmap.acceptance.formulas_joint import joint_beside_earth
from jointmap.errors import Refused, WrongUse
from jointmap.tables import SOURCES
from jointmap.units import accepted
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


OUT_OF_SIZE = ["1e308", "1e-308", "-1e45", "1e-45"]


def filled(chosen, **given):
    """Every input of a calculation: as given, else a word or one of its unit."""
    found = {}
    for asked in chosen.inputs:
        unit = "" if asked.words else accepted(asked.quantity)[0]
        usual = asked.words[0] if asked.words else f"1 {unit}"
        found[asked.name] = given.get(asked.name, asked.usual or usual)
    return [f"{name}={text}" for name, text in found.items()]


NUMBERS = [
    (name, asked.name, accepted(asked.quantity)[0])
    for name, chosen in CALCULATIONS.items()
    for asked in chosen.inputs
    if not asked.words
]


@pytest.mark.parametrize("size", OUT_OF_SIZE)
@pytest.mark.parametrize(("name", "asked", "unit"), NUMBERS)
def test_no_formula_takes_a_number_that_nobody_can_mean(name, asked, unit, size):
    given = filled(CALCULATIONS[name], **{asked: f"{size} {unit}"})
    with pytest.raises(Refused) as caught:
        calculate_text(name, given)
    # A rate is written without a power of ten: its unit begins with a stroke.
    told = {p.id for p in caught.value.problems}
    assert told <= {"calculate.size", "unit.not_finite", "unit.unknown"}


ENDS = ["1e29", "-1e29", "1e-27", "0"]


@pytest.mark.parametrize("ends", [*product(ENDS, repeat=2)])
@pytest.mark.parametrize("name", CALCULATIONS)
def test_every_formula_gives_a_number_or_a_sentence(name, ends):
    """Each second input at one end, the others at the other end of what is taken."""
    chosen, given = CALCULATIONS[name], {}
    numbers = [asked for asked in chosen.inputs if not asked.words]
    for place, asked in enumerate(numbers):
        given[asked.name] = f"{ends[place % 2]} {accepted(asked.quantity)[0]}"
    try:
        told = calculate_text(name, filled(chosen, **given))
    except Refused as refused:
        for problem in refused.problems:
            assert "not given" not in say(problem.id, problem.values)
        return
    results = [line for line in told.splitlines() if line.startswith("= ")]
    assert results
    assert not any("inf" in line or "nan" in line for line in results)


def test_a_difference_that_is_lost_in_rounding_is_no_result():
    with pytest.raises(Refused, match=r"calculate\.no_result"):
        calculate_text("joint-beside-earth", ["measured=2 ohm", "earth=2 ohm"])


def test_a_name_given_twice_is_refused():
    with pytest.raises(Refused) as caught:
        calculate_text("pipe-resistance", ["mass=1 kg/m", "mass =2 kg/m", "x"])
    assert [p.id for p in caught.value.problems] == [
        "calculate.no_value",
        "calculate.twice",
    ]


def test_a_flange_of_very_many_studs_is_refused_before_it_fills_the_memory():
    with pytest.raises(Refused, match=r"formula\.too_many"):
        calculate_text("flange", ["gasket=1 Mohm", "stud=1 Mohm", "studs=1e12"])


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
