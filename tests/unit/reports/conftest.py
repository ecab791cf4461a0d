"""Invented views, rich enough that every part of every page shows."""

import datetime as dt

import pytest
from markupsafe import Markup

from jointmap.reports.line_codes import line_code
from jointmap.reports.method_blanks import blanks_for
from jointmap.reports.views import (
    CorrectionRow,
    DecisionRow,
    Fact,
    Finding,
    Frame,
    Link,
    PathRow,
    Sign,
    Step,
    TestRow,
    ToldTest,
)
from jointmap.reports.views_boundary import (
    BoundariesView,
    BoundaryJointRow,
    BoundaryLine,
    BoundaryView,
    CheckRow,
    MergedRow,
    SuspectRow,
)
from jointmap.reports.views_dossier import (
    AliasRow,
    DeviceView,
    Dossier,
    DueView,
    FittingCheck,
    InstallationView,
    LimitKept,
    OccurrenceRow,
    PlaceView,
    PositionView,
    StudRow,
    Why,
)
from jointmap.reports.views_dossiers import DossierLine, DossiersPage
from jointmap.reports.views_due import DueLine, DueMember, DuePage
from jointmap.reports.views_files import FileView, PicturePage
from jointmap.reports.views_handover import (
    ContractorRow,
    HandoverPage,
    HandoverRow,
    SubmissionRow,
)
from jointmap.reports.views_overview import (
    Door,
    FindingsPage,
    HeldPage,
    HeldRow,
    IndexPage,
    LimitRow,
    RuleRow,
    SourcesPage,
    WayIn,
)
from jointmap.reports.views_predicted import ClassRow, PredictedPage, QuarterRow
from jointmap.reports.views_route import (
    AccessRow,
    DayCell,
    InstrumentRow,
    InterruptionRow,
    MonthDay,
    MonthPage,
    RouteSheet,
    Stop,
    UnservedRow,
)
from jointmap.reports.views_worksheet import NumberRow, PassRow, Worksheet
from jointmap.reports.worksheet import worksheet_clock
from jointmap.wording import say
from jointmap.wording.cautions import Situation, cautions_for

_BARS = (
    '<svg width="18" height="18" viewBox="0 0 22 22">'
    '<path d="M5 3v16M17 3v16" stroke="#1a1a1a"'
    ' stroke-width="4"/>{}</svg>'
)
GLYPHS = {
    "isolating": "",
    "doubtful": '<path d="M8 8l6-4M8 13l6-4M8 18l6-4" stroke="#1a1a1a"/>',
    "shorted": '<path d="M7 7h8v8H7z"/>',
    "inconclusive": '<text x="11" y="16" font-size="13" text-anchor="middle">?</text>',
    "not tested": '<path d="M11 4v14" stroke="#1a1a1a" stroke-dasharray="2"/>',
}


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def sign(word: str) -> Sign:
    return Sign(word, Markup(_BARS).format(Markup(GLYPHS[word])))


def joint(tag: str) -> Link:
    return Link(tag, f"dossiers/{tag}.html")


def boundary_link(name: str) -> Link:
    return Link(name, f"boundaries/{name}.html")


def cautions(*situations: Situation) -> tuple[str, ...]:
    return tuple(say(id_, {"ac_limit": 15.0}) for id_ in cautions_for(situations))


def frame(up: str = "", *trail: Link) -> Frame:
    return Frame(
        site="Orsanne",
        on=day("2026-05-15"),
        known=day("2026-05-15"),
        entry=14,
        fingerprint="6f1c9be2a0d4478fb1f7c6a3e59d20417c8a6b35d9e2f4010b7a8c6d5e4f3a2b",
        version="0.1.0",
        up=up,
        training="Training site: its day is fixed at 2026-05-15.",
        trail=trail,
    )


