"""Potentials that cannot stand beside each other wait for a person."""

import csv
import datetime as dt
from pathlib import Path

import pytest

from jointmap.changes.rows.doubts_of_tests import doubts_of_test
from jointmap.register import IsolationTest
from jointmap.register.codes import Outcome, Scope, Side, Stage
from jointmap.units import read_quantity
from tests.opened_site import FIRST, opened, sent, shown

NAMES = ("a_on", "a_off", "b_on", "b_off")
SAMPLE = Path(__file__).parents[3] / "sample_site"
SIGNS, NOBLE, ORDER, FURTHER, WRONG_WAY, ONE = (
    "two_signs", "too_noble", "other_order", "far_goes_further", "shift_sign",
    "one_potential",
)  # fmt: skip


def shift(volts, side=Side.A, method="potential-shift"):
    return IsolationTest(
        scope=Scope.JOINT, joint_id=1, tested_on=dt.date(2026, 3, 11), method=method,
        stage=Stage.ROUTINE, outcome=Outcome.MEASURED, interrupted_side=side,
        **{f"{n}_volt": v for n, v in zip(NAMES, volts, strict=True)},
    )  # fmt: skip


def doubted(test):
    return [
        (p.column, p.id.removeprefix("row."))
        for p in doubts_of_test(test)
        if not p.id.endswith("at_odds")
    ]


# A step through what a good visit reads, each figure spoilt in one way.
CASES = [
    ((-1.20, -0.90, -0.55, -0.55), []),
    ((-1.20, -0.90, -0.55, -0.54), []),
    ((-1.20, -0.90, -0.90, -0.62), []),
    # Steel in concrete and copper stand near zero, and may cross it.
    ((-1.20, -0.90, -0.05, 0.02), []),
    ((-1.20, -0.90, 0.30, 0.30), []),
    ((-1.20, -0.90, None, None), []),
    # A lost minus, at each place.
    ((1.20, -0.90, -0.55, -0.55), [("a_on", SIGNS)]),
    ((-1.20, 0.90, -0.55, -0.55), [("a_off", SIGNS)]),
    ((-1.20, -0.90, 0.55, -0.55), [("b_on", SIGNS)]),
    ((-1.20, -0.90, -0.55, 0.55), [("b_off", SIGNS)]),
    ((-1.20, -0.90, 0.55, 0.55), [("b_off", NOBLE)]),
    ((1.20, 0.90, -0.55, -0.55), [("a_off", NOBLE), ("a_on", WRONG_WAY)]),
    # mV written as V: the number is a thousandth of what it should be.
    ((-1.20, -0.90, -0.00055, -0.00055), [("b_on", ORDER), ("b_off", ORDER)]),
    ((-1.20, -0.0009, -0.55, -0.55), [("a_off", ORDER)]),
    # On and off of the far side crossed, and the far side further than the near one.
    ((-1.00, -0.90, -0.55, -0.90), [("b_on", FURTHER)]),
    ((-1.00, -0.90, -0.55, -0.60), []),
    ((-1.00, -0.90, -0.55, -0.601), [("b_on", FURTHER)]),
    # One figure of each side alone: a lost minus, and a shifted point.
    ((-0.592, None, -0.592, None), []),
    ((-0.592, None, 0.592, None), [("b_on", NOBLE)]),
    ((-0.595, None, -0.00595, None), [("b_on", ORDER)]),
    ((-0.595, None, -0.00596, None), []),
    # Both leads on one side for one reading; both sides one metal; alike within noise.
    ((-0.709, -0.614, -0.615, -0.615), [("b_off", ONE)]),
    ((-0.709, -0.614, -0.709, -0.615), []),
    ((-0.868, -0.788, -0.790, -0.790), [("b_off", ONE)]),
    ((-0.709, -0.614, -0.619, -0.619), [("b_off", ONE)]),
    ((-0.709, -0.614, -0.620, -0.620), []),
    # The near side's own: on and off crossed.
    ((-0.90, -1.20, -0.55, -0.55), [("a_on", WRONG_WAY)]),
]


@pytest.mark.parametrize(("volts", "found"), CASES)
def test_what_cannot_stand_beside_the_rest_is_doubted(volts, found):
    assert doubted(shift(volts)) == found


