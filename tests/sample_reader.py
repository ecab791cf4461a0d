"""The sample's files read as plain rows, without the program."""

import csv
import json
import math
from collections.abc import Iterator
from datetime import date
from functools import cache
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1] / "sample_site"
OHM = {"ohm": 1.0, "kohm": 1e3, "Mohm": 1e6}
METRES_PER_DEGREE = 111_195.0
DEMO_DAY = date(2026, 5, 15)
LEAST_STUD_OHM = 1e6
LEAST_ARM_OHM = 1000.0
THREE_YEARS = 3

Row = dict[str, str]


def rows(sheet: str, **wanted: str) -> list[Row]:
    """Return the rows of every file of ``sheet`` that have the wanted cells."""
    return [r for r in _all(sheet) if all(r.get(k, "") == v for k, v in wanted.items())]


def readings(**wanted: str) -> list[Row]:
    return sorted(rows("tests", **wanted), key=lambda r: r["tested_on"])


@cache
def _all(sheet: str) -> tuple[Row, ...]:
    found = []
    for path in sorted(ROOT.glob(f"*/{sheet}*.csv")):
        if path.stem == sheet or path.stem.startswith(f"{sheet}_"):
            with path.open(encoding="utf-8", newline="") as file:
                where = {"folder": path.parent.name, "file": path.name}
                found += [{**row, **where} for row in csv.DictReader(file)]
    return tuple(found)


def deliveries() -> list[str]:
    return sorted(p.parent.name for p in ROOT.glob("*/delivery.toml"))


def delivered(folder: str, name: str) -> list[Row]:
    path = next(ROOT.glob(f"*_{folder}")) / name
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def features(name: str) -> Iterator[tuple[str, dict[str, str], list[list[float]]]]:
    """Yield folder, properties and coordinates of every feature of a file."""
    for path in sorted(ROOT.glob(f"*/{name}")):
        for f in json.loads(path.read_text(encoding="utf-8"))["features"]:
            yield path.parent.name, f["properties"], f["geometry"]["coordinates"]


def ohm(text: str) -> float:
    value, unit = text.removeprefix("> ").split()
    return float(value) * OHM[unit]


def millivolt(text: str) -> float:
    value, unit = text.split()
    assert unit == "mV"
    return float(value)


def latest(sheet: str, **wanted: str) -> Row:
    """Return the last row sent of a record, corrections included."""
    return rows(sheet, **wanted)[-1]


def sent_place(tag: str) -> tuple[float, float]:
    """Return latitude and longitude as first sent for a joint."""
    row = rows("joints", tag=tag)[0]
    return float(row["latitude"]), float(row["longitude"])


def apart(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    """Return metres east and north from ``a`` to ``b`` (flat island, 1 part in 300)."""
    north = (b[0] - a[0]) * METRES_PER_DEGREE
    east = (b[1] - a[1]) * METRES_PER_DEGREE * math.cos(math.radians(a[0]))
    return east, north


def off_line(place: tuple[float, float], line: list[list[float]]) -> float:
    """Return how far a place is from a line of [lon, lat], in metres."""
    points = [apart(place, (lat, lon)) for lon, lat in line]
    return min(_to_piece(a, b) for a, b in pairwise(points))


def _to_piece(a: tuple[float, float], b: tuple[float, float]) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    along = -(a[0] * dx + a[1] * dy) / (dx * dx + dy * dy)
    t = min(1.0, max(0.0, along))
    return math.hypot(a[0] + t * dx, a[1] + t * dy)


def shows_fault(test: Row, layout: str) -> bool:
    method = test["method"]
    if test["outcome"] != "measured" or test["stage"] == "as left":
        return False
    if method == "radio-frequency":
        return test["indication"] == "short"
    if method == "stud-resistance":
        return layout == "two-side" and ohm(test["reading"]) < LEAST_STUD_OHM
    return (
        method == "ohmmeter"
        and test["hangs_free"] == "yes"
        and (ohm(test["reading"]) < LEAST_ARM_OHM)
    )


def faults_and_years(device: Row) -> tuple[int, float]:
    """Return faults seen (0 or 1) and years watched, in the first three years."""
    fitted = date.fromisoformat(device["fitted_on"])
    until = date.fromisoformat(device["removed_on"] or DEMO_DAY.isoformat())
    until = min(until, fitted.replace(year=fitted.year + THREE_YEARS))
    days = [
        date.fromisoformat(t["tested_on"])
        for t in readings(joint=device["joint"])
        if shows_fault(t, device["layout"])
    ]
    seen = [d for d in days if fitted <= d <= until]
    end = min(seen, default=until)
    return len(seen[:1]), (end - fitted).days / 365.25
