"""Single cells and whole files: what is read, and what is said of the rest."""

import datetime as dt

import pytest

from jointmap.errors import Refused
from jointmap.exchange import SHEETS, Ref, read_drafts, read_file
from jointmap.exchange.cells import read_cell
from jointmap.exchange.files import sheet_of
from jointmap.register import FORMS

HALF_PAST_NINE = dt.datetime(2026, 5, 15, 9, 30, tzinfo=dt.UTC)
COLUMNS = {
    "day": SHEETS["tests"].columns["tested_on"],
    "instant": SHEETS["tests"].columns["tested_at"],
    "truth": SHEETS["tests"].columns["hangs_free"],
    "whole": SHEETS["tests"].columns["stud"],
    "number": SHEETS["this_site"].columns["min_latitude_deg"],
    "word": SHEETS["tests"].columns["side"],
    "ref": SHEETS["tests"].columns["joint"],
    "ohm": SHEETS["tests"].columns["reading"],
}


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        ("day", "2024-02-29", (dt.date(2024, 2, 29), 0)),
        ("instant", "2026-05-15T09:30:00Z", (HALF_PAST_NINE, 0)),
        ("instant", "2026-05-15T11:30+02:00", (HALF_PAST_NINE, 0)),
        ("truth", "YES", (True, 0)),
        ("truth", "no", (False, 0)),
        ("whole", "7", (7, 0)),
        ("whole", "+7", (7, 0)),
        ("number", "-41.5", (-41.5, 0)),
        ("number", "4e1", (40.0, 0)),
        ("number", "31.", (31.0, 0)),
        ("word", "a", ("A", 0)),
        ("ref", "IJ-1", (Ref("joint", "IJ-1"), 0)),
        ("ohm", "> 999 Mohm", (999e6, 1)),
        ("ohm", "< 1 ohm", (1.0, -1)),
    ],
)  # fmt: skip
def test_cell(kind, text, value):
    assert read_cell(COLUMNS[kind], text) == value


@pytest.mark.parametrize(
    ("kind", "text", "problem"),
    [
        ("day", "15.05.2026", "cell.day"),
        ("day", "2026-02-30", "cell.day"),
        ("day", "2026-05-15T10:00", "cell.day"),
        ("instant", "2026-05-15T09:30:00", "cell.instant"),
        ("instant", "noon", "cell.instant"),
        ("truth", "1", "cell.truth"),
        ("whole", "7.0", "cell.whole"),
        ("whole", "1_000", "cell.whole"),
        ("whole", "\u0663", "cell.whole"),
        ("whole", "9" * 19, "cell.whole"),
        ("number", "1_0", "cell.number"),
        ("number", "nan", "cell.number"),
        ("number", "1e999", "cell.number"),
        ("number", "31,4", "cell.number"),
        ("number", ".", "cell.number"),
        ("word", "C", "cell.word"),
        ("ohm", "5", "unit.none"),
    ],
)
def test_refused_cell(kind, text, problem):
    with pytest.raises(Refused) as refused:
        read_cell(COLUMNS[kind], text)
    assert [p.id for p in refused.value.problems] == [problem]


@pytest.mark.parametrize(
    ("name", "sheet"),
    [
        ("joints.csv", "joints"),
        ("Joints-North.CSV", "joints"),
        ("joints_contractor_south.csv", "joints"),
        ("test_points.csv", "test_points"),
        ("tests_points.csv", "tests"),
        ("deep/folder/lines_2022.geojson", "lines"),
        ("this_site.toml", "this_site"),
    ],
)
def test_file_name_says_the_sheet(name, sheet):
    assert sheet_of(name).name == sheet


@pytest.mark.parametrize(
    "name",
    ["jointz.csv", "joints", "joints.csv.bak", ".csv", ""],
)
def test_file_name_that_says_nothing(name):
    with pytest.raises(Refused) as refused:
        sheet_of(name)
    assert refused.value.problems[0].id == "file.unknown_sheet"


@pytest.mark.parametrize(
    ("name", "accepted"),
    [
        ("joints.xlsx", ".csv"),
        ("joints.toml", ".csv"),
        ("test_points_north.ods", ".csv"),
        ("lines.csv", ".geojson"),
    ],
)
def test_a_known_sheet_in_another_kind_of_file(name, accepted):
    with pytest.raises(Refused) as refused:
        sheet_of(name)
    (problem,) = refused.value.problems
    assert (problem.id, problem.values["accepted"]) == ("file.suffix", accepted)


@pytest.mark.parametrize(("mark", "found"), [(";", "semicolons"), ("\t", "tabs")])
def test_other_marks_between_cells(mark, found):
    table = "tag,boundary\nIJ-1,B-1\n".replace(",", mark)
    with pytest.raises(Refused) as refused:
        read_file("joints.csv", table.encode())
    (problem,) = refused.value.problems
    assert (problem.id, problem.values["found"]) == ("file.not_commas", found)


def test_byte_order_mark_and_blank_rows_and_quotes():
    data = (
        '\ufefftag,boundary,area,state\r\n\r\n"J,3",B-1,"Ea\nst",in duty\r\n'.encode()
    )
    found = read_drafts(read_file("joints.csv", data)).drafts
    assert [(d.values["tag"], d.values["area"], d.line) for d in found] == [
        ("J,3", "Ea\nst", 4)
    ]


ABOVE = ["\n\n", " \r\n", ",,\n  ,\n", "\ufeff\n"]


