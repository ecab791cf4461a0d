"""What a line of the due list or a stop of a sheet says it covers is credited.

The reading that a line asks for is loaded, a good one: each date it names moves.
"""

import csv
import datetime as dt
import io
import shutil
from collections import defaultdict
from typing import NamedTuple

import numpy as np
import pytest

from jointmap.assessment.subjects import boundary_of
from jointmap.changes.load import load
from jointmap.pages.asked import assessed
from jointmap.pages.due.lines import due_lines
from jointmap.pages.due.page import due_table
from jointmap.pages.method_choice import method_code_for
from jointmap.pages.month.planned import plan_month
from jointmap.pages.month.sheet import sheet_view
from jointmap.pages.showing import Showing
from jointmap.register.codes import Subject
from jointmap.snapshot.leads import PROVED, read_leads
from jointmap.workflows.opening import open_site

ON = dt.date(2026, 5, 16)
NOW = dt.datetime(2026, 5, 16, 19, tzinfo=dt.UTC)
# The turn of its section comes in 2027: no reading of this year is one for it.
NOT_YET = {"IJ-118"}
MONTHS = ("2026-05", "2026-06")
READINGS = {
    "ohmmeter": {"reading": "900 kohm", "hangs_free": "yes"},
    "radio-frequency": {"indication": "no short"},
    "surge-device-check": {"indication": "no short"},
    "bond-check": {"indication": "no short"},
    "source-output": {"test_current": "4 A"},
    "potential-difference": {
        "a_on": "-900 mV",
        "b_on": "-500 mV",
        "electrode": "Cu/CuSO4",
    },
    "potential-shift": {"electrode": "Cu/CuSO4", "cycles": "12"},
}
# A person and instruments of the sample whose papers hold on the day.
BY = {"person": "T1", "instrument": "M-09"}
METERS = {
    "radio-frequency": "M-11",
    "source-output": "M-17",
    "potential-difference": "M-05",
    "potential-shift": "M-05",
}
# The side whose current was interrupted moves, the other stays.
MOVES = {"on": "-1200 mV", "off": "-900 mV"}
STAYS = {"on": "-550 mV", "off": "-550 mV"}
SCOPES = {
    Subject.JOINT: "joint",
    Subject.BOUNDARY: "boundary",
    Subject.PATH: "parallel path",
    Subject.SOURCE: "source",
}
COLUMNS = (
    "scope", "joint", "boundary", "path", "source", "tested_on", "method", "stage",
    "outcome", "reading", "indication", "hangs_free", "a_on", "a_off", "b_on", "b_off",
    "electrode", "interrupted_side", "sources_cycling", "sources_steady", "cycles",
    "test_current", "test_point", "person", "instrument",
)  # fmt: skip


class Line(NamedTuple):
    """What is read where, and whose dates move; one boundary's lines do not meet."""

    reading: dict[str, str]
    names: tuple[str, ...]
    boundary: int


def reading(showing, subject, id_, name):
    """A good reading by the method that the line asks for."""
    kind = list(Subject)[subject]
    method = method_code_for(showing, subject, id_)
    column = {Subject.PATH: "path"}.get(kind, str(kind))
    told = {
        "scope": SCOPES[kind],
        column: name,
        "tested_on": str(ON),
        "method": method,
        "stage": "routine",
        "outcome": "measured",
        **READINGS[method],
        **BY,
    }
    told["instrument"] = METERS.get(method, told["instrument"])
    boundary_id = of_boundary(showing, subject, id_)
    if method == "potential-shift":
        told |= shift(showing, boundary_id)
    return told | point_of(showing, id_ if kind is Subject.JOINT else 0)


def point_of(showing, joint_id):
    """The test point through which the joint was read last, if its leads are proved."""
    state = showing.assessed.state
    tests = state.tests.values()
    own = [t for t in tests if t.joint_id == joint_id and t.test_point_id]
    last = max(own, key=lambda t: t.tested_on, default=None)
    if last is None:
        return {}
    point = np.array([last.test_point_id], np.int64)
    on = np.array([ON], dtype="datetime64[D]")
    is_proved = read_leads(state).proven(point, on)[0] == PROVED
    name = state.test_points[last.test_point_id].name
    return {"test_point": name} if is_proved else {}


def of_boundary(showing, subject, id_):
    ground = showing.assessed.ground
    pair = np.array([subject], np.int16), np.array([id_], np.int64)
    return int(boundary_of(ground, *pair)[0])


