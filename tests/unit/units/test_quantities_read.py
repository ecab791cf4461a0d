"""The door for quantities: what is read, what is refused and why."""

import subprocess
import sys

import pytest

from jointmap.errors import Refused
from jointmap.register.fields import QUANTITY_OF_SUFFIX
from jointmap.units import (
    HELD_IN,
    Quantity,
    accepted,
    library_factor,
    quantity_text,
    read_quantity,
    to_si,
)
from jointmap.units.spellings import EXACT, SPELLINGS
from jointmap.wording import say

READ = [
    ("640 ft·lbf", "torque", 867.7234869320961, 0),
    ("640 lbf·ft", "torque", 867.7234869320961, 0),
    ("640 ft-lb", "torque", 867.7234869320961, 0),
    ("640 ft lbs", "torque", 867.7234869320961, 0),
    ("271 N·m", "torque", 271.0, 0),
    ("271 Nm", "torque", 271.0, 0),
    ("> 999 Mohm", "resistance", 999e6, 1),
    ("640 FT-LBS", "torque", 867.7234869320961, 0),
    ("640 foot-pounds", "torque", 867.7234869320961, 0),
    ("640 lbs ft", "torque", 867.7234869320961, 0),
    ("87 daNm", "torque", 870.0, 0),
    ("271 NM", "torque", 271.0, 0),
    ("30 ksi", "pressure", 206842718.7950508, 0),
    ("290 PSIG", "pressure", 1999479.615018825, 0),
    ("207 N/mm²", "pressure", 207e6, 0),
    ("10-1/2 in", "length", 0.2667, 0),
    ("10\u20131/2''", "length", 0.2667, 0),
    ("-1/2 in", "length", -0.0127, 0),
    ("3 MM", "length", 0.003, 0),
    ("120 \u00baC", "temperature", 120.0, 0),
    (">= 5 kΩ", "resistance", 5000.0, 1),
    ("≥5 k\u2126", "resistance", 5000.0, 1),
    ("<0.5 ohm", "resistance", 0.5, -1),
    ("≤ 2 milliohm", "resistance", 0.002, -1),
    ("20MΩ", "resistance", 20e6, 0),
    ("999 M ohm", "resistance", 999e6, 0),
    ("1e3 ohm", "resistance", 1000.0, 0),
    ("80 µΩ", "resistance", 80e-6, 0),
    ("-1105 mV", "voltage", -1.105, 0),
    ("\u22121\u2009105 mV", "voltage", -1.105, 0),
    ("- 5 V", "voltage", -5.0, 0),
    ("+ 5 V", "voltage", 5.0, 0),
    (" 15 Vac ", "voltage", 15.0, 0),
    ("1,5 V", "voltage", 1.5, 0),
    ("0,105 V", "voltage", 0.105, 0),
    (".5 V", "voltage", 0.5, 0),
    ("1 105,5 mV", "voltage", 1.1055, 0),
    ("1,105.5 mV", "voltage", 1.1055, 0),
    ("1.105,5 mV", "voltage", 1.1055, 0),
    ("1,234,567 ohm", "resistance", 1234567.0, 0),
    ("1.234.567 ohm", "resistance", 1234567.0, 0),
    ("1.105 V", "voltage", 1.105, 0),
    ("1 1/8 in", "length", 0.028575, 0),
    ('1/8"', "length", 0.003175, 0),
    ("-1/8 in", "length", -0.003175, 0),
    ("3.175 mm", "length", 0.003175, 0),
    ("5'", "length", 1.524, 0),
    ("2500 psi", "pressure", 17236893.232920907, 0),
    ("100 bar", "pressure", 1e7, 0),
    ("212 °F", "temperature", 100.0, 0),
    ("140 deg C", "temperature", 140.0, 0),
    ("273.15 K", "temperature", 0.0, 0),
    ("500 uS/cm", "conductivity", 0.05, 0),
    ("80 km/h", "speed", 22.22222222222222, 0),
    ("18.2 km", "distance along a line", 18.2, 0),
    ("18200 m", "distance along a line", 18.2, 0),
    ("12.5 %", "ratio", 0.125, 0),
    ("1.4", "ratio", 1.4, 0),
    ("62 ft2", "area", 5.76, 0),
    ("90 min", "time", 5400.0, 0),
    ("250 mA", "current", 0.25, 0),
]
REFUSED = [
    ("2 mohm", "resistance", "unit.ambiguous"),
    ("2 MOHM", "resistance", "unit.ambiguous"),
    ("2 mOhm", "resistance", "unit.ambiguous"),
    ("5 MV", "voltage", "unit.ambiguous"),
    ("5 mil", "length", "unit.ambiguous"),
    ("31 mils", "length", "unit.ambiguous"),
    ("5-3 mm", "length", "unit.unknown"),
    ("10-20/2 in", "length", "unit.no_number"),
    ("290 psia", "pressure", "unit.unknown"),
    ("200", "torque", "unit.none"),
    ("200 lb", "torque", "unit.wrong_kind"),
    ("1,105 mV", "voltage", "unit.comma"),
    ("OL", "resistance", "unit.over_range"),
    ("1" * 97 + " ohm", "resistance", "unit.too_long"),
    ("> O.L. Mohm", "resistance", "unit.over_range"),
    ("overload", "resistance", "unit.over_range"),
    ("∞", "resistance", "unit.over_range"),
    ("", "voltage", "unit.missing"),
    ("  ", "voltage", "unit.missing"),
    ("about 5 V", "voltage", "unit.no_number"),
    ("nan V", "voltage", "unit.no_number"),
    ("1..2 V", "voltage", "unit.no_number"),
    ("1,10,5 V", "voltage", "unit.no_number"),
    ("1 2 V", "voltage", "unit.no_number"),
    ("--5 V", "voltage", "unit.no_number"),
    ("1/0 in", "length", "unit.no_number"),
    ("1e999 ohm", "resistance", "unit.not_finite"),
    ("5 parsec", "length", "unit.unknown"),
    ("18+200", "distance along a line", "unit.unknown"),
    ("5 V", "resistance", "unit.wrong_kind"),
    ("5 N·m", "pressure", "unit.wrong_kind"),
]


