"""Good readings far from every good one of their place before."""

import numpy as np
import pytest

from jointmap.acceptance.unlike_before import unlike_before
from jointmap.register.codes import Side
from tests.figures_made import read, row

USUAL = (-1030, -910, -550, -550)
NEAR_B = {"interrupted_side": Side.B.code}


def told(*rows, good=None, device=1):
    figures = read(*rows)
    is_good = np.ones(len(rows), np.bool_) if good is None else np.array(good)
    devices = np.broadcast_to(np.asarray(device), len(rows))
    return [
        (u.figure, *(round(float(v[n]), 3) for v in u[1:6]), int(u.earlier[n]))
        for u in unlike_before(figures, is_good, devices)
        for n in range(len(u.row))
    ]


def years(count, *millivolt, **more):
    return [row(f"{2010 + n}-04-10", *millivolt, **more) for n in range(count)]


def last(*millivolt, **more):
    return row("2025-04-10", *millivolt, **more)


TWO, FIVE = years(2, *USUAL), years(5, *USUAL)
CASES = {
    "one before": ([*years(1, *USUAL), last(-1030, -910, -100, -100)], []),
    "far side, two before": (
        [*TWO, last(-1030, -910, -449, -449)],
        [("b", 2, 1, -0.449, -0.55, -0.55, 2)],
    ),
    "near enough": ([*TWO, last(-1030, -910, -450, -450)], []),
    "lower": (
        [*TWO, last(-1030, -910, -651, -651)], [("b", 2, 1, -0.651, -0.55, -0.55, 2)]
    ),
    "far side, five before": (
        [*FIVE, last(-1030, -910, -601, -601)], [("b", 5, 4, -0.601, -0.55, -0.55, 5)]
    ),
    "the near side moves": ([*FIVE, last(-1030, -960, -550, -550)], []),
    "the near side, far": (
        [*FIVE, last(-1130, -1011, -550, -550)],
        [("a", 5, 4, -1.011, -0.91, -0.91, 5)],
    ),
    "the other near side": (
        [*years(5, *USUAL, **NEAR_B), last(-1030, -961, -600, -560, **NEAR_B)],
        [("a", 5, 4, -0.961, -0.91, -0.91, 5)],
    ),
    "on alone": (
        [*years(2, -690, None, -510, None), last(-690, None, -58, None)],
        [("b", 2, 1, -0.058, -0.51, -0.51, 2)],
    ),
    "another spot": ([*TWO, last(-1030, -910, -100, -100, spot=2)], []),
    "read again since": (
        [*TWO, row("2024-04-10", -1030, -910, -100, -100), last(*USUAL)], []
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_potentials(case):
    rows, expected = CASES[case]
    assert told(*rows) == expected


def test_bad_readings_are_neither_asked_nor_compared_with():
    rows = [*TWO, row("2024-04-10", -1030, -910, -800, -800), last(-1030, -910, -800)]
    assert told(*rows, good=[True, True, True, False]) == []
    found = told(
        *rows[:3], last(-1030, -910, -800, -800), good=[True, True, False, True]
    )
    assert found == [("b", 3, 1, -0.8, -0.55, -0.55, 2)]


SCATTERED = (60e3, 40e3, 80e3, 25e3, 57e3, 44e3)


def ohms(*values, **more):
    return [
        row(f"{2010 + n}-04-10", reading_ohm=v, **more) for n, v in enumerate(values)
    ]


@pytest.mark.parametrize(
    ("ohm", "expected"),
    [
        (239e3, []),
        (300e3, [("reading", 6, 5, 300e3, 25e3, 80e3, 6)]),
    ],
)
def test_a_resistance_many_times_the_highest_before(ohm, expected):
    assert told(*ohms(*SCATTERED, ohm)) == expected
    assert told(*ohms(*SCATTERED[:4], ohm)) == []


def test_a_device_whose_readings_scatter_may_read_higher():
    assert told(*ohms(60e6, 1e6, 200e6, 5e6, 90e6, 700e6)) == []


def test_a_resistance_of_another_device_or_side_or_beyond_the_range_says_nothing():
    assert told(*ohms(*SCATTERED, 300e3), device=[1] * 6 + [2]) == []
    assert told(*ohms(*SCATTERED), last(reading_ohm=300e3, side=1)) == []
    assert told(*ohms(*SCATTERED), last(reading_ohm=300e3, bound=1)) == []


def test_nothing_of_no_readings():
    nothing = read(row("2025-04-10", *USUAL)).take(np.zeros(1, np.bool_))
    found = list(unlike_before(nothing, np.zeros(0, np.bool_), np.zeros(0, np.int64)))
    assert [len(u.row) for u in found] == [0, 0, 0]