TESTS = (
    TestRow(
        tested_on=day("2026-04-14"),
        method="potential difference",
        stage="routine",
        what="boundary, read at IJ-031",
        who="T1, technician",
        instrument="M-04, multimeter",
        person_paper="valid",
        instrument_paper="valid",
        papers="Qualification: valid. Certificate: valid.",
        reading="side A on -1105 mV, side B on -1104 mV",
        verdict=sign("inconclusive"),
        reason="Both sides are protected and read alike: this method cannot tell "
        "a short from two equal potentials.",
        limit="isolating above 25 mV, neither side protected",
        source="UFC 3-570-06 (2003) 7-9.3, seen",
        counts=False,
        why_not="inconclusive: it moves no date",
        recorded_on=day("2026-04-14"),
        origin="tests_2026_spring.csv:41",
    ),
    TestRow(
        tested_on=day("2025-04-09"),
        method="potential shift",
        stage="routine",
        what="boundary, read at IJ-031",
        who="T2, technician",
        instrument="M-07, multimeter",
        person_paper="valid",
        instrument_paper="ended, does not count",
        instrument_fault=True,
        papers="Qualification: valid. Certificate: ended, does not count.",
        papers_sound=False,
        reading="A on -1105 mV, A off -905 mV; B on -1020 mV, B off -1022 mV",
        verdict=sign("isolating"),
        reason="Side A moved 200 mV, side B 2 mV the other way: no metal contact.",
        limit="isolating at most 10 % of the near side",
        source="owner procedure KG-17, owner's choice",
        recorded_on=day("2025-05-21"),
        late_days=42,
        origin="tests_2025.csv:118",
    ),
    TestRow(
        tested_on=day("2024-12-19"),
        method="potential difference",
        stage="routine",
        who="T1, technician",
        verdict=sign("not tested"),
        reason="gate locked",
        counts=False,
        why_not="no reading was taken",
        recorded_on=day("2024-12-20"),
        late_days=1,
        origin="tests_2024.csv:77",
    ),
)

PATHS = (
    PathRow(
        name="TB-071",
        kind="temporary bond",
        state="joining",
        where=joint("IJ-031"),
        fitted_on=day("2025-10-02"),
        checked_on=day("2025-10-02"),
        flag="Temporary bond on since 2025-10-02, no day off on record.",
    ),
    PathRow(
        name="SD-44",
        kind="surge protective device",
        state="apart",
        where=joint("IJ-032"),
        fitted_on=day("2019-06-11"),
        checked_on=day("2025-08-20"),
        due_on=day("2026-08-31"),
    ),
    PathRow(name="TU-09", kind="tubing", state="not known", where=joint("IJ-032")),
)

DECISIONS = (
    DecisionRow(
        decided_on=day("2025-12-01"),
        kind="deferred",
        what="Test of IJ-031 until 2026-02-28",
        who="E1, integrity engineer",
        why="Flooded valve pit",
        until_on=day("2026-02-28"),
        second_person="A1, internal auditor",
    ),
    DecisionRow(
        decided_on=day("2021-03-01"),
        kind="adopted",
        what="Rule KG-17 for protection",
        who="E1, integrity engineer",
        why="Yearly survey",
    ),
)

FACTS = (
    Fact("nominal_size", "NPS 16"),
    Fact("pressure_class", "300"),
    Fact("gasket_material", "glass-fibre laminate"),
    Fact("gasket_thickness", "3 mm", "0.118 in"),
    Fact("stud_size", "1 1/4 in"),
    Fact("stud_count", "20"),
    Fact("lubricant_allowed", "non-metallic"),
    Fact("batch", "19-07"),
)

INSTALLED = InstallationView(
    installed_on=day("2019-06-11"),
    facts=(
        Fact("contractor", "Contractor North"),
        Fact("fitter"),
        Fact("lubricant", "nickel anti-seize", flag="Allowed here: non-metallic."),
        Fact("torque_target", "271 N·m", "200 lbf·ft"),
        Fact("pass_1", "", "200", flag="No unit: 200 N·m or 200 lbf·ft (271 N·m)?"),
        Fact("sleeve_length"),
    ),
    flags=(
        "Lubricant with metal in it: the record says nickel anti-seize.",
        "Torque of pass 1 has no unit.",
    ),
    review="1 of 3 facts of the fitting record meet",
    checks=(
        FittingCheck("lubricant", "does not meet", "it conducts", "Trade", asks=True),
        FittingCheck("torque tool", "not recorded", "no tool on record", asks=True),
        FittingCheck("stud count", "meets", "stud count 20; the flange has 20 holes"),
    ),
    origin="installations_contractor_north.csv:12",
)


# The smallest drawing there is, as a page holds one.
DRAWN = (
    "data:image/svg+xml;base64,PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciLz4="
)
FILES = (
    FileView(
        view="front",
        on=day("2025-10-01"),
        is_taken=True,
        media_type="image/jpeg",
        size="2,310,556 bytes",
        sha256="ab" * 32,
        small=DRAWN,
        page=Link("front", f"pictures/{'ab' * 16}.html"),
    ),
    FileView(
        view="drawing",
        on=day("2025-10-02"),
        media_type="image/svg+xml",
        size="61,002 bytes",
        sha256="cd" * 32,
        page=Link("drawing", f"pictures/{'cd' * 16}.html"),
        notes=(say("picture.left_out", {"names": "script, style"}),),
    ),
    FileView(
        view="",
        on=day("2025-10-02"),
        media_type="application/pdf",
        size="120,400 bytes",
        sha256="ef" * 32,
        why=say("picture.kind"),
    ),
)


