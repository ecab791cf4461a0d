"""Reading published tables: what is refused, and what each row must carry."""

import subprocess
import sys
from dataclasses import dataclass

import pytest

from jointmap.errors import Refused
from jointmap.register.codes import Mark
from jointmap.tables.electrodes import lacks_solution
from jointmap.tables.fitting_limits import FITTING_LIMITS
from jointmap.tables.flanges import FLANGES
from jointmap.tables.materials import ISOLATING_MATERIALS, NUT_FACTORS
from jointmap.tables.rows import Published, read_rows
from jointmap.tables.studs import (
    REFERENCE_TORQUES,
    STEEL_WASHERS,
    STUD_GRADES,
    STUD_THREADS,
    grade_for,
)
from jointmap.tables.telling_words import TELLING_WORDS
from jointmap.tables.tightening import SCHEMES, STARTERS
from jointmap.units import HELD_IN
from jointmap.wording import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Row(Published):
    name: str
    value: float | None


HEAD = "name,value,source,clause,edition,mark\n"
GOOD = "a,1.5,owner,,,seen\n"


def test_a_good_row_is_read_and_an_empty_number_is_none():
    rows = read_rows("x.csv", HEAD + GOOD + "b,,pcc-1,table 1,2013,seen\n", Row)
    assert [r.value for r in rows] == [1.5, None]
    assert rows[1].citation.endswith("Joint Assembly, table 1, 2013 (seen)")


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("name,value\n", "table.keys"),
        (HEAD + "a,1.5,owner\n", "table.cells"),
        (HEAD + "a,1.5,owner,,,seen,more\n", "table.cells"),
        (HEAD + "a,1.5,,,,seen\n", "table.no_source"),
        (HEAD + "a,1.5,owner,,,\n", "table.no_source"),
        (HEAD + "a,1.5,nobody,,,seen\n", "table.unknown_source"),
        (HEAD + "a,one,owner,,,seen\n", "table.number"),
    ],
)
def test_what_is_refused(text, problem):
    with pytest.raises(Refused) as caught:
        read_rows("x.csv", text, Row)
    (found,) = caught.value.problems
    assert found.id == problem
    assert "not given" not in say(found.id, found.values)


def test_all_faults_come_at_once():
    with pytest.raises(Refused) as caught:
        read_rows("x.csv", HEAD + "a,one,,,,seen\n" + "b,two,owner,,,seen\n", Row)
    assert [(p.id, p.line) for p in caught.value.problems] == [
        ("table.no_source", 2),
        ("table.number", 2),
        ("table.number", 3),
    ]


def test_every_row_of_every_table_has_a_known_mark():
    rows = [*FLANGES, *STUD_THREADS, *STUD_GRADES, *STEEL_WASHERS, *REFERENCE_TORQUES]
    rows += [*FITTING_LIMITS.values(), *ISOLATING_MATERIALS, *NUT_FACTORS]
    rows += [*STARTERS.values(), *(p for s in SCHEMES.values() for p in s)]
    rows += [w for words in TELLING_WORDS.values() for w in words]
    marks = {m.value for m in Mark} | {"not in B16.5, source to confirm"}
    assert {r.mark for r in rows} <= marks


def test_limits_are_in_units_that_are_held():
    for row in FITTING_LIMITS.values():
        assert row.quantity in HELD_IN
        assert row.value_si > 0


def test_the_units_library_is_not_loaded_to_read_the_limits():
    text = (
        "import sys; from jointmap.tables.fitting_limits import FITTING_LIMITS as all;"
        "[row.value_si for row in all.values()];"
        "sys.exit('pint' in sys.modules)"
    )
    subprocess.run([sys.executable, "-c", text], check=True)


def test_schemes_end_at_the_full_torque_and_count_their_passes():
    for passes in SCHEMES.values():
        assert [p.number for p in passes] == list(range(1, len(passes) + 1))
        assert passes[-1].share == 1.0
        assert passes[-1].order == "round"
        assert all(p.low is None or p.low < p.share < p.high for p in passes)


@pytest.mark.parametrize(
    ("grade", "inches", "strength"),
    [
        ("B7", 2.5, 105.0),
        ("B7", 2.75, 95.0),
        ("B7", 7.0, 75.0),
        ("B7M", 4.0, 80.0),
        ("B7", 8.0, None),
        ("B16", 1.0, None),
    ],
)
def test_yield_by_grade_and_size(grade, inches, strength):
    found = grade_for(grade, inches)
    assert (found and found.yield_ksi) == strength


@pytest.mark.parametrize(
    ("said", "lacks"),
    [
        ("Ag/AgCl", True),
        ("silver chloride", True),
        ("Ag/AgCl sea water", False),
        ("silver chloride 0.1 M KCl", False),
        ("Ag/AgCl sat.", False),
        ("Cu/CuSO4", False),
        ("", False),
    ],
)
def test_a_silver_chloride_electrode_needs_its_solution(said, lacks):
    assert lacks_solution(said) is lacks