def shift(showing, boundary_id):
    """The current of one side interrupted: that side moves, the other stays."""
    boundary = showing.boundaries[boundary_id]
    sources = switched(showing)
    ends = {"A": boundary.structure_a_id, "B": boundary.structure_b_id}
    a, b = (sources[ends[side]] for side in "AB")
    apart = {"A": a - b, "B": b - a}
    near = max("AB", key=lambda side: (len(apart[side]), side == "A"))
    # Anodes cannot be switched: a portable source is.
    portable = f"portable source on {showing.structure(ends[near])}"
    cycling = "; ".join(sorted(apart[near])) or portable
    told = {"interrupted_side": near, "sources_cycling": cycling}
    steady = set().union(*sources.values()) - apart[near]
    for side in "AB":
        volts = MOVES if side == near else STAYS
        told |= {f"{side.lower()}_{state}": volt for state, volt in volts.items()}
    return told | {"sources_steady": "; ".join(sorted(steady))}


def switched(showing):
    """The names of the sources that can be interrupted, by the structure they feed."""
    found = defaultdict(set)
    for id_, source in showing.assessed.state.sources.items():
        for structure in showing.fed[id_] if source.can_be_interrupted else ():
            found[structure].add(source.name)
    return found


def lines_of(showing):
    """Every line of the due list that names a date."""
    items = showing.assessed.items
    names = showing.names.of(items.subject, items.subject_id)
    lines, members = due_lines(showing.assessed)
    for n in np.flatnonzero(~np.isnat(lines.last_allowed_on)).tolist():
        start, count = int(lines.member_from[n]), int(lines.member_count[n])
        own = tuple(names[members[start : start + count]].tolist())
        pair = int(lines.subject[n]), int(lines.subject_id[n])
        told = reading(showing, *pair, own[0])
        yield Line(told, own, of_boundary(showing, *pair))


def stops_of(showing):
    """What each stop of the sheets says it reads and covers."""
    for month in MONTHS:
        first = dt.date.fromisoformat(f"{month}-01")
        planned = plan_month(showing, first, month)
        for route in range(len(planned.plan.routes)):
            for stop in sheet_view(planned, route).stops:
                yield stop.tag.text.partition(" at ")[0], frozenset(stop.covers)


def dates(site):
    with assessed(site, ON, None) as (found, frame):
        table = due_table(Showing(found, frame))
    return dict(zip(table["subject"], table["last_allowed_on"], strict=True))


@pytest.fixture(scope="module")
def site(demo):
    found = open_site(demo / "site")
    yield found
    found.register.close()


@pytest.fixture(scope="module")
def lines(site):
    with assessed(site, ON, None) as (found, frame):
        return list(lines_of(Showing(found, frame)))


def rounds(lines):
    """The lines so that those of one boundary are read in one round each."""
    left, made = list(lines), []
    while left:
        now = {line.boundary or f"source {line.names}": line for line in left}
        made.append(list(now.values()))
        left = [line for line in left if line not in made[-1]]
    return made


def loaded(demo, folder, rows):
    copy = open_site(shutil.copytree(demo / "site", folder / "site"))
    text = io.StringIO()
    sheet = csv.DictWriter(text, COLUMNS, lineterminator="\n")
    sheet.writeheader()
    sheet.writerows(rows)
    (folder / "tests.csv").write_text(text.getvalue(), encoding="utf-8")
    report = load(copy, [folder / "tests.csv"], now=NOW, by="P1", reason="read")
    assert report.is_clean, report
    return copy


def test_each_date_that_a_line_names_moves(site, demo, lines, tmp_path):
    before = dates(site)
    stood = []
    for number, own in enumerate(rounds(lines)):
        folder = tmp_path / str(number)
        folder.mkdir()
        copy = loaded(demo, folder, [line.reading for line in own])
        after = dates(copy)
        copy.register.close()
        stood += [
            (line.names[0], name)
            for line in own
            for name in line.names
            if before[name] and before[name] == after[name] and name not in NOT_YET
        ]
    assert any(len(line.names) > 1 for line in lines)
    assert stood == []


def test_a_stop_covers_what_its_line_does(site, lines):
    known = {line.names[0]: frozenset(line.names[1:]) for line in lines}
    with assessed(site, ON, None) as (found, frame):
        stops = list(stops_of(Showing(found, frame)))
    assert stops
    assert [(tag, covers) for tag, covers in stops if known[tag] != covers] == []
