"""Facts that hold from a day until a day: each day and each test by its own facts."""

import datetime as dt
from pathlib import Path

import pytest

from jointmap.assessment.assess import assess
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.changes.alter import alter
from jointmap.changes.change import Change
from jointmap.changes.load import load
from jointmap.changes.retire_joint import Way, retire
from jointmap.changes.revise import revise
from jointmap.changes.see_change import see
from jointmap.errors import JointmapError, Refused
from jointmap.pages.asked import assessed, assessed_part, of_life
from jointmap.pages.dossier.page import one_dossier
from jointmap.pages.dossier.place import NEIGHBOUR_METRE
from jointmap.pages.showing import Showing
from jointmap.register import Altered, Boundary, CurrentSource, Joint, form_of
from jointmap.register.altered import ALTERABLE, ALTERED_KINDS
from jointmap.register.codes import DueState, JointState, Purpose, Subject, Verdict
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.storage.verifying.checking import check_register
from jointmap.wording.problems import line_of
from jointmap.workflows.late import late_shown
from jointmap.workflows.opening import new_site
from jointmap.workflows.why import why_text
from tests.opened_site import findings, sent, untried, waiting_lines
from tests.small_site import SHEETS, write

LOADED = dt.datetime(2025, 4, 1, 12, tzinfo=dt.UTC)
DAY = dt.timedelta(days=1)
MAY, JUNE = dt.date(2025, 5, 1), dt.date(2025, 6, 1)
CONDITIONS = "interrupted_side,sources_cycling,sources_steady,cycles"
MORE = {
    "boundaries_more.csv": "name,structure_a,structure_b,purpose\n"
    "B-2,S2,Plant,protection\n",
    "structures_more.csv": "name,kind,is_protected\nS2,pipeline section,yes\n",
    "sources.csv": "name,structure,kind,can_be_interrupted\nR1,S1,rectifier,yes\n"
    "R2,S2,rectifier,yes\n",
    "joints_more.csv": "tag,boundary,area,state,in_duty_on\n"
    "J-3,B-2,West,in duty,2020-01-10\n",
    "devices_more.csv": "joint,fitted_on,kind,layout,stud_count\n"
    "J-3,2020-01-05,flange kit,two-side,8\n",
    "tests_more.csv": "scope,joint,tested_on,method,stage,outcome,indication\n"
    "joint,J-3,2025-03-02,radio-frequency,routine,measured,no short\n",
}


def change(on=MAY, days=1, **more):
    facts = {"on": on, "now": LOADED + days * DAY, "by": "T1", "reason": "a reason"}
    facts["second"] = "A1"
    return Change(**{**facts, **more})


@pytest.fixture
def site(tmp_path):
    """The small site with another boundary, a current source and a local test."""
    made = untried(new_site(tmp_path / "site", "SML", b"k" * 32))
    tests = SHEETS["tests.csv"].replace("a_on,", f"{CONDITIONS},a_on,")
    tests = tests.replace("measured,", "measured,A,R1,none,3,")
    folder = write(tmp_path / "sheets", {**SHEETS, **MORE, "tests.csv": tests})
    report = load(made, [folder], now=LOADED, by="T1", reason="first", rules=True)
    assert report.refused == []
    yield made
    assert check_register(made.register, made.path).problems == ()
    made.register.close()


def told(refused):
    return " ".join(line_of(p) for p in refused.value.problems)


def judged(site, on):
    """Return verdict, last allowed day and due state of each joint, by its tag."""
    with snapshot_of(site.register) as state:
        found = assess(state.on_day(on), on)
        seen = SiteOnDay(found)
        rows = seen.item_rows
        return {
            joint.tag: (
                Verdict.at(int(found.joints.verdict[seen.joint_rows[id_]])),
                found.items.last_allowed_on[rows[Subject.JOINT.code, id_]].item(),
                DueState.at(int(found.items.state[rows[Subject.JOINT.code, id_]])),
            )
            for id_, joint in state.joints.items()
        }


def read(site, on, kind, id_):
    with site.register.read() as state:
        return state.on_day(on).records(kind)[id_]


def test_what_was_done_is_told(site):
    assert alter(site, "joint", "j-3", {"is_buried": "yes"}, change()) == [
        "joint 'J-3': is buried was no, is yes",
        "1 fact as before until 2025-05-01, the first day of what is recorded now;"
        " days before it are judged as before",
    ]
    with site.register.read() as state:
        assert list(state.records(Altered).values()) == [
            Altered(
                subject=Subject.JOINT,
                subject_id=3,
                column="is_buried",
                until_on=MAY,
                was="no",
            )
        ]
        assert state.last.row_count == 2