@pytest.fixture
def picture() -> PicturePage:
    """One picture on a page of its own, with a note."""
    return PicturePage(
        frame=frame("../", Link("IJ-031", "dossiers/IJ-031.html")),
        file=FILES[1],
        picture=DRAWN,
        joint=joint("IJ-031"),
        kept_at=f"attachments/cd/{'cd' * 32}",
    )


@pytest.fixture
def dossier() -> Dossier:
    """A joint with something in every section, good and bad."""
    return Dossier(
        frame=frame("../", Link("Due list", "due.html")),
        tag="IJ-031",
        summary="Boundary shorted, 3 suspects, this joint is one of them; stud 5 has "
        "lost one side. Next test by 2026-07-09 because the last good test was "
        "on 2025-04-09.",
        verdict=sign("inconclusive"),
        findings=(
            "Temporary bond TB-071 on since 2025-10-02.",
            "Calendar year 2024 missed: no test that counts.",
        ),
        place=PlaceView(
            boundary=boundary_link("KP-B03"),
            boundary_state=sign("shorted"),
            boundary_sentence="3 suspects; no joint is called shorted.",
            purpose="sectioning",
            structure_a="S2, line KP 0 to 18, protected",
            structure_b="S3, line KP 18 to 41, protected",
            state="in duty",
            area="Line, valve station 18",
            kilometre_post="KP 18.02 (chainage of 2022); KP 18.00 (chainage of 2016)",
            which_one="Main line, north of the by-pass; black band on side A.",
            electrode_place="2 m east of the pit, at the white peg",
            service=(
                Fact("fluid", "natural gas"),
                Fact("water_content", "can drop water"),
                Fact("temperature", "35 °C"),
            ),
            access=("Key 14 from the control room", "Permit 08:00 to 16:00"),
            cautions=cautions(Situation.VAULT, Situation.SURGE_DEVICE),
            aliases=(
                AliasRow(
                    name="IF-31",
                    from_on=day("2016-05-01"),
                    until_on=day("2021-04-30"),
                    remark="as on drawing 4",
                ),
            ),
            position=PositionView(
                working="31.40120 N, 41.73410 W",
                captured="-41.73410, 31.40120",
                crs="EPSG:4326",
                method="GNSS receiver",
                accuracy="5 m",
                captured_on=day("2016-05-03"),
                doubt="Plotted 208 m north-west of the line, as 8 others of this file.",
                proposal="read as Orsanne 1958 datum: 31.39969 N, 41.73281 W",
            ),
        ),
        location_map=Markup(
            '<svg viewBox="0 0 320 90" width="320" height="90">'
            '<path d="M5 70L120 52L315 20" fill="none" stroke="#1a1a1a"/>'
            '<path d="M150 40v16M158 38v16" stroke="#1a1a1a" stroke-width="4"/></svg>'
        ),
        files=FILES,
        devices=(
            DeviceView(
                kind="flange kit",
                fitted_on=day("2019-06-11"),
                is_fitted=True,
                serial="N-19-0311",
                layout="two-side",
                facts=FACTS,
                installation=INSTALLED,
            ),
            DeviceView(
                kind="flange kit",
                fitted_on=day("2010-04-01"),
                removed_on=day("2019-06-10"),
            ),
        ),
        studs_sentence="1 of 20 studs isolating on 1 of 2 sides; 18 not read.",
        studs=(
            StudRow(
                number=1,
                to_a="> 999 Mohm",
                to_b="> 999 Mohm",
                tested_on=day("2025-09-02"),
                sides_left="2 of 2",
                verdict=sign("isolating"),
                sentence="Both sides above the limit.",
            ),
            StudRow(
                number=5,
                to_a="> 999 Mohm",
                to_b="0.5 ohm",
                tested_on=day("2025-09-02"),
                sides_left="1 of 2",
                verdict=sign("doubtful"),
                sentence="Stud 5 isolating on 1 of 2 sides: lost to side B.",
            ),
        ),
        tests=TESTS,
        paths=PATHS,
        occurrences=(
            OccurrenceRow(
                happened_on=day("2025-08-14"),
                kind="storm",
                place="ridge, KP 34 to 48",
                sentence="Surge protective devices to be checked within 30 days.",
            ),
        ),
        due=DueView(
            state=Sign("past the limit"),
            last_allowed_on=day("2026-04-09"),
            because="One year and at most 15 months: the calendar year governs.",
            source="49 CFR 192.465(a), seen",
            steps=(
                Step(
                    sentence="Last test that counts on 2025-04-09; 15 months later",
                    on=day("2026-07-09"),
                    basis="law",
                    source="49 CFR 192.465(a)",
                    mark="seen",
                ),
                Step(
                    sentence="12 months by procedure",
                    on=day("2026-04-09"),
                    basis="owner procedure",
                    source="KG-17, edition 3",
                    mark="owner's choice",
                    governs=True,
                ),
                Step(sentence="No trend: fewer than 3 like readings."),
            ),
            limits=(
                LimitKept(
                    from_on=day("2025-02-27"),
                    limit_on=day("2026-05-27"),
                    how="not tested yet, 12 days left",
                    basis="law",
                    source="49 CFR 192.465(a)",
                ),
                LimitKept(
                    from_on=day("2023-11-30"),
                    limit_on=day("2024-12-31"),
                    how="tested 2025-02-27, 58 days late",
                    basis="law",
                    source="49 CFR 192.465(a)",
                    is_broken=True,
                ),
            ),
        ),
        decisions=DECISIONS,
        corrections=(
            CorrectionRow(
                recorded_on=day("2025-06-02"),
                what="test of 2025-04-09, side B on",
                old="+1020 mV",
                new="-1020 mV",
                who="P1, planner",
                why="Sign dropped on the sheet",
            ),
        ),
        missing=("Who fitted the device", "Sleeve length", "Photos (4 views)"),
        next_step="Next: potential shift at IJ-031, by 2026-04-09.",
    )


