"""The fitting worksheet: what it says, that it fits its paper, that bytes repeat."""

import datetime as dt
import re
import shutil
import subprocess
from dataclasses import replace
from types import SimpleNamespace

import pytest

from jointmap.assembly.order import cross_order
from jointmap.errors import WrongUse
from jointmap.pages.worksheet.numbers import groups, turns
from jointmap.pages.worksheet.page import worksheet_view
from jointmap.pages.worksheet.places import places_in
from jointmap.register import Alias, Joint
from jointmap.register.codes import (
    DeviceKind,
    Indication,
    JointState,
    Layout,
    PathKind,
    Purpose,
)
from jointmap.reports.worksheet import worksheet_clock, worksheet_page, worksheet_pdf
from jointmap.snapshot.names.joint_names import joint_called
from jointmap.snapshot.snapshot import Snapshot
from jointmap.tables.tightening import SCHEMES
from jointmap.wording import say
from jointmap.wording.cautions import CAUTIONS
from jointmap.wording.worksheet import BLANKS, STEPS
from jointmap.workflows import worksheet as workflow
from tests.fitting_samples import FRAME, KIT, PLACE, STUDS, kit_of, place, whole


def view(of=PLACE, scheme="thirds"):
    return worksheet_view(of, FRAME, scheme)


def numbers(of):
    return {n.what: (n.metric, n.inch, n.note) for n in view(of).numbers}


def test_the_passes_of_640_in_both_systems():
    rows = [(p.number, p.newton_metre, p.foot_pound) for p in view().passes]
    assert rows == [
        (1, "280", "210"),
        (2, "570", "420"),
        (3, "868", "640"),
        (4, "868", "640"),
    ]


def test_the_numbers_of_the_worked_example():
    found = numbers(PLACE)
    assert found[say("worksheet.stud_to_order")] == (
        "266.7 mm",
        "10.5 in",
        "the flange's ordinary stud, 10 in, is too short",
    )
    window = found[say("worksheet.sleeve_table")]
    assert window[1] == "6.865 to 7.115 in"
    assert found[say("worksheet.hole_room")][1] == "0.062 in"
    assert found[say("worksheet.flatness")][:2] == ("0.15 mm", "0.006 in")
    assert found[say("worksheet.gap_at_rest")][:2] == ("6.3 mm", "0.25 in")
    assert found[say("worksheet.draw_up")][:2] == ("87 N·m", "64 ft·lbf")
    assert "640 ft·lbf. About 28.8 % of yield" in view().kit_note


def test_a_target_that_would_break_studs_or_crush_laminate_says_stop():
    assert not [c for c in view().cautions if c.startswith("STOP")]
    wrong = view(place(stud_size="5/8", washer_material="PEEK"))
    stud, washer = wrong.cautions[:2]
    assert stud.startswith("STOP, do not tighten by this figure: stud stress 362.6 %")
    assert washer.startswith("STOP, do not tighten by this figure: pressure on the iso")
    ring = {"gasket_outside_metre": 0.381, "gasket_inside_metre": 0.32385}
    soft = view(place(**ring, gasket_limit_pascal=50e6, nut_factor=0.2))
    assert "pressure on the gasket" in soft.cautions[0]
    assert "by nut factor 0.2," in soft.kit_note


def test_a_one_side_kit_is_told_where_near_zero_is_by_design():
    one = view(place(layout=Layout.ONE_SIDE_B))
    assert one.stud_note.startswith("Only the studs' ends at side B are isolating")
    assert numbers(place(layout=Layout.ONE_SIDE_B))[say("worksheet.stud_to_order")][
        1
    ] == ("10.25 in")
    assert view().stud_note == ""
    assert "flush at side A, standing out at side B by less than" in one.steps[4]
    assert "standing out about 1.5 washer thicknesses in all," in view().steps[4]
    unknown = view(place(layout=Layout.UNKNOWN))
    assert "standing out at each isolating end" in unknown.steps[4]


def test_outside_the_tables_the_kits_sheet_is_named():
    found = numbers(place(facing="ring joint", stud_size="M36"))
    asked = [note for _, _, note in found.values()]
    assert asked.count(say("worksheet.not_in_tables")) == 4
    assert found[say("worksheet.sleeve")][1] == "0.125 to 0.375 in"


