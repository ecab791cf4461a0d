"""What the words of a fitting record say."""

import math

import pytest

from jointmap.assembly import texts
from jointmap.assembly.passes import passes_of
from jointmap.tables.flanges import FLANGES
from jointmap.tables.materials import ISOLATING_MATERIALS
from jointmap.tables.studs import STUD_THREADS
from jointmap.tables.tightening import SCHEMES


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("NPS 12", "12"),
        ("nps 3/4", "3/4"),
        ("1-1/2", "1-1/2"),
        ("1 1/2 in", "1-1/2"),
        ('1-3/8"', "1-3/8"),
        ("1-3/8-8UN", "1-3/8"),
        ("DN 300", ""),
        ("M20", ""),
        ("12.5", ""),
        ("", ""),
    ],
)
def test_sizes(text, size):
    assert texts.size_of(text) == size


@pytest.mark.parametrize(
    ("size", "pressure_class", "facing", "found"),
    [
        ("NPS 8", 150, "raised face", ("8", 150)),
        ("8", 150, "RF", ("8", 150)),
        ("NPS 8", 150, "", texts.NOT_NAMED),
        ("", 150, "RF", texts.NOT_NAMED),
        ("NPS 8", None, "RF", texts.NOT_NAMED),
        ("NPS 8", 150, "ring joint", texts.NOT_LISTED),
        ("NPS 8", 16, "RF", texts.NOT_LISTED),
        ("NPS 26", 150, "RF", texts.NOT_LISTED),
        ("NPS 14", 2500, "RF", texts.NOT_LISTED),
    ],
)
def test_flanges(size, pressure_class, facing, found):
    place = texts.flange_place(size, pressure_class, facing)
    if place >= 0:
        place = (FLANGES[place].size, FLANGES[place].pressure_class)
    assert place == found


def test_threads():
    assert STUD_THREADS[texts.thread_place("1 1/8 in")].size == "1-1/8"
    assert texts.thread_place(" ") == texts.NOT_NAMED
    assert texts.thread_place("M24") == texts.NOT_LISTED


@pytest.mark.parametrize(
    ("text", "diameter", "pitch"),
    [
        ("1-3/8", 0.034925, 0.003175),
        ("M36x4", 0.036, 0.004),
        ("m 36 \u00d7 4", 0.036, 0.004),
        ("M36", 0.036, math.nan),
        ("36 mm", math.nan, math.nan),
        ("", math.nan, math.nan),
    ],
)
def test_a_studs_own_name_gives_diameter_and_pitch(text, diameter, pitch):
    assert texts.stud_of(text) == pytest.approx((diameter, pitch), nan_ok=True)


def test_a_bare_20_may_be_inches_or_millimetres():
    assert texts.flange_place("20", 150, "raised face") == texts.NOT_NAMED
    assert texts.flange_place("NPS 20", 150, "raised face") >= 0
    assert texts.flange_place("DN 20", 150, "raised face") == texts.NOT_LISTED


@pytest.mark.parametrize(
    ("text", "grade"),
    [("B7", "B7"), ("ASTM A193-B7M", "B7M"), ("a193 b7", "B7"), ("8.8", ""), ("", "")],
)
def test_grades(text, grade):
    assert texts.grade_name(text) == grade


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("glass-epoxy laminate", "glass-epoxy G10 / FR4"),
        ("G11", "glass-epoxy G11 / FR5"),
        ("phenolic paper XX", "phenolic paper XX"),
        ("PE", "polyethylene"),
        ("PTFE on steel", "PTFE"),
        ("PEEK", "PEEK"),
        ("glass-epoxy-like", texts.NOT_LISTED),
        ("high-temperature laminate", texts.NOT_LISTED),
        ("", texts.NOT_NAMED),
    ],
)
def test_materials(text, name):
    place = texts.material_place(text)
    assert (ISOLATING_MATERIALS[place].name if place >= 0 else place) == name


def test_schemes():
    assert passes_of("Thirds") == SCHEMES["thirds"]
    assert passes_of("") == passes_of("one go") == ()


@pytest.mark.parametrize(
    ("text", "orders"),
    [
        ("30/60/100/100", "cross cross cross round"),
        ("25 % / 50 % / 75 % / 100 %", "cross cross cross cross"),
        ("50-100-100-100", "cross cross round round"),
        ("50, 100", "cross cross"),
    ],
)
def test_an_owners_own_scheme_is_its_shares(text, orders):
    passes = passes_of(text)
    assert [p.order for p in passes] == orders.split()
    assert passes[-1].share == 1.0
    assert passes[0].citation.endswith("(owner's choice)")


@pytest.mark.parametrize("text", ["30/60", "60/30/100", "0/100", "100", "50/100/110"])
def test_shares_that_fall_or_do_not_end_at_the_target_are_no_scheme(text):
    assert passes_of(text) == ()


@pytest.mark.parametrize(
    ("face", "damaged"),
    [
        ("clean, no score across the seat", False),
        ("free of rust", False),
        ("not corroded", False),
        ("scored at 3 o'clock", True),
        ("pitted", True),
        ("pitted, repaired and checked", False),
        ("", False),
    ],
)
def test_faces(face, damaged):
    assert texts.is_damaged(face) is damaged


@pytest.mark.parametrize(
    ("stack", "right"),
    [
        ("nut; steel; isolating; flange", True),
        ("flange, insulating washer, steel washer, nut", True),
        ("nut; isolating; steel; flange", False),
        ("nut; isolating; flange", False),
        ("", False),
    ],
)
def test_washer_orders(stack, right):
    assert texts.is_right_order(stack) is right


@pytest.mark.parametrize(
    ("tests", "found"),
    [
        ("by ohmmeter", True),
        ("Multimeter, all good", True),
        ("radio frequency, not by ohmmeter", False),
        ("every stud to both flanges", False),
    ],
)
def test_what_proves_nothing(tests, found):
    assert (texts.telling_word("no proof", tests) >= 0) is found
