"""Values that wait: accepted or refused by a person, each kind of them."""

import datetime as dt

import pytest

from jointmap.changes.decide_held import decide, waiting_rows
from jointmap.errors import WrongUse
from jointmap.pages.overview import held_view
from jointmap.register import (
    Boundary,
    Decision,
    Device,
    Held,
    Installation,
    IsolationTest,
    Joint,
    Position,
)
from tests.opened_site import opened, sent, shown, waiting_lines
from tests.small_site import DECIDED_BEFORE

NOW = dt.datetime(2026, 3, 15, 12, tzinfo=dt.UTC)
SWAPPED = {
    "joints.csv": "tag,boundary,area,state,latitude,longitude\n"
    "J-3,B-1,East,in duty,-41.9,31.4\n"
}
MOVED = {"joints.csv": "tag,boundary,area,state\nJ-1,B-1,West,in duty\n"}
TORQUE = {
    "installations.csv": "joint,device_fitted_on,installed_on,torque_target\n"
    "J-1,2020-01-05,2020-01-05,200\n"
}


def by_key(site, kind, known=None):
    with site.register.read(known) as state:
        return {r.key(): r for r in state.records(kind).values()}


def place_of(site, tag):
    with site.register.read() as state:
        joints = {j.tag: i for i, j in state.records(Joint).items()}
        return next(
            (p.latitude_deg, p.longitude_deg)
            for p in state.records(Position).values()
            if p.subject == "joint" and p.subject_id == joints[tag]
        )


def decided(site, accept, by="T1"):
    number = int(waiting_lines(site)[0].split()[0])
    return decide(site, number, now=NOW, by=by, reason="looked it up", accept=accept)


def test_position_accepted_as_proposed(tmp_path):
    site = opened(tmp_path, SWAPPED)
    assert place_of(site, "J-3") == (None, None)
    assert (
        "Proposed: latitude 31.400000, longitude -41.900000" in waiting_lines(site)[0]
    )
    decided(site, accept=True)
    assert place_of(site, "J-3") == pytest.approx((31.4, -41.9))
    assert waiting_lines(site) == []


def test_position_refused_stands_as_sent(tmp_path):
    site = opened(tmp_path, SWAPPED)
    decided(site, accept=False)
    assert place_of(site, "J-3") == pytest.approx((-41.9, 31.4))
    assert waiting_lines(site) == []


def test_position_that_cannot_be_read_can_be_neither_accepted_nor_kept(tmp_path):
    abc = {n: t.replace("-41.9", "north") for n, t in SWAPPED.items()}
    site = opened(tmp_path, abc)
    with pytest.raises(WrongUse):
        decided(site, accept=True)
    decided(site, accept=False)
    assert place_of(site, "J-3") == (None, None)
    assert waiting_lines(site) == []


@pytest.mark.parametrize(("accept", "area"), [(True, "West"), (False, "East")])
def test_differing_value(tmp_path, accept, area):
    site = opened(tmp_path, MOVED)
    decided(site, accept=accept)
    joint = by_key(site, Joint)["J-1",]
    assert joint.area == area
    assert joint.in_duty_on == dt.date(2020, 1, 10)
    assert by_key(site, Joint, dt.date(2026, 2, 28))["J-1",].area == "East"


def test_value_without_a_proposal_is_given_by_a_correction_or_refused(tmp_path):
    site = opened(tmp_path, TORQUE)
    with pytest.raises(WrongUse) as refused:
        decided(site, accept=True)
    assert refused.value.problems[0].id == "held.only_positions"
    text = TORQUE["installations.csv"].replace("target", "target,correction_reason")
    report = sent(
        site, {"installations.csv": text.replace("200", "200 N·m,asked")}, NOW
    )
    assert report.revised == {"installation": 1}
    assert waiting_lines(site) == []
    record = next(iter(by_key(site, Installation).values()))
    assert record.torque_target_newton_metre == pytest.approx(200)