@pytest.mark.parametrize(("volts", "found"), CASES)
def test_the_other_side_interrupted_is_doubted_alike(volts, found):
    swapped = (*volts[2:], *volts[:2])
    names = dict(zip(NAMES, (*NAMES[2:], *NAMES[:2]), strict=True))
    wanted = sorted((names[column], id_) for column, id_ in found)
    assert sorted(doubted(shift(swapped, Side.B))) == wanted


@pytest.mark.parametrize(
    "volts", [v for v, found in CASES if any(x in (SIGNS, ORDER) for _, x in found)]
)
def test_a_difference_is_doubted_as_a_shift_is(volts):
    assert doubted(shift(volts, None, "potential-difference"))


def test_each_cell_is_doubted_once():
    for volts, _ in CASES:
        columns = [p.column for p in doubts_of_test(shift(volts))]
        assert len(columns) == len(set(columns))


def test_no_reading_of_the_sample_is_doubted():
    rows = 0
    for path in sorted(SAMPLE.glob("*/tests*.csv")):
        with path.open(newline="", encoding="utf-8") as file:
            for row in csv.DictReader(file):
                volts = [
                    read_quantity(row[n], "voltage").value if row.get(n) else None
                    for n in NAMES
                ]
                side = (
                    Side(row["interrupted_side"])
                    if row.get("interrupted_side")
                    else None
                )
                found = doubted(shift(volts, side, row["method"]))
                assert not found, (path, row)
                rows += any(v is not None for v in volts)
    assert rows > 100


HEAD = "scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
HEAD += "interrupted_side,sources_cycling,cycles\n"
SOURCES = "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n"


@pytest.mark.parametrize(
    "volts",
    ["-1.20 V,-0.90 V,0.55 V,-0.55 V", "-1.20 V,-0.90 V,-0.55 mV,-0.55 mV"],
)
def test_a_doubted_reading_decides_nothing(tmp_path, volts):
    site = opened(tmp_path, {"sources.csv": SOURCES})
    row = f"joint,J-1,2026-03-11,potential-shift,routine,measured,{volts},A,R1,10\n"
    report = sent(site, {"tests.csv": HEAD + row}, FIRST + dt.timedelta(days=90))
    assert not report.refused
    assert report.held
    with shown(site) as showing:
        assert not showing.assessed.judgements.counts[-1]
    site.register.close()


ONE_PIECE = "joint,fitted_on,kind,layout,removed_on,correction_reason\n"
ONE_PIECE += "J-1,2020-01-05,flange kit,two-side,2025-10-03,replaced\n"
ONE_PIECE += "J-1,2025-10-03,{kind},,,\n"
STUD = "scope,joint,tested_on,method,stage,outcome,reading,stud,side\n"
STUD += "{scope},J-1,{day},{method},routine,measured,5 Mohm,{stud},A\n"


PARTS = [("stud", "stud-resistance", "3"), ("gasket core", "core-resistance", "")]


@pytest.mark.parametrize("kind", ["monolithic joint", "union"])
@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("day", ["2025-11-01", "2024-11-01"])
def test_a_part_that_the_device_has_not(tmp_path, kind, part, day):
    scope, method, stud = part
    site = opened(tmp_path, {"devices.csv": ONE_PIECE.format(kind=kind)})
    sheet = STUD.format(scope=scope, day=day, method=method, stud=stud)
    report = sent(site, {"tests.csv": sheet}, FIRST + dt.timedelta(days=90))
    site.register.close()
    found = [(p.id, p.column, p.value) for p in report.refused]
    was_in_one_piece = day == "2025-11-01"
    assert found == [("row.no_such_part", "scope", scope)] * was_in_one_piece


METER = "name,kind,range,needs_certificate\nM-1,ohmmeter,2 Mohm,no\n"
READ = "scope,joint,tested_on,method,stage,outcome,reading,instrument\n"


@pytest.mark.parametrize(
    ("reading", "waits"),
    [("1.9 Mohm", False), ("2 Mohm", False), ("> 2 Mohm", False), ("609 Mohm", True)],
)
def test_a_reading_beyond_what_the_instrument_can_show_waits(tmp_path, reading, waits):
    site = opened(tmp_path, {"instruments.csv": METER})
    row = f"joint,J-1,2026-03-11,ohmmeter,routine,measured,{reading},M-1\n"
    report = sent(site, {"tests.csv": READ + row}, FIRST + dt.timedelta(days=90))
    site.register.close()
    assert not report.refused
    assert [p.id for p in report.held if p.column == "reading"] == (
        ["row.beyond_range"] if waits else []
    )