def test_a_test_is_judged_by_what_was_buried_on_its_day(site):
    before = judged(site, JUNE)
    assert before["J-3"][0] is Verdict.ISOLATING
    alter(site, "joint", "J-3", {"is_buried": "yes"}, change())
    assert judged(site, JUNE) == before
    assert read(site, MAY - DAY, Joint, 3).is_buried is False
    assert read(site, MAY, Joint, 3).is_buried is True


def test_a_correction_changes_the_past_too(site):
    revise(site, "joint", "J-3", {"is_buried": "yes"}, change())
    assert judged(site, JUNE)["J-3"][0] is Verdict.INCONCLUSIVE
    assert read(site, MAY - DAY, Joint, 3).is_buried is True


def test_a_day_to_come(site):
    later = dt.date(2025, 12, 1)
    alter(site, "joint", "J-3", {"is_buried": "yes"}, change(later))
    assert read(site, later - DAY, Joint, 3).is_buried is False
    assert read(site, later, Joint, 3).is_buried is True


def test_who_was_credited_stays_credited_when_its_neighbour_moves(site):
    before = judged(site, JUNE)
    assert before["J-2"][0] is Verdict.ISOLATING
    alter(site, "joint", "J-1", {"boundary": "B-2"}, change())
    assert judged(site, JUNE)["J-2"] == before["J-2"]
    assert judged(site, MAY - DAY) == before
    assert read(site, MAY - DAY, Joint, 1).boundary_id == 1
    assert read(site, MAY, Joint, 1).boundary_id == 2


def test_two_joints_change_places_on_one_day(site):
    before = judged(site, MAY - DAY)
    alter(site, "joint", "J-1", {"boundary": "B-2"}, change())
    alter(site, "joint", "J-3", {"boundary": "B-1"}, change(days=2))
    assert judged(site, MAY - DAY) == before
    found = [read(site, on, Joint, id_) for id_ in (1, 3) for on in (MAY - DAY, MAY)]
    assert [joint.boundary_id for joint in found] == [1, 2, 2, 1]


def test_one_fact_after_the_other(site):
    alter(site, "joint", "J-3", {"is_buried": "yes"}, change())
    alter(site, "joint", "J-3", {"is_buried": "no"}, change(JUNE, days=2))
    days = [MAY - DAY, MAY, JUNE - DAY, JUNE]
    found = [read(site, on, Joint, 3).is_buried for on in days]
    assert found == [False, True, True, False]


@pytest.mark.parametrize("on", [MAY, MAY - DAY])
def test_not_again_from_a_day_that_is_not_later(site, on):
    alter(site, "joint", "J-3", {"is_buried": "yes"}, change())
    with pytest.raises(JointmapError) as refused:
        alter(site, "joint", "J-3", {"is_buried": "no"}, change(on, days=2))
    assert f"'J-3' was altered in this from {MAY} already" in told(refused)
    # Another fact of the joint may be altered from that day.
    alter(site, "joint", "J-3", {"severity": "harsh"}, change(on, days=2))


@pytest.mark.parametrize(
    ("kind", "key", "given", "on", "says"),
    [
        ("joint", "J-3", {"boundary": "B-1"}, dt.date(2020, 1, 4), "2020-01-05"),
        ("joint", "J-3", {"boundary": "B-9"}, MAY, "no boundary of this name"),
        ("joint", "J-3", {"boundary": "B-2"}, MAY, "holds these values already"),
        ("joint", "J-3", {"remark": "x"}, MAY, "or has a day of its own; accepted: "),
        ("joint", "J-3", {"tag": "J-4"}, MAY, "or has a day of its own; accepted: "),
        ("joint", "J-3", {"buried": "yes"}, MAY, "unknown column; accepted: tag"),
        ("joint", "J-3", {}, MAY, "no value was given"),
        ("joint", "J-3", {"is_buried": "perhaps"}, MAY, "accepted"),
        ("joint", "J-3", {"is_buried": "yes"}, dt.date(2095, 1, 1), "until"),
        ("joint", "J-9", {"is_buried": "yes"}, MAY, "no such joint"),
        ("device", "J-3 2020-01-05", {"layout": "one-side-a"}, MAY, "change replace"),
        ("person", "T1", {"role": "auditor"}, MAY, "accepted: joint, boundary, source"),
        ("path", "P-1", {"state": "apart"}, MAY, "accepted: joint, boundary, source"),
        ("thing", "J-3", {"is_buried": "yes"}, MAY, "no such kind of record"),
    ],
)
def test_refused_with_nothing_recorded(site, kind, key, given, on, says):
    with pytest.raises(JointmapError) as refused:
        alter(site, kind, key, given, change(on))
    assert says in told(refused)
    with site.register.read() as state:
        assert len(state.entries) == 1