def test_value_without_a_proposal_refused(tmp_path):
    site = opened(tmp_path, TORQUE)
    decided(site, accept=False)
    assert waiting_lines(site) == []


def test_a_decision_says_who_what_and_why(tmp_path):
    site = opened(tmp_path, SWAPPED, MOVED)
    decided(site, accept=True)
    decided(site, accept=False)
    made = list(by_key(site, Decision).values())[DECIDED_BEFORE:]
    assert [d.kind for d in made] == ["accepted proposal", "refused proposal"]
    assert [d.subject_key for d in made] == ["joint J-3", "J-1"]
    assert {(d.why, d.decided_on) for d in made} == {("looked it up", NOW.date())}
    with shown(site) as showing:
        assert {showing.person(d.person_id) for d in made} == {"T1 (register keeper)"}
    assert not any(h.is_open for h in by_key(site, Held).values())


@pytest.mark.parametrize("accept", [True, False])
def test_a_line_is_decided_once(tmp_path, accept):
    site = opened(tmp_path, MOVED)
    number = int(waiting_lines(site)[0].split()[0])
    decided(site, accept=accept)
    for wrong in (number, 99):
        with pytest.raises(WrongUse) as refused:
            decide(site, wrong, now=NOW, by="T1", reason="again", accept=True)
        assert refused.value.problems[0].id == "held.no_line"


def test_lines_as_known_earlier(tmp_path):
    site = opened(tmp_path, MOVED)
    assert waiting_lines(site, dt.date(2026, 1, 15)) == []
    assert len(waiting_lines(site, dt.date(2026, 2, 20))) == 1


@pytest.mark.parametrize(
    ("subject", "name", "more"),
    [
        ("parallel path", "SP 1", {"paths.csv": "name,boundary,kind,state\n"
                                   "SP 1,B-1,support,apart\n"}),
        ("joint", "Old 1", {"aliases.csv": "joint,name\nJ-1,Old 1\n"}),
        ("boundary", "B-1", {}),
    ],
)  # fmt: skip
def test_position_of_anything_is_decided(tmp_path, subject, name, more):
    text = "subject,name,latitude,longitude,correction_reason\n"
    text += f"{subject},{name},40,-41.9,x\n"
    site = opened(tmp_path, {**more, "positions.csv": text})
    assert "outside the site" in waiting_lines(site)[0]
    decided(site, accept=False)
    with site.register.read() as state:
        places = [p for p in state.records(Position).values() if p.subject == subject]
    assert 40.0 in [p.latitude_deg for p in places]


HEAD = "tag,boundary,area,state,latitude,longitude,position_accuracy,position_on\n"
ELSEWHERE = {"joints.csv": HEAD + "J-1,B-1,East,in duty,31.5,-41.8,0.5 m,2020-02-01\n"}


def lines_without_number(site):
    return [line.split("  ", 1)[1] for line in waiting_lines(site)]


def test_a_place_that_differs_is_told_as_the_sheet_has_it(tmp_path):
    site = opened(tmp_path, ELSEWHERE)
    differs = "differs from the record ({})"
    told = lines_without_number(site)
    assert [line.partition("; to correct")[0] for line in told] == [
        "joint J-1, position: latitude 31.5, longitude -41.8  "
        + differs.format("latitude 31.4, longitude -41.9"),
        "joint J-1, position_accuracy: 0.5 m  " + differs.format("blank"),
        "joint J-1, position_on: 2020-02-01  " + differs.format("blank"),
    ]
    assert place_of(site, "J-1") == pytest.approx((31.4, -41.9))
    for _ in told:
        decided(site, accept=True)
    (place,) = [p for p in by_key(site, Position).values() if p.captured_x == "-41.8"]
    assert (place.latitude_deg, place.longitude_deg) == pytest.approx((31.5, -41.8))
    assert (place.accuracy_metre, str(place.captured_on)) == (0.5, "2020-02-01")
    assert place.correction_reason == "looked it up"
    assert sent(site, ELSEWHERE, NOW).is_clean