@pytest.mark.parametrize("above", ABOVE)
def test_blank_lines_above_the_heading_are_none(above):
    """As between rows; what is told has the line that an editor shows."""
    skipped = above.count("\n")
    sent = read_file("people.csv", f"{above}code,role\n\nT1,auditor\n".encode())
    assert sent.header == ("code", "role")
    assert sent.rows == ((skipped + 3, {"code": "T1", "role": "auditor"}),)
    for text, wrong in (
        ("code,role,colour\n", "unknown_column"),
        ("code,code,role\n", "column_twice"),
        ("role\n", "missing_column"),
        ("code;role\n", "not_commas"),
    ):
        with pytest.raises(Refused, match=wrong) as refused:
            read_file("people.csv", f"{above}{text}".encode())
        assert {p.line for p in refused.value.problems} == {skipped + 1}


def test_a_table_without_any_heading_is_empty():
    with pytest.raises(Refused, match=r"file\.empty"):
        read_file("people.csv", b",,\n,,\n")


def test_order_of_sheets_lets_references_be_found():
    order = [s.kind for s in SHEETS.values()]
    for sheet in SHEETS.values():
        for column in sheet.columns.values():
            if column.refers and column.refers != sheet.kind:
                assert order.index(column.refers) < order.index(sheet.kind), sheet.name


def test_every_kind_a_person_sends_has_a_sheet():
    own = {"altered", "chainage", "held", "model", "photo_place"}
    assert {s.kind for s in SHEETS.values()} | own >= set(FORMS)


LINE = (
    '{"features": [{"properties": {"name": "L", "remark": null, "x": 1}, "geometry":'
    ' {"type": "LineString", "coordinates": [[-41.9, 31.4, 5], [-42, 31.5]]}}]}'
)


def test_geojson_line_gives_its_points_and_no_heights():
    with pytest.raises(Refused) as refused:
        read_file("lines.geojson", LINE.encode())
    assert [p.column for p in refused.value.problems] == ["x"]
    found = read_drafts(
        read_file("lines.geojson", LINE.replace(', "x": 1', "").encode())
    )
    assert found.drafts[0].values["coordinates"] == "[[-41.9,31.4],[-42.0,31.5]]"


def test_tie_points_of_one_measuring_are_gathered_wherever_they_stand():
    text = (
        "line,measuring,measured_on,post,latitude,longitude\n"
        "L,2016,2016-05-01,0 km,31.4,-41.9\n"
        "L,2022,2022-05-01,0 km,31.4,-41.9\n"
        "L,2016,2016-05-01,5000 m,31.4,-41.95\n"
    )
    found = read_drafts(read_file("chainages.csv", text.encode())).drafts
    assert [d.values["tie_points"] for d in found] == [
        "[[0.0,-41.9,31.4],[5.0,-41.95,31.4]]",
        "[[0.0,-41.9,31.4]]",
    ]


def test_bad_tie_point_names_its_own_line():
    text = "line,measuring,measured_on,post,latitude,longitude\n"
    text += "L,2016,2016-05-01,0 km,31.4,-41.9\nL,2016,2016-05-01,5,31.4,-41.95\n"
    found = read_drafts(read_file("chainages.csv", text.encode()))
    assert [(p.line, p.column, p.value) for p in found.refused] == [(3, "post", "5")]


def test_a_bound_where_one_number_is_wanted():
    text = "name,structure,kind,can_be_interrupted,usual_current\n"
    text += "R1,S1,rectifier,yes,> 5 A\n"
    found = read_drafts(read_file("sources.csv", text.encode()))
    held = [*found.refused, *(p for d in found.drafts for p in d.held)]
    assert [(p.id, p.column, p.value) for p in held] == [
        ("cell.bound", "usual_current", "> 5 A")
    ]


def test_a_bad_quantity_that_may_be_absent_holds_the_value_not_the_row():
    text = "joint,fitted_on,kind,gasket_thickness\nJ-1,2020-01-05,flange kit,3\n"
    draft = read_drafts(read_file("devices.csv", text.encode())).drafts[0]
    assert "gasket_thickness_metre" not in draft.values
    assert [(p.id, p.column, p.value, p.line) for p in draft.held] == [
        ("unit.none", "gasket_thickness", "3", 2)
    ]


def test_what_a_file_does_not_say():
    text = "joint,fitted_on,kind\nJ-1,2020-01-05,flange kit\n"
    draft = read_drafts(read_file("devices.csv", text.encode())).drafts[0]
    assert {"stud_count", "gasket_thickness_metre", "removed_on"} <= draft.unsaid
    assert draft.unsaid.isdisjoint({"joint_id", "fitted_on", "kind"})


@pytest.mark.parametrize(
    ("sent", "read"), [("typing slip", "typing slip"), ("\u200b", ""), ("\u00a0", "")]
)
def test_a_reason_that_is_not_seen_is_none(sent, read):
    text = f"code,role,organisation,correction_reason\nP1,r,x,{sent}\n"
    (draft,) = read_drafts(read_file("people.csv", text.encode())).drafts
    assert draft.reason == read


def test_a_meter_over_its_range_is_no_value_of_a_column_without_bounds():
    for text in ("inf m", "OL", "> 3 m"):
        with pytest.raises(Refused) as caught:
            read_cell(SHEETS["this_site"].columns["reach"], text, bounded=False)
        assert [p.id for p in caught.value.problems] == ["cell.bound"]
