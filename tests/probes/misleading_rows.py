"""Rows of the sample from which misleading ones are made: bad places, late places.

What is bad is told from the figures by plain rules of the trade, not by the program.
"""

import math
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from itertools import groupby
from typing import NamedTuple

from tests.sample_reader import (
    LEAST_ARM_OHM,
    LEAST_STUD_OHM,
    Row,
    apart,
    latest,
    millivolt,
    ohm,
    readings,
    rows,
    sent_place,
)

Visit = list[Row]
POTENTIALS = ("a_on", "a_off", "b_on", "b_off")
# Of the interrupted side's step, as the rules in force at the sample have it.
STILL, FOLLOWS, LEAST_STEP = 0.10, 0.50, 50
FAR_METRE = 10_000.0
ALIKE_MILLIVOLT = 50.0
# Sources that can be switched, as sources.csv has them: by the structure they feed.
RECTIFIERS = {"S2": "R2", "S3": "R3", "S4": "R4"}
ANODES = {"S1": "GA-1", "LT": "GA-2", "HG": "GA-5", "TN": "GA-8"}


class Late(NamedTuple):
    """A place that is past its last allowed day on 2026-05-15, and what tests it."""

    name: str
    column: str
    method: str
    last_allowed_on: str


# As ``jointmap due`` has them on the demo's day; those that a test by then would keep
# in time until that day.
LATE = {
    "days": [
        Late("IJ-030", "joint", "potential-shift", "2026-05-10"),
        Late("IJ-117", "joint", "potential-shift", "2026-05-12"),
    ],
    "months": [
        Late("IJ-050", "joint", "radio-frequency", "2026-03-16"),
        Late("IJ-077", "joint", "radio-frequency", "2026-03-17"),
        Late("SD-38", "path", "surge-device-check", "2026-03-04"),
        Late("SD-40", "path", "surge-device-check", "2026-04-10"),
        Late("SD-49", "path", "surge-device-check", "2026-02-27"),
    ],
    "year": [
        Late("IJ-034", "joint", "potential-shift", "2025-09-13"),
        Late("IJ-035", "joint", "potential-shift", "2025-09-13"),
    ],
}


def figures(row: Row) -> list[float]:
    """Return the four potentials in millivolt, or nothing where one is missing."""
    texts = [row.get(n, "") for n in POTENTIALS]
    return [millivolt(t) for t in texts] if all(texts) else []


def near_and_far(row: Row) -> tuple[float, float]:
    """Return the steps of the interrupted side and of the other, in millivolt."""
    a_on, a_off, b_on, b_off = figures(row)
    steps = a_on - a_off, b_on - b_off
    return steps if row["interrupted_side"] == "A" else steps[::-1]


def far_side(row: Row) -> str:
    return "b" if row["interrupted_side"] == "A" else "a"


def near_structure(row: Row) -> str:
    return side_structure(row, row["interrupted_side"].lower())


def side_structure(row: Row, side: str) -> str:
    return latest("boundaries", name=row["boundary"])[f"structure_{side}"]


def _shifts() -> Iterator[tuple[Row, float]]:
    for row in readings(method="potential-shift", outcome="measured"):
        if figures(row) and near_and_far(row)[0] <= -LEAST_STEP:
            near, far = near_and_far(row)
            yield row, far / near


def _by_visit(found: Iterable[Row], *names: str) -> list[Visit]:
    def key(row: Row) -> tuple[str, ...]:
        return tuple(row.get(n, "") for n in (*names, "tested_on"))

    return [[*group] for _, group in groupby(sorted(found, key=key), key=key)]


@cache
def shorted_shifts() -> list[Visit]:
    """Return what was read of one shorted boundary on one day."""
    return _by_visit((r for r, share in _shifts() if share > FOLLOWS), "boundary")


@cache
def good_shifts() -> list[Row]:
    """Return good shifts that were read through no lead since known to be bad."""
    doubted = ("TP-KP9", "TP-KP54")
    still = [r for r, share in _shifts() if abs(share) <= STILL]
    return [r for r in still if r.get("test_point", "") not in doubted]


def shorted_differences() -> list[Visit]:
    """Return no difference where neither side is protected: metal contact."""
    found = readings(method="potential-difference", boundary="PW-B01")
    return [[r] for r in found if r["a_on"] == r["b_on"]]


def hanging(low: bool) -> list[Row]:
    found = readings(method="ohmmeter", outcome="measured", hangs_free="yes")
    return [r for r in found if (ohm(r["reading"]) < LEAST_ARM_OHM) == low]


def low_hanging() -> list[Visit]:
    return [[r] for r in hanging(low=True)]


def _studs(good: bool, stage: str = "routine") -> list[Visit]:
    found = readings(method="stud-resistance", outcome="measured", stage=stage)
    kits = {d["joint"] for d in rows("devices", layout="two-side")}
    own = [r for r in found if r["joint"] in kits]
    pairs = [v for v in _by_visit(own, "joint", "stud") if len(v) == len("AB")]
    return [v for v in pairs if all(_is_high(r) == good for r in v)]


def _is_high(row: Row) -> bool:
    return ohm(row["reading"]) >= LEAST_STUD_OHM


@cache
def low_studs() -> list[Visit]:
    """Return both sides of a stud that has lost one, or both, on one day."""
    return _studs(good=False)


@cache
def one_side_short() -> list[Visit]:
    """Return resistances and radio words of a stud with one side short, of one day."""
    found = []
    for low in low_studs():
        same = {n: low[0][n] for n in ("joint", "stud", "tested_on")}
        words = readings(method="radio-frequency", scope="stud", **same)
        if sorted(r["indication"] for r in words) == ["no short", "short"]:
            found.append([*low, *words])
    return found