@pytest.fixture
def why(dossier: Dossier) -> Why:
    """A verdict by a test read elsewhere, and a newer one that decides nothing."""
    return Why(
        answer=dossier,
        reason="By a test of the boundary, read elsewhere in its test group.",
        tests=(
            ToldTest("The verdict rests on this test, read at IJ-030:", TESTS[1]),
            ToldTest("The newest test is another, read here:", TESTS[0]),
        ),
    )


@pytest.fixture
def bare_why(bare_dossier: Dossier) -> Why:
    """A joint without any test."""
    return Why(answer=bare_dossier, reason="")


@pytest.fixture
def bare_dossier() -> Dossier:
    """A joint of which nearly nothing is known: every blank has to be said."""
    return Dossier(
        frame=frame("../"),
        tag="IJ-099",
        summary="No test on record; no basis for a date.",
        verdict=Sign(),
        place=PlaceView(boundary=boundary_link("PL-B01"), boundary_state=Sign()),
        due=DueView(state=Sign("no basis")),
    )


@pytest.fixture
def boundary() -> BoundaryView:
    """A boundary found shorted, three suspects."""
    return BoundaryView(
        frame=frame("../", Link("Boundaries", "boundaries/index.html")),
        name="KP-B03",
        state=sign("shorted"),
        statement="Boundary shorted, 3 suspects; no joint is called shorted.",
        purpose="sectioning",
        structure_a="S2, line KP 0 to 18, protected",
        structure_b="S3, line KP 18 to 41, protected",
        last_good_on=day("2025-04-09"),
        first_bad_on=day("2026-04-14"),
        findings=("Output of R2 up 62 % since 2025-04.",),
        suspects=(
            SuspectRow(
                subject=joint("IJ-032"),
                kind="joint, by-pass",
                chance="62 %",
                speaks_for=("Tubing TU-09 lies across it, last check not on record.",),
            ),
            SuspectRow(
                subject=Link("TB-071"),
                kind="temporary bond",
                route="direct",
                speaks_for=("On since 2025-10-02, no day off.",),
                speaks_against=("The last good test is older.",),
            ),
            SuspectRow(
                subject=joint("IJ-033"),
                kind="joint",
                route="S2, EP, S3",
                speaks_against=("Studs read isolating on 2026-01-12.",),
            ),
        ),
        left_over=("None of these: 4 %.",),
        next_checks=(
            CheckRow(
                subject=Link("SD-31"),
                kind="surge protective device",
                check="Lift its lead, read the boundary again, put it back",
                minutes="20 min",
                told="12",
                held_back="not now: no AC reading is on record",
                conditions="Takes protection off. AC read first.",
            ),
        ),
        merged_sentence="S2 and S3 are one metal now.",
        merged=(
            MergedRow(
                structure="S2",
                kind="pipeline section",
                area="41,200 m²",
                sources=("R2", "R3"),
            ),
            MergedRow(structure="S3", kind="pipeline section"),
        ),
        if_shorted="If the joint to EP shorted too, the plant earth would join.",
        joints=(
            BoundaryJointRow(
                tag=joint("IJ-031"),
                state="in duty",
                verdict=sign("inconclusive"),
                group="station 18",
                last_test_on=day("2026-04-14"),
                last_allowed_on=day("2026-04-09"),
                due_state=Sign("past the limit"),
            ),
            BoundaryJointRow(tag=joint("IJ-034"), state="planned", verdict=Sign()),
        ),
        paths=PATHS,
        tests=TESTS,
        decisions=DECISIONS,
        diagram=Markup(
            '<svg viewBox="0 0 200 40" width="200" height="40">'
            '<path d="M5 20h80M115 20h80" stroke="#1a1a1a" stroke-width="3"/></svg>'
        ),
    )


