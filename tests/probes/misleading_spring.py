"""Rows of the sample as if they were read in the spring of 2026."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from random import Random

from tests.probes.misleading_rows import POOLS, POTENTIALS, Visit
from tests.sample_reader import Row, millivolt

QUALIFIED = ("T1", "T2", "F1")
FIRST, LAST = dt.date(2026, 4, 27), dt.date(2026, 5, 13)
HOLIDAY, SATURDAY = dt.date(2026, 5, 1), 5
# What stood for each meter in the spring of 2026, where its own had left.
METERS = {"M-33": "M-05", "M-31": "M-03", "M-07": "M-05"}
# A remark could say what the figures no longer do.
NOT_SENT = (
    "file", "folder", "correction_reason", "tested_at", "witness", "remark",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Made:
    """Sheets as sent, and what seems good by them."""

    sheets: dict[str, list[Row]]
    goal: str = "isolating"


Maker = Callable[[str, Random], Made]
Change = Callable[[Row, Random], None]


def _day(chance: Random) -> str:
    days = [FIRST + dt.timedelta(n) for n in range((LAST - FIRST).days + 1)]
    return chance.choice([d for d in days if is_working(d)]).isoformat()


def is_working(day: dt.date) -> bool:
    return day.weekday() < SATURDAY and day != HOLIDAY


def as_of_spring(visit: Visit, chance: Random, *, exact: bool = False) -> Visit:
    """Return rows as if read this spring, by who and what was there then.

    Unless ``exact`` they are read anew: a little beside what they were.
    """
    day, found = _day(chance), []
    for row in visit:
        new = {k: v for k, v in row.items() if k not in NOT_SENT}
        person = row["person"] if row["person"] in QUALIFIED else "T1"
        meter = METERS.get(row["instrument"], row["instrument"])
        new |= {"tested_on": day, "person": person, "instrument": meter}
        if new["stage"] in ("as found", "as left"):
            new["stage"] = "routine"
        found.append(new if exact else read_anew(new, chance))
    return found


def read_anew(row: Row, chance: Random) -> Row:
    """Return a row whose figures differ as two visits do; the steps stay."""
    new, beside = dict(row), chance.choice((-7, -5, -4, -3, 2, 3, 5, 6))
    for name in POTENTIALS:
        if row.get(name):
            new[name] = f"{millivolt(row[name]) + beside:.0f} mV"
    if row.get("reading"):
        figure, unit = row["reading"].removeprefix("> ").split()
        near = float(f"{float(figure) * chance.uniform(0.9, 1.1):.3g}")
        new["reading"] = f"{near:g} {unit}"
    return new


def of_pool(
    change: Change, of: str, chance: Random, *, goal: str = "isolating"
) -> Made:
    """Change each row of a visit that is drawn from a pool."""
    visit = as_of_spring(chance.choice(POOLS[of]()), chance)
    for row in visit:
        change(row, chance)
    return Made({"tests": visit}, goal)


def each_row(change: Change, goal: str = "isolating") -> Maker:
    return partial(of_pool, change, goal=goal)