@pytest.mark.parametrize(("text", "quantity", "value", "bound"), READ)
def test_read(text, quantity, value, bound):
    found = read_quantity(text, quantity)
    assert found.value == pytest.approx(value, rel=1e-4 if "ft2" in text else 1e-15)
    assert found.bound == bound


@pytest.mark.parametrize(("text", "quantity", "fault"), REFUSED)
def test_refused(text, quantity, fault):
    with pytest.raises(Refused) as caught:
        read_quantity(text, quantity)
    (problem,) = caught.value.problems
    assert problem.id == fault
    # The sentence leaves nothing out that it promises.
    assert "not given" not in say(problem.id, problem.values)
    assert problem.values["accepted"]


def test_millivolts_are_rounded_once():
    off = [
        n
        for n in range(-3000, 3001)
        if read_quantity(f"{n} mV", "voltage").value != n / 1000
    ]
    assert off == []


def test_every_quantity_of_the_records_has_units():
    assert set(QUANTITY_OF_SUFFIX.values()) <= set(HELD_IN)
    assert set(HELD_IN) == set(SPELLINGS)


@pytest.mark.parametrize("quantity", list(HELD_IN))
def test_every_spelling_is_read(quantity):
    spellings = [s for names in SPELLINGS[quantity].values() for s in names.split()]
    assert spellings
    assert len(spellings) == len(set(spellings))
    for spelling in spellings:
        unit = spelling.replace("_", " ")
        assert read_quantity(f"1 {unit}", quantity).value == to_si(1.0, unit, quantity)


@pytest.mark.parametrize("quantity", list(HELD_IN))
def test_what_is_said_to_be_accepted_is(quantity):
    for unit in accepted(quantity):
        assert isinstance(read_quantity(f"> 2 {unit}", quantity), Quantity)


@pytest.mark.parametrize(("unit", "factor"), EXACT.items())
def test_what_is_exact_by_definition_is_what_the_library_says(unit, factor):
    # The library goes by another road to the foot-pound: the last bit may differ.
    assert library_factor(*unit) == pytest.approx(factor, rel=3e-16)


def test_the_units_library_is_not_loaded_before_a_unit_is_read():
    text = "import sys, jointmap.units; sys.exit('pint' in sys.modules)"
    subprocess.run([sys.executable, "-c", text], check=True)


@pytest.mark.parametrize("quantity", sorted(set(QUANTITY_OF_SUFFIX.values())))
@pytest.mark.parametrize("value", [0.0, -5.0, 50.0, 0.1, 1e-7, 1 / 3, 1e6, 1.5e17])
def test_a_value_written_is_the_value_read(quantity, value):
    text = quantity_text(value, quantity)
    assert read_quantity(text, quantity) == Quantity(value, 0)
    assert ".0 " not in text