@pytest.fixture
def bare_boundary() -> BoundaryView:
    """A boundary without joints, paths or tests."""
    return BoundaryView(
        frame=frame("../"),
        name="CC-B01",
        state=Sign(),
        statement="Carrier and casing; never tested.",
        purpose="",
        structure_a="S3",
        structure_b="Casing at KP 24",
        joined_on_purpose="By decision D-7 until 2026-06-30.",
    )


@pytest.fixture
def boundaries() -> BoundariesView:
    """Three boundaries, one of them shorted."""
    return BoundariesView(
        frame=frame("../"),
        rows=(
            BoundaryLine(
                name=boundary_link("KP-B03"),
                state=sign("shorted"),
                structure_a="S2",
                structure_b="S3",
                purpose="sectioning",
                statement="no joint is called shorted",
                joints=3,
                paths=3,
                suspects=3,
                last_good_on=day("2025-04-09"),
                first_bad_on=day("2026-04-14"),
            ),
            BoundaryLine(
                name=boundary_link("PL-B01"),
                state=sign("isolating"),
                structure_a="S4",
                structure_b="EP",
                purpose="protection",
                joints=24,
                paths=5,
                last_good_on=day("2026-03-02"),
            ),
            BoundaryLine(
                name=boundary_link("CC-B01"),
                state=Sign(),
                structure_a="S3",
                structure_b="Casing at KP 24",
                purpose="",
            ),
        ),
    )


@pytest.fixture
def due() -> DuePage:
    """One line of each state; one of them a test group."""
    return DuePage(
        frame=frame(),
        until=day("2026-06-30"),
        lines=(
            DueLine(
                subject=joint("IJ-031"),
                credited=(
                    DueMember(joint("IJ-032"), Sign("in time"), day("2027-01-15")),
                    DueMember(joint("IJ-033"), Sign("no basis")),
                ),
                state=Sign("past the limit"),
                last_allowed_on=day("2026-04-09"),
                days_left=-36,
                boundary=boundary_link("KP-B03"),
                area="Line, valve station 18",
                method="potential shift",
                last_test_on=day("2025-04-09"),
                verdict=sign("isolating"),
                basis="owner procedure",
                because="12 months after the last test that counts, 2025-04-09.",
                source="KG-17, edition 3",
                remark="Position in doubt: IJ-031.",
            ),
            DueLine(
                subject=joint("IJ-044"),
                state=Sign("near the limit"),
                last_allowed_on=day("2026-05-20"),
                days_left=5,
                boundary=boundary_link("KP-B07"),
                method="radio-frequency",
                last_test_on=day("2025-02-20"),
                verdict=sign("doubtful"),
                basis="law",
                because="Calendar year and at most 15 months: 15 months end first.",
                source="49 CFR 192.465(a), seen",
            ),
            DueLine(
                subject=Link("SD-44"),
                is_joint=False,
                state=Sign("due this month"),
                last_allowed_on=day("2026-05-31"),
                days_left=16,
                method="surge device check",
                basis="owner procedure",
                because="Within 12 months of the last check.",
                source="KG-21",
            ),
            DueLine(
                subject=joint("IJ-027"),
                state=Sign("in time"),
                last_allowed_on=day("2026-06-30"),
                days_left=46,
                method="potential difference",
                last_test_on=day("2025-06-30"),
                verdict=sign("isolating"),
                basis="owner procedure",
                because="12 months after the last test that counts.",
                source="KG-17, edition 3",
            ),
            DueLine(
                subject=joint("IJ-099"),
                state=Sign("no basis"),
                because="No purpose is stated, so no rule applies.",
            ),
        ),
    )