def test_a_place_that_differs_is_refused(tmp_path):
    site = opened(tmp_path, ELSEWHERE)
    for _ in lines_without_number(site):
        decided(site, accept=False)
    assert place_of(site, "J-1") == pytest.approx((31.4, -41.9))
    assert len(sent(site, ELSEWHERE, NOW).held) == 3


def test_a_place_accepted_that_is_doubtful_itself_waits_again(tmp_path):
    swapped = ELSEWHERE["joints.csv"].replace("31.5,-41.8", "-41.8,31.5")
    site = opened(tmp_path, {"joints.csv": swapped})
    decided(site, accept=True)
    (line,) = [n for n in lines_without_number(site) if "look swapped" in n]
    assert "Proposed: latitude 31.500000, longitude -41.800000" in line
    assert place_of(site, "J-1") == (None, None)
    number = next(n for n in waiting_lines(site) if "swapped" in n).split()[0]
    decide(site, int(number), now=NOW, by="T1", reason="swapped", accept=True)
    assert place_of(site, "J-1") == pytest.approx((31.5, -41.8))
    numbers = sorted(d.number for d in by_key(site, Decision).values())
    assert numbers[DECIDED_BEFORE:] == [f"held {number}", f"held {number} (1)"]


SURVEYED = "subject,name,latitude,longitude,crs,method,correction_reason\n"
NO_PLACE = "joint,J-1,481000,3477000,EPSG:4326,map,surveyed again"
TURNED = "joint,J-1,-41.8,31.5,,map,surveyed again"


@pytest.mark.parametrize(
    ("row", "accept", "place"),
    [
        (NO_PLACE, False, (31.4, -41.9)),
        (TURNED, True, (31.5, -41.8)),
        (TURNED, False, (-41.8, 31.5)),
    ],
)
def test_a_place_stays_while_its_correction_is_in_doubt(tmp_path, row, accept, place):
    site = opened(tmp_path)
    report = sent(site, {"positions.csv": f"{SURVEYED}{row}\n"}, NOW)
    assert [p.id.partition(".")[0] for p in report.held] == ["place"]
    assert place_of(site, "J-1") == pytest.approx((31.4, -41.9))
    decided(site, accept=accept)
    assert place_of(site, "J-1") == pytest.approx(place)


def test_a_correction_that_is_no_place_is_not_accepted(tmp_path):
    site = opened(tmp_path)
    sent(site, {"positions.csv": f"{SURVEYED}{NO_PLACE}\n"}, NOW)
    with pytest.raises(WrongUse):
        decided(site, accept=True)
    assert place_of(site, "J-1") == pytest.approx((31.4, -41.9))


def test_what_was_decided_is_not_asked_again(tmp_path):
    site = opened(tmp_path, SWAPPED, TORQUE)
    assert not sent(site, SWAPPED, NOW).is_clean
    assert len(waiting_lines(site)) == 2
    decided(site, accept=True)
    decided(site, accept=False)
    for sheets in (SWAPPED, TORQUE):
        again = sent(site, sheets, NOW)
        assert (again.is_clean, again.unchanged.total()) == (True, len(again.unchanged))
    assert place_of(site, "J-3") == pytest.approx((31.4, -41.9))
    reason = SWAPPED["joints.csv"].replace(
        "longitude\n", "longitude,correction_reason\n"
    )
    reason = reason.replace("31.4\n", "31.4,it was right\n")
    asked = sent(site, {"joints.csv": reason}, NOW)
    assert [p.id for p in asked.held] == ["place.axes_swapped"]


