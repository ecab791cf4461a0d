"""A visit with the figures of an earlier one, and one in how many that is by chance."""

import numpy as np
import pytest

from jointmap.acceptance.same_figures import figures_again
from jointmap.register.codes import Side
from tests.figures_made import read, row, stud


def told(*rows):
    again = figures_again(read(*rows))
    return [
        (*pair, round(odds))
        for *pair, odds in zip(*(v.tolist() for v in again), strict=True)
    ]


OLD, NEW = "2024-04-10", "2025-04-12"
SHIFT = (-926, -832, -367, -367)
CASES = {
    # Three potentials to the millivolt; the far side's on says nothing beside its off.
    "the same": ([row(OLD, *SHIFT), row(NEW, *SHIFT)], [(2, 1, 8000)]),
    "one differs": ([row(OLD, *SHIFT), row(NEW, -926, -832, -367, -368)], []),
    "one is missing": ([row(OLD, *SHIFT), row(NEW, -926, -832, -367, None)], []),
    "the other side": (
        [row(OLD, *SHIFT), row(NEW, *SHIFT, interrupted_side=Side.B.code)], []
    ),
    "another spot": ([row(OLD, *SHIFT), row(NEW, *SHIFT, spot=2)], []),
    "the same day": ([row(NEW, *SHIFT), row(NEW, *SHIFT)], []),
    # As mV or as V: what differs in the last bit is the same figure.
    "another unit": (
        [row(OLD, *SHIFT), row(NEW, -926.0000001, -832, -367, -367)], [(2, 1, 8000)]
    ),
    "rounded to ten": (
        [row(OLD, -930, -830, -370, -370), row(NEW, -930, -830, -370, -370)], []
    ),
    "one figure": ([row(OLD, -926), row(NEW, -926)], []),
    # Any of three earlier visits may be met again by chance.
    "of several": (
        [row("2022-04-01", -901, -812, -370, -371), row(OLD, *SHIFT),
         row("2024-10-10", -917, -822, -377, -377), row(NEW, *SHIFT)],
        [(4, 2, round(8000 / 3))],
    ),
    "the last of two": (
        [row("2023-04-01", *SHIFT), row(OLD, *SHIFT), row(NEW, *SHIFT)],
        [(2, 1, 8000), (3, 2, 4000)],
    ),
    # Both sides of a stud: three in 169 and three in 846 of their last digits.
    "a stud": (
        [*stud(OLD, 169, 846), *stud(NEW, 169, 846)], [(3, 1, round(169 * 846 / 9))]
    ),
    "one side of it": ([*stud(OLD, 169, 846), *stud(NEW, 169, 845)], []),
    # The other side of the visit shows that 200 was read to three digits.
    "a round one": (
        [*stud(OLD, 200, 165), *stud(NEW, 200, 165)], [(3, 1, round(200 * 165 / 9))]
    ),
    "two round ones": ([*stud(OLD, 200, 160), *stud(NEW, 200, 160)], []),
    # So do other visits, of a reading and of a potential.
    "a spot read finely": (
        [row(f"{2010 + n}-04-01", -823 - n, reading_ohm=613e2 + 3e2 * n)
         for n in range(8)]
        + [row(d, -830, reading_ohm=71.0e3) for d in (OLD, NEW)],
        [(10, 9, round(20 * 710 / 3 / 9))],
    ),
    "a spot read in tens": (
        [row(f"{2010 + n}-04-01", -820 - 10 * n, reading_ohm=61e3 + 1e3 * n)
         for n in range(8)]
        + [row(d, -830, reading_ohm=71.0e3) for d in (OLD, NEW)],
        [],
    ),
    "metal contact": (
        [*stud("2022-06-01", 169, 846), *stud(OLD, 0.7e-6, 6.5e-6),
         *stud(NEW, 0.7e-6, 6.5e-6)],
        [],
    ),
    "beyond the range": (
        [*stud(OLD, 999, 998, bound=1), *stud(NEW, 999, 998, bound=1)], []
    ),
    "sides of two visits": (
        [*stud("2023-04-01", 169, 845), *stud(OLD, 168, 846), *stud(NEW, 169, 846)], []
    ),
    "with potential": (
        [row(d, -837, reading_ohm=71_000.0, ac_a_volt=1.37) for d in (OLD, NEW)],
        [(2, 1, round(20 * 71 / 3 * 137 / 3))],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_told_where_it_is_rare(case):
    rows, expected = CASES[case]
    assert told(*rows) == expected


def test_no_figures_are_no_copies():
    nothing = read(row(OLD, *SHIFT)).take(np.zeros(1, np.bool_))
    assert [len(v) for v in figures_again(nothing)] == [0, 0, 0]


def test_honest_visits_are_hardly_ever_told():
    """Of 4,000 visits with the least scatter that is believed, a few by chance."""
    chance = np.random.default_rng(1)  # noqa: TID251
    visits = 20
    rows = [
        row(str(np.datetime64("2006-04-01") + 365 * n), *_scattered(chance), spot=spot)
        for spot in range(200)
        for n in range(visits)
    ]
    assert len(told(*rows)) <= len(rows) / 200


def _scattered(chance):
    near_off, far = -850 + chance.normal(0, 6), -550 + chance.normal(0, 6)
    step, seen = chance.normal(-100, 6), chance.normal(0, 1)
    read_ = np.round([near_off + step, near_off, far + seen, far])
    return [int(v) for v in read_]