@pytest.fixture
def sheet() -> RouteSheet:
    """Two stops: a buried group with a look-alike, and a kit read stud by stud."""
    return RouteSheet(
        frame=frame("../../", Link("2026-06", "months/2026-06/index.html")),
        sheet_id="2026-06-02-crew-west",
        crew="Crew West",
        day=day("2026-06-02"),
        people=("T1", "T2"),
        depot="Kestrow Plant",
        leave_depot="07:30",
        back_at_depot="14:05",
        distance="86 km",
        travel_note="Travel times are estimated: straight line times 1.4.",
        ac_limit="15 V",
        cautions=cautions(),
        instruments=(
            InstrumentRow(
                name="M-04", kind="multimeter", valid_until_on=day("2026-11-30")
            ),
            InstrumentRow(
                name="M-07",
                kind="multimeter",
                valid_until_on=day("2025-03-31"),
                flag="certificate ended: leave it here",
            ),
        ),
        interruptions=("R2, 12 s on, 3 s off, 09:00 to 12:00",),
        access=("Key 14 from the control room",),
        route_map=Markup(
            '<svg viewBox="0 0 300 80" width="300" height="80">'
            '<path d="M10 60L120 30L280 50" fill="none" stroke="#1a1a1a"/></svg>'
        ),
        stops=(
            Stop(
                order=1,
                line_id="2026-06-W02-1-K7",
                tag=joint("IJ-031"),
                boundary="KP-B03",
                structure_a="S2, line KP 0 to 18",
                structure_b="S3, line KP 18 to 41",
                method="potential shift",
                cannot_prove="a weak path through soil, or a short out of reach.",
                which_one="Main line, north of the by-pass; black band on side A.",
                look_alikes=("IJ-032, on the by-pass, 0.8 m to the south",),
                covers=("IJ-032", "IJ-033"),
                protected_sides="A and B",
                area="Line, valve station 18",
                kilometre_post="KP 18.02",
                coordinates="31.40120 N, 41.73410 W",
                position_doubt="Position in doubt: may be 208 m off.",
                electrode_place="2 m east of the pit, at the white peg",
                access=("Key 14", "two persons"),
                permit="08:00 to 16:00",
                cautions=cautions(Situation.VAULT, Situation.SURGE_DEVICE)[3:],
                sources=("R2, on side A only",),
                last_allowed_on=day("2026-07-09"),
                because="15 months after 2025-04-09, 49 CFR 192.465(a)",
                arrive="09:10",
                leave="09:50",
                blanks=blanks_for("potential-shift"),
            ),
            Stop(
                order=2,
                line_id="2026-06-W02-2-M3",
                tag=joint("IJ-057"),
                boundary="PL-B01",
                structure_a="S4",
                structure_b="EP, plant earth",
                method="stud resistance",
                stud_count=8,
                blanks=blanks_for("stud-resistance"),
            ),
        ),
    )


@pytest.fixture
def month() -> MonthPage:
    """A short month: two crews, three days."""
    west = DayCell(
        sheet=Link("West 2", "months/2026-06/west-02.html"),
        stops=6,
        hours="6.6 h",
        distance="86 km",
    )
    return MonthPage(
        frame=frame("../../"),
        month="2026-06",
        crews=("Crew West", "Crew Town"),
        days=(
            MonthDay(day=day("2026-06-01"), cells=(DayCell(), DayCell())),
            MonthDay(day=day("2026-06-02"), cells=(west, DayCell(note="day off"))),
        ),
        summary="31 of 32 due lines are on 7 routes; 1 is on none.",
        travel_note="Travel times are estimated: straight line times 1.4.",
        unserved=(
            UnservedRow(
                subjects=(joint("IJ-003"),),
                last_allowed_on=day("2026-06-09"),
                reason="Berth free only on 2026-06-20, after the last allowed day.",
                advice="Ask the harbour for another window.",
            ),
        ),
        interruptions=(
            InterruptionRow(
                source="R2",
                day=day("2026-06-02"),
                crew="Crew West",
                joints=(joint("IJ-031"), joint("IJ-040")),
                cycle="12 s on, 3 s off",
            ),
        ),
        access=(
            AccessRow(
                day=day("2026-06-02"),
                crew="Crew West",
                subject=joint("IJ-031"),
                need="Key 14",
                window="08:00 to 16:00",
            ),
        ),
    )