def test_a_second_person_where_duty_ends(site):
    given = {"state": "out of duty", "out_of_duty_on": "2025-05-01"}
    with pytest.raises(Refused) as refused:
        alter(site, "joint", "J-1", given, change(second=""))
    assert "two different persons" in told(refused)


def test_what_was_late_before_it_was_retired_stays_late(site):
    late, ended = dt.date(2026, 7, 1), dt.date(2026, 7, 5)
    before = judged(site, late)
    assert before["J-2"][2] is DueState.PAST_LIMIT
    retire(site, "J-2", Way.CUT_OUT, change(ended, days=470))
    assert judged(site, late) == before
    assert read(site, ended - DAY, Joint, 2).state is JointState.IN_DUTY
    assert read(site, ended, Joint, 2).state is JointState.REMOVED


def test_a_planned_joint_was_planned_until_it_was_let_go(site):
    revise(site, "joint", "J-3", {"state": "planned", "in_duty_on": ""}, change())
    retire(site, "J-3", Way.CUT_OUT, change(JUNE, days=70))
    assert read(site, JUNE - DAY, Joint, 3).state is JointState.PLANNED


def test_time_out_of_duty_is_kept_when_a_joint_comes_back(site):
    out, back, on = (dt.date(2026, m, 1) for m in (2, 9, 10))
    retire(site, "J-2", Way.GAP_PROVED, change(out, days=310))
    given = {"state": "in duty", "out_of_duty_on": ""}
    alter(site, "joint", "J-2", given, change(back, days=520))
    states = [read(site, d, Joint, 2).state for d in (out - DAY, out, back - DAY, back)]
    out_of_duty = [JointState.OUT_OF_DUTY] * 2
    assert states == [JointState.IN_DUTY, *out_of_duty, JointState.IN_DUTY]
    with snapshot_of(site.register) as state:
        found = SiteOnDay(assess(state.on_day(on), on))
        held = found.limits.of(Subject.JOINT, 2)
    # The limit of 2026-06-01 ran out while it was out: from 1 September it was late.
    assert held.limit_on[-1].item() == dt.date(2026, 6, 1)
    assert held.days_over[-1] == (on - back).days + 1


def test_the_purpose_of_a_boundary(site):
    before = judged(site, JUNE)
    alter(site, "boundary", "B-1", {"purpose": "sectioning"}, change())
    assert read(site, MAY - DAY, Boundary, 1).purpose is Purpose.PROTECTION
    assert read(site, MAY, Boundary, 1).purpose is Purpose.SECTIONING
    assert judged(site, JUNE)["J-1"][0] is before["J-1"][0]


def test_a_test_is_judged_by_what_the_sources_fed_on_its_day(site):
    """The shift test of March names R1 alone: R2 came to feed the same pipe in May."""
    before = judged(site, JUNE)
    alter(site, "source", "R2", {"structure": "S1"}, change())
    assert judged(site, JUNE) == before
    assert read(site, MAY - DAY, CurrentSource, 2).structure_id == 3
    given = {"also_feeds": "Plant", "usual_current": "2 A"}
    alter(site, "source", "R2", given, change(JUNE, days=2))
    source = read(site, MAY, CurrentSource, 2)
    assert (source.also_feeds, source.usual_current_ampere) == ("", None)


def test_what_a_source_fed_from_the_first_changes_the_past(site):
    revise(site, "source", "R2", {"structure": "S1"}, change())
    assert judged(site, JUNE)["J-1"][0] is Verdict.INCONCLUSIVE


def test_a_quantity_reads_as_it_was_written_then(site):
    alter(site, "joint", "J-3", {"temperature": "40 degC"}, change())
    alter(site, "joint", "J-3", {"temperature": "50 degC"}, change(JUNE, days=2))
    then, now = (read(site, on, Joint, 3) for on in (MAY, JUNE))
    assert (then.temperature_degc, then.as_written) == (
        40.0,
        '{"temperature":"40 degC"}',
    )
    assert (now.temperature_degc, now.as_written) == (50.0, '{"temperature":"50 degC"}')
    assert read(site, MAY - DAY, Joint, 3).temperature_degc is None


def dossier(site, tag, on, judge=None):
    """Return the dossier of a joint: from the whole register, or from its part."""
    reads = assessed if judge is None else assessed_part
    given = () if judge is None else (judge,)
    with reads(site, *given, on, None) as (found, frame):
        assert bool(found.state.stored.only) is (judge is not None)
        return one_dossier(Showing(found, frame), site, tag)