def bad_boundaries() -> list[Row]:
    """Return a row of each place whose boundary was read shorted at some time."""
    shorted = [v[0] for v in [*shorted_shifts(), *shorted_differences()]]
    meters = [r for r in readings(method="potential-difference") if _is_meter(r)]
    return [*{(r["joint"], r["boundary"]): r for r in [*shorted, *meters]}.values()]


def _is_meter(row: Row) -> bool:
    return row["boundary"].startswith("MT-") and row["a_on"] == row["b_on"]


@cache
def good_shift_of_bad_place() -> list[Visit]:
    last = {(r["joint"], r["boundary"]): r for r in good_shifts()}
    places = [(r["joint"], r["boundary"]) for r in bad_boundaries()]
    return [[last[p]] for p in places if p in last]


def with_rectifier_on_far_side() -> list[Visit]:
    good = good_shift_of_bad_place()
    return [v for v in good if side_structure(v[0], far_side(v[0])) in RECTIFIERS]


def good_reading_of_bad_place() -> list[Visit]:
    arms = {r["joint"]: r for r in hanging(low=False)}
    low = [v[0]["joint"] for v in low_hanging()]
    return [*good_shift_of_bad_place(), *([arms[tag]] for tag in low)]


@cache
def neighbours() -> list[tuple[str, Row]]:
    """Return bad joints, each with a good device test of a joint of its boundary."""
    boundary = {r["tag"]: r["boundary"] for r in rows("joints")}
    words = readings(method="radio-frequency", scope="joint", outcome="measured")
    bad = [*hanging(low=True), *(r for r in words if r["indication"] == "short")]
    good = [*hanging(low=False), *(r for r in words if r["indication"] == "no short")]
    last = {(r["joint"], r["method"]): r for r in good}
    return [
        (row["joint"], other)
        for row in bad
        for (tag, method), other in last.items()
        if method == row["method"] and tag != row["joint"]
        if boundary[tag] == boundary[row["joint"]]
    ]


@cache
def across_other_boundary(how: str) -> list[tuple[Row, Row]]:
    """Return shorted visits, each with the last good shift of another boundary.

    The same side of both was interrupted. ``how``: its far side stands ``apart`` from
    where the place's own stood, or ``alike``; else the other place is ``far``.
    """
    last = {r["boundary"]: r for r in good_shifts() if r.get("joint")}
    return [
        (visit[0], other)
        for visit in shorted_shifts()
        for name, other in last.items()
        if name != visit[0]["boundary"]
        if other["interrupted_side"] == visit[0]["interrupted_side"]
        if _fits(visit[0], other, last[visit[0]["boundary"]], how)
    ]


def _fits(bad: Row, other: Row, own: Row, how: str) -> bool:
    if how == "far":
        places = [_place(r["joint"]) for r in (bad, other)]
        return all(places) and math.hypot(*apart(*places)) > FAR_METRE
    name = f"{far_side(bad)}_off"
    is_alike = abs(millivolt(other[name]) - millivolt(own[name])) <= ALIKE_MILLIVOLT
    is_near = near_structure(bad) == near_structure(other)
    return is_near and is_alike == (how == "alike")


def _place(tag: str) -> tuple[float, ...]:
    """Return latitude and longitude, or nothing where another system was sent."""
    row = rows("joints", tag=tag)[0]
    return sent_place(tag) if row.get("latitude") else ()


@cache
def old_device_visits() -> list[Visit]:
    """Return the last good figures of devices that were replaced since."""
    found = []
    for device in rows("devices"):
        if device.get("removed_on"):
            tag, until = device["joint"], device["removed_on"]
            own = [r for r in hanging(low=False) if r["joint"] == tag]
            studs = [v for v in _studs(good=True) if v[0]["joint"] == tag]
            old = [v for v in [*([r] for r in own), *studs] if _by(v, until)]
            found += old[-1:]
    return found


def _by(visit: Visit, day: str) -> bool:
    return visit[0]["tested_on"] < day


def bench_rows() -> list[Visit]:
    """Return the resistance of the bare kit, of kits that lost a side of a stud."""
    tags = {v[0]["joint"] for v in low_studs()}
    found = readings(method="insulation-resistance", outcome="measured")
    return [[r] for r in found if r["joint"] in tags]


@cache
def late(how: str) -> list[tuple[Late, Row]]:
    """Return late places with their last good row by the method that decides there."""
    return [(place, _last_good(place)) for place in LATE[how]]


def _last_good(place: Late) -> Row:
    own = {place.column: place.name, "method": place.method, "outcome": "measured"}
    if place.method == "potential-shift":
        return [r for r in good_shifts() if r["joint"] == place.name][-1]
    scope = "joint" if place.column == "joint" else "parallel path"
    return readings(**own, scope=scope, indication="no short")[-1]


POOLS: dict[str, Callable[[], list[Visit]]] = {
    "shorted shift": shorted_shifts,
    "shorted difference": shorted_differences,
    "low hanging": low_hanging,
    "low stud": low_studs,
    "short at one side of a stud": one_side_short,
    "good shift of a bad place": good_shift_of_bad_place,
    "good reading of a bad place": good_reading_of_bad_place,
    "good shift of a bad place with a rectifier on the far side": (
        with_rectifier_on_far_side
    ),
    "bad device that was replaced": old_device_visits,
    "bad device": bench_rows,
}