def test_without_a_target_or_layout_there_are_blanks():
    bare = place(torque_target_newton_metre=None, layout=Layout.UNKNOWN, stud_grade="")
    made = view(bare)
    assert {p.newton_metre for p in made.passes} == {""}
    assert made.kit_note == say("worksheet.no_torque")
    assert "Layout" not in {f.name for f in made.fitted}
    assert numbers(bare)[say("worksheet.sleeve")][1] == ""


def test_without_a_grade_no_share_of_yield_is_told():
    assert "yield" not in view(place(stud_grade="")).kit_note


def test_the_legacy_scheme_says_to_wait():
    last = view(scheme="PCC-1 legacy").passes[-1]
    assert last.order == "round, clockwise from stud 1, 4 h or more later"


def test_an_owners_own_scheme_is_printed_as_its_shares():
    made = view(scheme="25/50/75/100/100")
    assert [p.foot_pound for p in made.passes] == ["160", "320", "480", "640", "640"]
    assert made.passes[-1].order == say("worksheet.round")
    assert "owner's choice" in made.scheme_source


def test_an_unknown_scheme_is_refused():
    with pytest.raises(WrongUse) as caught:
        view(scheme="one go")
    (problem,) = caught.value.problems
    assert say(problem.id, problem.values).endswith(", ".join(SCHEMES))


def test_turns_are_the_cross_order_turned_round():
    assert turns(8) == (1, 5, 3, 7, 2, 6, 4, 8)
    assert turns(1) == turns(0) == ()


@pytest.mark.parametrize("count", [*STUDS, 6])
def test_the_groups_are_the_cross_order_by_fours(count):
    read = [int(n) for group in groups(turns(count)) for n in group.split(" - ")]
    assert read == cross_order(count).tolist()


def test_the_boxes_are_marked_in_the_words_of_the_register():
    told = say("worksheet.marks")
    assert all(str(word) in told for word in Indication)
    assert " OK" not in worksheet_page(view())


@pytest.mark.parametrize("count", STUDS)
def test_the_clock_has_every_stud_and_its_turn(count):
    drawn = worksheet_clock(turns(count))
    texts = re.findall(r">(\d+)</text>", drawn)
    assert sorted(texts, key=int) == sorted(
        [*map(str, range(1, count + 1))] * 2, key=int
    )
    assert drawn.count('fill="#000" stroke="#000"') == 1  # stud 1


@pytest.mark.parametrize("kind", DeviceKind)
def test_every_kind_has_its_steps_and_blanks(kind):
    made = view(whole(kind))
    assert len(made.steps) == len(STEPS[kind])
    assert made.blanks == BLANKS[kind]
    assert all("not given" not in step for step in made.steps)
    assert bool(made.numbers) == (kind is DeviceKind.FLANGE_KIT)


def test_a_welded_joint_is_told_of_return_heat_bending_and_water():
    told = " ".join(view(whole(DeviceKind.MONOLITHIC)).steps)
    for words in ("Welding return on the side", "90 °C", "bending", "low point", "dry"):
        assert words in told


def pages(pdf, folder):
    tool = shutil.which("pdfinfo")
    if tool is None:
        pytest.skip("no pdfinfo here: pages of the sheets were not counted")
    path = folder / "sheet.pdf"
    path.write_bytes(pdf)
    done = subprocess.run([tool, path], capture_output=True, text=True, check=True)
    assert "A4" in done.stdout
    return int(re.search(r"Pages:\s+(\d+)", done.stdout)[1])


EVERY_CAUTION = tuple(say(id_, {"ac_limit": 15.0}) for id_ in CAUTIONS)


@pytest.mark.parametrize("cautions", [PLACE.cautions, EVERY_CAUTION])
@pytest.mark.parametrize("count", STUDS)
@pytest.mark.parametrize("scheme", SCHEMES)
def test_a_kit_takes_two_pages(count, cautions, scheme, tmp_path):
    sheet = view(replace(kit_of(count), cautions=cautions), scheme)
    assert pages(worksheet_pdf(sheet), tmp_path) == 2


@pytest.mark.parametrize("kind", [*DeviceKind][1:])
def test_a_device_that_comes_whole_takes_one(kind, tmp_path):
    sheet = view(replace(whole(kind), cautions=EVERY_CAUTION))
    assert pages(worksheet_pdf(sheet), tmp_path) == 1