def test_the_dossier_tells_what_was_otherwise_and_calls_it_no_correction(site):
    alter(site, "joint", "J-3", {"boundary": "B-1", "is_buried": "yes"}, change())
    alter(site, "boundary", "B-1", {"purpose": "sectioning"}, change(days=2))
    alter(site, "joint", "J-3", {"is_buried": "no"}, change(JUNE, days=3))
    revise(site, "joint", "J-3", {"severity": "harsh"}, change(days=4))
    told = dossier(site, "J-3", JUNE)
    assert [(r.from_on, r.what, r.old, r.new) for r in told.altered] == [
        (JUNE, "joint: is buried", "yes", "no"),
        (MAY, "joint: boundary", "B-2", "B-1"),
        (MAY, "joint: is buried", "no", "yes"),
        (MAY, "boundary: purpose", "protection", "sectioning"),
    ]
    assert {(r.who, r.why) for r in told.altered} == {("T1", "a reason")}
    assert [r.what for r in told.corrections] == ["joint: severity"]
    before = dossier(site, "J-3", MAY - DAY)
    assert before.altered == ()
    assert before.place.boundary.text == "B-2"


@pytest.mark.parametrize("on", [MAY - DAY, JUNE])
@pytest.mark.parametrize("tag", ["J-1", "J-2", "J-3"])
def test_a_part_tells_of_those_that_were_moved_what_the_whole_does(site, tag, on):
    alter(site, "joint", "J-1", {"boundary": "B-2"}, change())
    alter(site, "source", "R1", {"structure": "S2"}, change(JUNE, days=2))
    part = dossier(site, tag, on, of_life(tag, NEIGHBOUR_METRE))
    assert part == dossier(site, tag, on)


def test_why_tells_what_was_otherwise_on_the_day_of_the_test(site):
    alter(site, "joint", "J-3", {"is_buried": "yes"}, change())
    alter(site, "joint", "J-3", {"severity": "harsh"}, change(dt.date(2025, 2, 1)))
    told = why_text(site, "J-3", on=JUNE, known=None, width=1000)
    assert (
        "On 2025-03-02, the day of that test, it was otherwise: joint: is buried was"
        " no, from 2025-05-01 on it is yes. The test is judged by what was then."
    ) in told
    assert told.count("it was otherwise") == 1
    alter(site, "joint", "J-2", {"fluid": "brine"}, change(days=2))
    assert "joint: fluid was none on record," in why_text(
        site, "J-2", on=JUNE, known=None, width=1000
    )
    assert "otherwise" not in why_text(site, "J-2", on=MAY - DAY, known=None)


def unseen(site, on):
    """Return what is told of corrections that no second person has seen."""
    found = findings(site, on=on)
    return [told for kind, _, told in found if kind == "correction_unseen"]


def test_who_altered_alone_is_told_from_that_day_until_another_has_seen_it(site):
    alter(site, "joint", "J-3", {"is_buried": "yes"}, change())
    revise(site, "joint", "J-3", {"severity": "harsh"}, change(days=2))
    (altered, corrected) = unseen(site, MAY)
    assert "joint J-3 (is_buried) from 2025-05-01 on" in altered
    assert "joint J-3 (severity) (reason" in corrected
    assert unseen(site, MAY - DAY) == [corrected]
    see(site, 2, change((LOADED + DAY).date(), days=3, by="A1", second=""))
    assert unseen(site, MAY) == [corrected]


def test_what_was_altered_long_ago_is_late(site):
    alter(site, "joint", "J-3", {"is_buried": "yes"}, change(dt.date(2024, 5, 1)))
    retire(site, "J-2", Way.CUT_OUT, change(dt.date(2024, 6, 1), days=2))
    text, count = late_shown(site, days=300, known=None, form="csv")
    named = [line.split(",")[0] for line in text.splitlines()[1:]]
    assert count == len(named)
    assert [n for n in named if n in {"alteration", "end of joint"}] == [
        "alteration",
        "end of joint",
    ]


def test_a_delivery_that_says_otherwise_waits_and_names_both_ways(site):
    head = "tag,boundary,area,state,is_buried,in_duty_on\n"
    row = "J-3,B-2,East,in duty,yes,2020-01-10\n"
    sent(site, {"joints.csv": head + row}, LOADED + DAY)
    area, buried = waiting_lines(site)
    assert "area: East  differs from the record (West)" in area
    assert "change alter" not in area
    assert "is_buried: yes  differs from the record (no)" in buried
    assert "use 'jointmap change alter' with that day" in buried


def test_the_page_names_every_column_that_may_be_altered():
    page = Path(__file__).parents[3] / "docs" / "how_to" / "alter_a_fact.md"
    text = page.read_text(encoding="utf-8")
    labels = {
        c.label
        for kind, (_, record) in ALTERED_KINDS.items()
        for c in form_of(record).columns
        if c.name in ALTERABLE[kind]
    }
    assert {label for label in labels if f"`{label}`" not in text} == set()
