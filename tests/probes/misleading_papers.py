"""Edits of what stands beside the figures: day, who, what with, where, what cycled."""

import datetime as dt
from functools import partial
from random import Random

from tests.probes.misleading_rows import (
    ANODES,
    POOLS,
    RECTIFIERS,
    Visit,
    across_other_boundary,
    far_side,
    late,
    near_structure,
    neighbours,
    side_structure,
)
from tests.probes.misleading_spring import (
    QUALIFIED,
    Change,
    Made,
    Maker,
    as_of_spring,
    each_row,
    is_working,
    read_anew,
)
from tests.sample_reader import Row, latest, ohm, readings

THIS_YEAR = "2026"


def dated_back(how: str, _: str, chance: Random) -> Made:
    """Send what was read in May under a day not after the last allowed one."""
    place, row = chance.choice(late(how))
    new = as_of_spring([row], chance)[0]
    until = dt.date.fromisoformat(place.last_allowed_on)
    by = [until - dt.timedelta(n) for n in range(5)]
    new["tested_on"] = chance.choice([d for d in by if is_working(d)]).isoformat()
    return Made({"tests": [new]}, "in time")


def as_it_was(of: str, chance: Random) -> Made:
    """Send what was read in a year before under a day of this one."""
    before = [v for v in POOLS[of]() if v[0]["tested_on"] < THIS_YEAR]
    visit = as_of_spring(chance.choice(before), chance, exact=True)
    is_stud = visit[0]["scope"] == "stud"
    return Made({"tests": visit}, "whole studs" if is_stud else "isolating")


def one_of(column: str, *words: str) -> Change:
    def change(row: Row, chance: Random) -> None:
        row[column] = chance.choice([w for w in words if w != row[column]])

    return change


def ended_certificate(of: str, chance: Random) -> Made:
    visit = as_of_spring(chance.choice(_shifts_of(of)), chance)
    for row in visit:
        row["instrument"] = "M-33"
    return Made({"tests": visit})


def _shifts_of(of: str) -> list[Visit]:
    return [v for v in POOLS[of]() if v[0]["method"] == "potential-shift"]


def neighbour(_: str, chance: Random) -> Made:
    tag, row = chance.choice(neighbours())
    new = as_of_spring([row], chance)[0]
    return Made({"tests": [new | {"joint": tag, "remark": ""}]})


def other_boundary(how: str, _: str, chance: Random) -> Made:
    bad, other = chance.choice(across_other_boundary(how))
    new = as_of_spring([other], chance)[0]
    new |= {n: bad[n] for n in ("joint", "boundary")}
    return Made({"tests": [new | {"test_point": bad.get("test_point", "")}]})


def far_place_no_time(_: str, chance: Random) -> Made:
    bad, other = chance.choice(across_other_boundary("far"))
    there = as_of_spring([other], chance)[0]
    moved = read_anew(there, chance)
    moved |= {n: bad[n] for n in ("joint", "boundary")}
    moved["test_point"] = bad.get("test_point", "")
    at = f"{there['tested_on']}T"
    there["tested_at"], moved["tested_at"] = f"{at}09:00:00Z", f"{at}09:12:00Z"
    return Made({"tests": [there, moved]})


def far_place_its_post(_: str, chance: Random) -> Made:
    pairs = across_other_boundary("far")
    bad, other = chance.choice([p for p in pairs if p[1].get("test_point")])
    new = as_of_spring([other], chance)[0]
    return Made({"tests": [new | {n: bad[n] for n in ("joint", "boundary")}]})


def bench_reading(stage: str) -> Maker:
    def make(of: str, chance: Random) -> Made:
        visit = as_of_spring(chance.choice(POOLS[of]()), chance)
        return Made({"tests": [r | {"stage": stage or r["stage"]} for r in visit]})

    return make


def stud_of_another_kit(of: str, chance: Random) -> Made:
    visit = as_of_spring(chance.choice(POOLS[of]()), chance)
    whole = readings(joint="IJ-027", stud="11", method="stud-resistance")[-2:]
    for row, other in zip(visit, whole, strict=True):
        row |= {"stud": "16", "reading": other["reading"]}
    return Made({"tests": visit}, "whole studs")


def layout_one_side(reason: str) -> Maker:
    def make(of: str, chance: Random) -> Made:
        visit = as_of_spring(chance.choice(_of_kit_there_now(of)), chance)
        device = {k: v for k, v in _kit(visit).items() if k not in ("file", "folder")}
        low = min(visit, key=lambda r: ohm(r["reading"]))["side"]
        device["layout"] = "one-side-a" if low == "B" else "one-side-b"
        device["correction_reason"] = reason
        return Made({"tests": visit, "devices": [device]}, "whole studs")

    return make


