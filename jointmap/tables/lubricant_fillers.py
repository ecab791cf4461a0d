"""Words in a lubricant's name that tell of a filler that conducts."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class Filler:
    """One word and why it counts."""

    word: str
    source: str
    mark: str


@cache
def lubricant_fillers() -> tuple[Filler, ...]:
    """Return the catalogue of conductive fillers."""
    text = resources.files("jointmap.tables").joinpath("lubricant_fillers.csv")
    rows = csv.DictReader(text.read_text(encoding="utf-8").splitlines())
    return tuple(Filler(r["word"], r["source"], r["mark"]) for r in rows)
