"""The sample as papers that fit each other: counts, days, people, instruments."""

from collections import Counter
from datetime import date

import pytest

from tests.sample_reader import deliveries, features, latest, readings, rows

DEMO_DAY = "2026-05-15"
# Days that look ahead: an end of validity, a limit, a day off.
AHEAD = {"valid_until_on", "until_on", "joined_until_on", "off_on"}
SHEETS = [
    "people", "qualifications", "instruments", "certificates", "decisions", "adopted",
    "rules",
    "chainages", "structures", "sources", "boundaries", "joints", "aliases",
    "test_points", "leads", "devices", "installations", "paths", "occurrences", "crews",
    "days_off", "positions", "tests", "attachments",
]  # fmt: skip
KEYS = {
    "people": "code", "instruments": "name", "structures": "name", "sources": "name",
    "boundaries": "name", "joints": "tag", "test_points": "name", "paths": "name",
    "crews": "name", "decisions": "number",
}  # fmt: skip
REFERENCES = [
    ("joints", "boundary", "boundaries"), ("boundaries", "structure_a", "structures"),
    ("boundaries", "structure_b", "structures"), ("sources", "structure", "structures"),
    ("paths", "boundary", "boundaries"), ("paths", "joint", "joints"),
    ("devices", "joint", "joints"), ("aliases", "joint", "joints"),
    ("leads", "test_point", "test_points"), ("leads", "structure", "structures"),
    ("tests", "joint", "joints"), ("tests", "boundary", "boundaries"),
    ("tests", "path", "paths"), ("tests", "source", "sources"),
    ("tests", "instrument", "instruments"), ("tests", "person", "people"),
    ("tests", "witness", "people"), ("tests", "test_point", "test_points"),
    ("installations", "fitter", "people"), ("installations", "witness", "people"),
    ("installations", "torque_tool", "instruments"),
    ("certificates", "instrument", "instruments"),
    ("adopted", "decision", "decisions"), ("qualifications", "person", "people"),
]  # fmt: skip


def test_deliveries_run_up_to_the_demo_day() -> None:
    days = [d[:10] for d in deliveries()]
    assert 12 <= len(days) <= 30
    assert days == sorted(set(days))
    assert days[0] < "2017"
    assert "2026-05-01" < days[-1] <= DEMO_DAY


@pytest.mark.parametrize("sheet", SHEETS)
def test_nothing_is_dated_after_its_folder(sheet: str) -> None:
    sent = rows(sheet)
    assert sent
    for row in sent:
        days = {k: v for k, v in row.items() if k.endswith("_on") and k not in AHEAD}
        assert all(v <= row["folder"][:10] for v in days.values()), row


def test_118_places_by_group() -> None:
    first = {r["tag"]: r for r in reversed(rows("joints"))}
    assert len(first) == 118
    groups = Counter(r["file"] for r in first.values())
    assert groups == {
        "joints_jetty.csv": 10, "joints_terminal.csv": 16, "joints_line.csv": 19,
        "joints_plant.csv": 25, "joints_produced_water.csv": 9,
        "joints_pennorley.csv": 27, "joints_contractor_south.csv": 12,
    }  # fmt: skip
    assert {r["consequence"] for r in first.values()} == set("ABCD")
    assert all(r["severity"] for r in first.values())


@pytest.mark.parametrize(("sheet", "column", "other"), REFERENCES)
def test_every_reference_names_a_record_already_sent(
    sheet: str, column: str, other: str
) -> None:
    since: dict[str, str] = {}
    for row in rows(other):
        since.setdefault(row[KEYS[other]], row["folder"])
    named = [(r[column], r["folder"]) for r in rows(sheet) if r.get(column)]
    assert named
    assert [n for n in named if since.get(n[0], "9999") > n[1]] == []


def test_only_corrections_send_a_record_again() -> None:
    for sheet, key in KEYS.items():
        plain = [r[key] for r in rows(sheet) if not r.get("correction_reason")]
        assert [k for k, n in Counter(plain).items() if n > 1] == [], sheet


def test_instruments_are_in_date_but_for_the_meter_of_the_story() -> None:
    papers: dict[str, list[tuple[str, str]]] = {}
    for p in rows("certificates"):
        span = (p["valid_from_on"], p["valid_until_on"])
        papers.setdefault(p["instrument"], []).append(span)
    out = [
        t
        for t in readings()
        if t.get("instrument") in papers
        and not any(a <= t["tested_on"] <= b for a, b in papers[t["instrument"]])
    ]
    assert Counter(t["instrument"] for t in out) == {"M-07": 14}


def test_people_were_qualified_on_the_day() -> None:
    spans: dict[str, list[tuple[str, str]]] = {}
    for q in rows("qualifications"):
        span = (q["valid_from_on"], q["valid_until_on"])
        spans.setdefault(q["person"], []).append(span)
    work = [(t["person"], t["tested_on"]) for t in readings()]
    work += [(r["fitter"], r["installed_on"]) for r in rows("installations")]
    assert [w for w in work if not any(a <= w[1] <= b for a, b in spans[w[0]])] == []


def test_devices_at_a_place_follow_each_other() -> None:
    last = {(d["joint"], d["fitted_on"]): d for d in rows("devices")}
    by_joint: dict[str, list[dict[str, str]]] = {}
    for key in sorted(last):
        by_joint.setdefault(key[0], []).append(last[key])
    assert len(by_joint) == 118
    for devices in by_joint.values():
        ends = [d["removed_on"] for d in devices]
        assert ends[-1] == ""
        assert ends[:-1] == [d["fitted_on"] for d in devices[1:]]


def test_tests_of_joints_fall_in_the_life_of_a_device() -> None:
    first: dict[str, str] = {}
    for d in rows("devices"):
        first[d["joint"]] = min(first.get(d["joint"], "9999"), d["fitted_on"])
    of_device = [
        t for t in readings() if t["scope"] in ("joint", "stud", "gasket core")
    ]
    assert all(t["tested_on"] >= first[t["joint"]] for t in of_device)


def test_roads_meet_and_reach_every_depot() -> None:
    pieces = [coordinates for _, _, coordinates in features("roads.geojson")]
    assert 40 <= len(pieces) <= 120
    group = {tuple(p): tuple(p) for piece in pieces for p in piece}

    def root(point: tuple[float, ...]) -> tuple[float, ...]:
        while group[point] != point:
            point = group[point]
        return point

    for piece in pieces:
        for point in piece[1:]:
            group[root(tuple(point))] = root(tuple(piece[0]))
    assert len({root(p) for p in group}) == 1
    for crew in rows("positions", subject="crew"):
        depot = (float(crew["longitude"]), float(crew["latitude"]))
        assert depot in group


def test_surge_devices_overdue_and_without_any_check() -> None:
    names = {p["name"] for p in rows("paths", kind="surge protective device")}
    standing = {n for n in names if not latest("paths", name=n)["removed_on"]}
    checks = {n: [t["tested_on"] for t in readings(path=n)] for n in standing}
    assert len([n for n in standing if not checks[n]]) == 3
    year_ago = date.fromisoformat(DEMO_DAY).replace(year=2025).isoformat()
    late = [n for n in standing if checks[n] and checks[n][-1] < year_ago]
    assert sorted(late) == ["SD-34", "SD-36", "SD-38", "SD-40", "SD-49", "SD-88"]


def test_rows_of_the_year_are_several_hundred_in_all() -> None:
    per_year = Counter(t["tested_on"][:4] for t in readings())
    assert set(per_year) == {str(y) for y in range(2016, 2027)}
    assert 1500 < sum(per_year.values()) < 3500