def _kit(visit: Visit) -> Row:
    return latest("devices", joint=visit[0]["joint"])


def _of_kit_there_now(of: str) -> list[Visit]:
    return [v for v in POOLS[of]() if _kit(v)["fitted_on"] < v[0]["tested_on"]]


def anodes_told_cycling(of: str, chance: Random) -> Made:
    """Tell of anodes that feed the near side and have no switch."""
    fed = [v for v in POOLS[of]() if near_structure(v[0]) in ANODES]
    visit = as_of_spring(chance.choice(fed), chance)
    for row in visit:
        row["sources_cycling"] = ANODES[near_structure(row)]
        row["sources_steady"] = ""
    return Made({"tests": visit})


def other_section_cycled(row: Row, _: Random) -> None:
    own = RECTIFIERS.get(near_structure(row))
    other = RECTIFIERS.get(side_structure(row, far_side(row)))
    free = [r for r in ("R4", "R3", "R2") if r not in (own, other)]
    row["sources_cycling"] = free[0]
    row["sources_steady"] = ";".join(r for r in ("R2", "R3", "R4") if r != free[0])


def brought_to_far_side(row: Row, _: Random) -> None:
    far = side_structure(row, far_side(row))
    row["sources_cycling"] = f"portable source on {far}"


def nothing_told(row: Row, _: Random) -> None:
    row["sources_cycling"] = row["sources_steady"] = ""


def far_side_told_cycling(row: Row, _: Random) -> None:
    far = RECTIFIERS[side_structure(row, far_side(row))]
    row["sources_cycling"] += f";{far}"
    row["sources_steady"] = _without(row["sources_steady"], far)


def far_side_left_out(row: Row, _: Random) -> None:
    far = RECTIFIERS[side_structure(row, far_side(row))]
    row["sources_steady"] = _without(row["sources_steady"], far)


def in_both_lists(row: Row, _: Random) -> None:
    row["sources_steady"] += f";{row['sources_cycling']}"


def _without(names: str, name: str) -> str:
    return ";".join(n for n in names.split(";") if n != name)


def _as_read(row: Row, chance: Random) -> None:
    """Nothing in the row differs: what is untrue of it stands nowhere."""


PAPERS: dict[str, Maker] = {
    "dated_back_days": partial(dated_back, "days"),
    "dated_back_months": partial(dated_back, "months"),
    "dated_back_year": partial(dated_back, "year"),
    "last_year_again": as_it_was,
    "another_valid_person": each_row(one_of("person", *QUALIFIED)),
    "other_task": each_row(one_of("person", "W1", "E1", "P1", "X1")),
    "ended_qualification": each_row(one_of("person", "H2", "N2", "C2")),
    "no_qualification": each_row(one_of("person", "A1", "I1", "K1", "H1")),
    "no_person": each_row(one_of("person", "")),
    "unknown_person": each_row(one_of("person", "T9", "TT1")),
    "another_valid_one": each_row(one_of("instrument", "M-05", "M-07", "M-21")),
    "ended_certificate": ended_certificate,
    "other_kind": each_row(one_of("instrument", "M-17", "TW-2", "M-15")),
    "no_instrument": each_row(one_of("instrument", "")),
    "unknown_instrument": each_row(one_of("instrument", "M-99", "M-50")),
    "neighbour_same_boundary": neighbour,
    "other_boundary": partial(other_boundary, "apart"),
    "other_boundary_alike": partial(other_boundary, "alike"),
    "far_place_no_time": far_place_no_time,
    "far_place_its_post": far_place_its_post,
    "old_device_again": as_it_was,
    "bench_reading_given_now": bench_reading(""),
    "bench_reading_as_routine": bench_reading("routine"),
    "stud_of_another_kit": stud_of_another_kit,
    "layout_one_side": layout_one_side("washers are on one side only"),
    "layout_one_side_no_reason": layout_one_side(""),
    "both_cycled_no_log": each_row(_as_read),
    "anodes_told_cycling": anodes_told_cycling,
    "other_section_cycled": each_row(other_section_cycled),
    "brought_to_far_side": each_row(brought_to_far_side),
    "nothing_told": each_row(nothing_told),
    "far_side_told_cycling": each_row(far_side_told_cycling),
    "far_side_left_out": each_row(far_side_left_out),
    "in_both_lists": each_row(in_both_lists),
}
