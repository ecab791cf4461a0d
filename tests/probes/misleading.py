"""Random edits of the sample's records that make a bad joint look good.

The list beside this file was written before anything was checked. Of each kind and size
the same number is drawn, its edits in turn, each on a row drawn for it.
"""

import csv
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import islice
from pathlib import Path
from random import Random

from tests.probes.misleading_figures import FIGURES
from tests.probes.misleading_papers import PAPERS
from tests.sample_reader import Row

LIST = Path(__file__).with_name("misleading_edits.csv")
KINDS = (
    "sign", "unit", "decimal", "day", "person", "instrument", "side", "place",
    "device", "source state",
)  # fmt: skip
SIZES = ("small", "middle", "large")
MAKERS = FIGURES | PAPERS
EACH = 10  # of a kind and size: 300 in all
SEED = 13


@dataclass(frozen=True, slots=True)
class Draw:
    """One delivery with an edit: what was done to what, and the rows as sent."""

    number: int
    kind: str
    size: str
    edit: str
    cannot_be_shown: bool
    sheets: dict[str, list[Row]] = field(repr=False)
    goal: str = "isolating"  # what looks good: or "whole studs", "in time"


def listed() -> list[Row]:
    with LIST.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def all_draws() -> list[Draw]:
    """Return the 300 edits, the same each time."""
    chance = Random(SEED)  # noqa: S311 - nothing is kept secret by it
    cells = [(k, s) for k in KINDS for s in SIZES]
    drawn = [d for kind, size in cells for d in _of_cell(kind, size, chance)]
    return [replace(d, number=n) for n, d in enumerate(drawn, start=1)]


def some_draws(count: int) -> list[Draw]:
    """Return ``count`` of the 300, spread over kinds and sizes."""
    every = all_draws()
    if count >= len(every):
        return every
    # 37 shares no factor with 300: each cell comes up before one comes up again.
    places = ((37 * n) % len(every) for n in range(len(every)))
    return [every[n] for n in islice(places, count)]


def _of_cell(kind: str, size: str, chance: Random) -> Iterator[Draw]:
    own = [r for r in listed() if (r["kind"], r["size"]) == (kind, size)]
    for n in range(EACH):
        row = own[n % len(own)]
        made = MAKERS[row["edit"]](row["of"], chance)
        told = kind, size, row["edit"], row["cannot_be_shown"] == "yes"
        yield Draw(0, *told, made.sheets, made.goal)


def recorded_at() -> dt.datetime:
    """Return when an edited delivery is loaded: after the last one of the sample."""
    return dt.datetime(2026, 5, 15, 8, tzinfo=dt.UTC)