FINDINGS = (
    Finding(
        kind="boundary_shorted",
        gravity="act_today",
        next_step="Measure AC first; look at the suspects.",
        source="limit in force",
        subject=boundary_link("KP-B03"),
        sentence="Boundary shorted, 3 suspects; no joint is called shorted.",
    ),
    Finding(
        kind="missed_year",
        gravity="act_soon",
        next_step="Write down why it was missed.",
        source="49 CFR 192.465(a)",
        subject=joint("IJ-018"),
        sentence="2024 missed: tests on 2023-11-30 and 2025-02-27, none between.",
        on=day("2024-12-31"),
    ),
    Finding(
        kind="wrong_lubricant",
        gravity="act_soon",
        next_step="Ask the fitter what was used.",
        source="check of the fitting record",
        subject=joint("IJ-057"),
        sentence="Nickel anti-seize used; the kit allows non-metallic only.",
    ),
    Finding(
        kind="temporary_bond",
        gravity="act_soon",
        next_step="Look whether it is still on.",
        source="the register itself",
        subject=joint("IJ-071"),
        sentence="On since 2025-10-02, no day off on record.",
        on=day("2025-10-02"),
    ),
    *(
        Finding(
            kind="instrument_lapsed",
            gravity="look",
            next_step="Load the certificate.",
            source="the register itself",
            subject=joint(f"IJ-1{number:02}"),
            sentence="Meter M-07, certificate ended 2025-03-31.",
            on=day("2025-04-02"),
        )
        for number in range(7)
    ),
)
LOOKED_FOR = ("missed_year", "copied_reading", "position_doubt")


@pytest.fixture
def index() -> IndexPage:
    """The three ways in and findings of five kinds."""
    return IndexPage(
        frame=frame(),
        summary="118 joints on 31 electrical boundaries; 2 boundaries shorted, "
        "9 lines past the last allowed day.",
        verdict_counts=tuple(
            (sign(word), count)
            for word, count in zip(GLYPHS, (84, 6, 3, 11, 14), strict=True)
        ),
        doors=(
            Door(
                user="integrity_engineer",
                ways=(
                    WayIn(link=Link("Map", "map.html"), count=118, unit="joints"),
                    WayIn(
                        link=Link("Boundaries", "boundaries/index.html"),
                        count=31,
                        unit="boundaries",
                        sentence="state, suspects, what is one metal now",
                    ),
                ),
            ),
            Door(
                user="planner",
                ways=(
                    WayIn(link=Link("Due list", "due.html"), count=96, unit="lines"),
                    WayIn(link=Link("June 2026", "months/2026-06/index.html")),
                ),
            ),
            Door(
                user="auditor",
                ways=(
                    WayIn(
                        link=Link("Findings", "findings.html"),
                        count=len(FINDINGS),
                        unit="findings",
                    ),
                    WayIn(
                        link=Link("Awaiting decision", "held.html"),
                        count=2,
                        unit="values",
                    ),
                ),
            ),
        ),
        findings=FINDINGS,
        looked_for=LOOKED_FOR,
    )


@pytest.fixture
def findings() -> FindingsPage:
    """The same findings in full."""
    return FindingsPage(frame=frame(), findings=FINDINGS, looked_for=LOOKED_FOR)


@pytest.fixture
def held() -> HeldPage:
    """Two values, one of them without a proposal."""
    return HeldPage(
        frame=frame(),
        how_to="Accept or refuse: jointmap waiting SITE --accept 1 --reason TEXT",
        rows=(
            HeldRow(
                number=1,
                subject=joint("IJ-064"),
                field="position",
                value="-41.87, 31.40",
                sentence="Latitude and longitude look swapped: off the site as given, "
                "on the line when swapped.",
                proposal="31.40, -41.87",
                origin="joints_contractor_south.csv:4",
                waiting_since_on=day("2025-03-01"),
            ),
            HeldRow(
                number=2,
                subject=Link("IJ-O12"),
                field="tag",
                value="IJ-O12",
                sentence="Looks like IJ-012: letter O for zero.",
            ),
        ),
    )


@pytest.fixture
def sources() -> SourcesPage:
    """A rule and a limit in force."""
    return SourcesPage(
        frame=frame(),
        rules=(
            RuleRow(
                name="yearly survey",
                applies_to="joints, protection",
                sentence="Once each calendar year, at most 15 months apart.",
                basis="law",
                source="49 CFR 192.465(a)",
                edition="2021",
                mark="seen",
                from_on=day("2016-01-01"),
                decision="D-1",
            ),
        ),
        limits=(
            LimitRow(
                name="jetty 1000 ohm",
                method="ohmmeter",
                purpose="ship/shore",
                role="isolating at least",
                value="1,000 ohm",
                source="ISGOTT 17.5.5.2",
                mark="seen",
                from_on=day("2016-01-01"),
            ),
        ),
    )