def test_another_value_for_the_same_cell_on_the_same_day_waits(tmp_path):
    other = MOVED["joints.csv"].replace("West", "South")
    site = opened(tmp_path, MOVED)
    day = dt.datetime(2026, 2, 9, 12, tzinfo=dt.UTC)
    for text in (MOVED["joints.csv"], other, other):
        sent(site, {"joints.csv": text}, day)
    assert [n.split(": ")[1].split()[0] for n in lines_without_number(site)] == [
        "South"
    ]
    with site.register.read() as state:
        assert [r.record.value for r in state.revisions(Held)] == ["West", "South"]


def test_a_doubtful_place_of_nothing_on_record_does_not_wait(tmp_path):
    text = "subject,name,latitude,longitude\njoint,J-9,-41.9,31.4\n"
    site = opened(tmp_path, {"positions.csv": text})
    assert waiting_lines(site) == []


DIFFERING = [
    ("installations.csv", "joint,device_fitted_on,installed_on,remark",
     "J-1,2020-01-05,2020-01-05,wet", "remark", "wet"),
    ("joints.csv", "tag,boundary,area,state", "J-1,B-9,East,in duty",
     "boundary_id", None),
    ("joints.csv", "tag,boundary,area,state,is_buried", "J-1,B-1,East,in duty,yes",
     "is_buried", True),
    ("devices.csv", "joint,fitted_on,kind,stud_count", "J-1,2020-01-05,flange kit,",
     "stud_count", None),
    ("devices.csv", "joint,fitted_on,kind,gasket_thickness",
     "J-1,2020-01-05,flange kit,3 mm", "gasket_thickness_metre", 0.003),
    ("tests.csv", "scope,joint,tested_on,method,stage,outcome,reading",
     "joint,J-1,2025-03-02,ohmmeter,routine,measured,> 5 ohm", "reading_bound", 1),
]  # fmt: skip


@pytest.mark.parametrize(("sheet", "heading", "row", "field", "value"), DIFFERING)
def test_differing_cell_of_each_type_is_accepted(
    tmp_path, sheet, heading, row, field, value
):
    more = {"boundaries.csv": "name,structure_a,structure_b,purpose\n"
            "B-9,S1,Plant,protection\n"}  # fmt: skip
    fitted = "joint,device_fitted_on,installed_on\nJ-1,2020-01-05,2020-01-05\n"
    more["installations.csv"] = fitted
    read = "joint,J-1,2025-03-02,ohmmeter,routine,measured,5 ohm"
    more["tests.csv"] = f"scope,joint,tested_on,method,stage,outcome,reading\n{read}\n"
    site = opened(tmp_path, more, {sheet: f"{heading}\n{row}\n"})
    assert len(waiting_lines(site)) == 1
    assert "None" not in waiting_lines(site)[0]
    decided(site, accept=True)
    kind = {
        "installations.csv": Installation,
        "joints.csv": Joint,
        "devices.csv": Device,
        "tests.csv": IsolationTest,
    }[sheet]
    with site.register.read() as state:
        records = [*state.records(kind).values()]
        # The test with the reading came last; of other kinds the first is J-1's.
        record = records[-1 if sheet == "tests.csv" else 0]
        if field == "boundary_id":
            value = next(
                i for i, b in state.records(Boundary).items() if b.name == "B-9"
            )
    assert getattr(record, field) == value
    if field == "gasket_thickness_metre":
        assert "3 mm" in record.as_written


@pytest.mark.parametrize("on", ["2026-01-20", "2026-02-20", "2026-04-01", "2027-01-01"])
def test_what_waits_on_a_day_is_what_the_pages_of_that_day_list(tmp_path, on):
    site, day = opened(tmp_path, SWAPPED, MOVED), dt.date.fromisoformat(on)
    with shown(site, day) as showing:
        listed = [str(row.number) for row in held_view(showing).rows]
    assert [row[0] for row in waiting_rows(site, day, None)] == listed
    # Two deliveries a month apart: one value waits from each.
    assert len(listed) == (on >= "2026-02-09") + (on >= "2026-03-11")
    assert len(waiting_rows(site, None, None)) == 2
    site.register.close()