def test_the_same_sheet_is_the_same_bytes_with_our_fonts_in_it():
    pdf = worksheet_pdf(view())
    assert pdf == worksheet_pdf(view())
    assert set(re.findall(rb"/BaseFont ?/[A-Z]+\+(\S+?)[/\s]", pdf)) <= {
        b"OpenSans",
        b"OpenSans-Bold",
        b"OpenSans-Identity-H",
        b"OpenSans-Bold-Identity-H",
    }


def test_words_of_people_are_text_and_no_markup():
    odd = place(serial="#1 *bold* $x$ <b>", batch="]] #let")
    assert worksheet_pdf(view(odd))
    assert "&lt;b&gt;" in worksheet_page(view(odd))


@pytest.mark.parametrize(
    ("name", "of"),
    [
        ("kit", PLACE),
        ("monolithic", whole(DeviceKind.MONOLITHIC)),
    ],
)
def test_matches_its_golden_file(name, of, golden):
    golden(f"reports/worksheet-{name}.html", worksheet_page(view(of)))


JOINTS = {
    1: PLACE.joint,
    2: Joint(tag="IJ-902", boundary_id=1, area="North", state=JointState.PLANNED),
}


TAGS = {1: "IJ-901", 2: "IJ-902", 3: "ij-904", 4: "IJ-904"}


@pytest.mark.parametrize(
    ("asked", "id_"),
    [(" ij-901", 1), ("if-07", 2), ("IF-07", 2), ("ij-904", 3), ("IJ-904", 4)],
)
def test_a_joint_is_found_by_tag_and_older_name(asked, id_):
    assert joint_called(asked, TAGS, [("IF-07", 2)]) == id_


def test_the_nearest_tags_are_named():
    with pytest.raises(WrongUse) as caught:
        joint_called("IJ-903", TAGS, [("IF-07", 2)])
    assert "IJ-902" in caught.value.problems[0].values["nearest"]


def state_of(purpose=Purpose.PROTECTION, paths=()):
    """Enough of a register's state to make places."""
    held = {
        "joint": JOINTS,
        "boundary": {1: replace(PLACE.boundary, purpose=purpose)},
        "structure": {
            1: SimpleNamespace(name="S1"),
            2: SimpleNamespace(name="plant earth"),
        },
        "device": {
            1: replace(KIT, removed_on=KIT.fitted_on),
            2: replace(KIT, fitted_on=dt.date(2026, 6, 1), serial="newer"),
        },
        "alias": {1: Alias(joint_id=1, name="IF-12")},
        "path": dict(enumerate(paths)),
    }
    site = SimpleNamespace(ac_limit_volt=15.0)
    return Snapshot(SimpleNamespace(records=lambda k: held[k.KIND], site=site))


LATER = dt.date(2026, 6, 2)


def test_the_device_fitted_last_is_the_one_to_fit():
    places = places_in(state_of(), [1, 2], LATER)
    assert [*places] == [1]  # joint 2 has none
    assert places[1].device.serial == "newer"
    assert places[1].aliases == ("IF-12",)


def test_cautions_are_chosen_by_purpose_and_place():
    bond, ship = CAUTIONS["caution.before_opening"], CAUTIONS["caution.opening_at_ship"]
    plant = places_in(state_of(), [1], LATER)[1].cautions
    assert bond.sentence in plant
    assert ship.sentence not in plant
    jetty = places_in(state_of(Purpose.SHIP_SHORE), [1], LATER)[1].cautions
    assert ship.sentence in jetty
    assert bond.sentence not in jetty
    surge = SimpleNamespace(boundary_id=1, kind=PathKind.SURGE_DEVICE)
    assert (
        len(places_in(state_of(paths=[surge]), [1], LATER)[1].cautions)
        == len(plant) + 1
    )


def test_many_sheets_are_made_by_workers_that_end(monkeypatch):
    monkeypatch.setattr(workflow, "SHEETS_PER_WORKER", 2)
    views = [view(replace(PLACE, joint=JOINTS[n])) for n in (1, 2, 1)]
    assert list(workflow._pdfs(views)) == [worksheet_pdf(v) for v in views]