@pytest.fixture
def dossiers() -> DossiersPage:
    """Two joints, one of them without anything but a tag and a boundary."""
    return DossiersPage(
        frame=frame("../"),
        rows=(
            DossierLine(
                tag=Link("IJ-012", "dossiers/IJ-012.html"),
                verdict=sign("isolating"),
                boundary=boundary_link("TM-B02"),
                state="in duty",
                area="Terminal",
                aliases="IF-12",
                last_test_on=day("2026-04-17"),
                last_allowed_on=day("2027-04-17"),
                due_state=Sign("in time"),
            ),
            DossierLine(
                tag=Link("IJ-999", "dossiers/IJ-999.html"),
                verdict=Sign(),
                boundary=boundary_link("TM-B02"),
                state="planned",
            ),
        ),
    )


@pytest.fixture
def worksheet() -> Worksheet:
    """A two-side kit of 8 studs, with an older name."""
    return Worksheet(
        frame=frame(),
        tag="IJ-050",
        aliases="IF-12",
        kind="flange kit",
        sides="Side A: S4. Side B: plant earth.",
        boundary="KP-B07, protection",
        code=line_code("IJ-050"),
        fitted=(Fact("serial", "2146"), Fact("stud_count", "8")),
        cautions=("Measure AC first, each side to ground and between the sides.",),
        steps=("Both faces clean.", "Prove each stud."),
        numbers=(
            NumberRow("least stud length", "118.6 mm", "4.669 in"),
            NumberRow("hole offset", "", "", "not in our tables"),
        ),
        kit_note="Kit's sheet governs.",
        scheme="thirds",
        scheme_source="common practice, no source",
        passes=(PassRow(1, "cross", "33.3 %", "90", "66"),),
        clock=worksheet_clock((1, 5, 3, 7, 2, 6, 4, 8)),
        turns=(1, 5, 3, 7, 2, 6, 4, 8),
        stud_note="Near zero to side B is by design.",
        whole=("flange A to flange B",),
        blanks=("lubricant",),
    )


@pytest.fixture
def bare_worksheet() -> Worksheet:
    """A union: no kit, no studs, no older name, nothing known of what is fitted."""
    return Worksheet(
        frame=frame(),
        tag="IJ-099",
        aliases="",
        kind="union",
        sides="Side A: mains. Side B: house 1.",
        boundary="AR-B01, service line",
        code=line_code("IJ-099"),
        fitted=(),
        cautions=(),
        steps=("Test on the bench, dry.",),
    )


@pytest.fixture
def handover() -> HandoverPage:
    """One joint that meets, one with an open point, one with an exception."""
    rows = tuple(
        HandoverRow(
            joint=Link(f"IJ-0{57 + n}"),
            contractor="Contractor South",
            serial=str(2659 + n),
            fitted_on=day("2023-09-14"),
            meets=27,
            fails=int(n > 0),
            punch_list=("wrong lubricant",) * (n > 0),
            exceptions=("E1 on 2023-10-01: next shutdown",) * (n > 1),
        )
        for n in range(3)
    )
    return HandoverPage(
        frame=frame(),
        contractor="Contractor South",
        summary="3 joints; 1 with open points.",
        contractors=(
            ContractorRow(
                name="Contractor South", joints=3, on_record="100 %", fails=2, open=1
            ),
        ),
        rows=rows,
        submissions=(
            SubmissionRow(
                sha256="ab" * 32, what="Contractor South", on=day("2023-10-06"), by="C1"
            ),
        ),
    )


@pytest.fixture
def predicted() -> PredictedPage:
    """A model with a quarter inside the band and one outside, and a curve."""
    return PredictedPage(
        frame=frame(),
        model="Chances by failure model learned of 2026-05-15.",
        quarters=(
            QuarterRow(
                begins_on=day("2026-01-01"),
                tests=35,
                predicted=3.15,
                found=3,
                low=0,
                high=7,
            ),
            QuarterRow(
                begins_on=day("2026-04-01"),
                tests=20,
                predicted=0.2,
                found=6,
                low=0,
                high=1,
                outside=True,
            ),
        ),
        classes=(
            ClassRow(
                kind="device",
                name="flange kit, harsh",
                rate=0.0318,
                failures=6.8,
                joint_years=128,
                own=True,
            ),
            ClassRow(
                kind="device",
                name="union, mild",
                rate=0.0038,
                failures=0.3,
                joint_years=367,
                own=False,
            ),
        ),
        ageing=("Devices buried: hazard grows with age to the power 1.83.",),
        early=("Batch 19-07: 7 of 24 fell under their limit within 3 years.",),
        curve=Markup('<svg viewBox="0 0 1 1" role="img" aria-label="curve"></svg>'),
        curve_note="Line: with no law assumed.",
    )


@pytest.fixture
def bare_predicted() -> PredictedPage:
    """A site without tests, classes, curve or early failures."""
    return PredictedPage(frame=frame(), model="Chances by the default prior.")
