"""Handing over: what is open, what was accepted, and that what was sent comes back."""

import csv
import datetime as dt
import json
import re

import pytest
from click.testing import CliRunner

from jointmap.changes.change import Change
from jointmap.changes.load import load
from jointmap.cli import main
from jointmap.errors import BrokenRegister, WrongUse
from jointmap.pages.handover_view import share_on_record
from jointmap.register import Attachment
from jointmap.reports.handover import handover_table
from jointmap.reports.views import Link
from jointmap.reports.views_handover import HandoverRow
from jointmap.storage.attachment_files import path_of
from jointmap.wording import say
from jointmap.workflows.handover import SUBMISSION, give_back, submit, write_handover
from jointmap.workflows.opening import new_site
from tests.opened_site import untried
from tests.small_site import SHEETS, write

NOW = dt.datetime(2026, 5, 15, 12, tzinfo=dt.UTC)
DAY = NOW.date()
KIT = (
    "flange kit,two-side,NPS 8,150,raised face,glass-epoxy,3 mm,glass-epoxy,0.8 mm,"
    "glass-epoxy,3 mm,3/4,8,B7,271 N·m,non-metallic paste,270 mm,220 mm"
)
PAPER = (
    "2020-01-05,{contractor},T1,W1,clean,clean,1 mm,0.2 mm,0.5 mm,28 mm,28 mm,122 mm,3,"
    "63 mm,2 mm,nut; steel; isolating; flange,{lubricant},{tool},thirds,271 N·m,90 N·m,"
    "180 N·m,271 N·m,271 N·m,bench,every stud,4,0.1 mm,5 mm,12 N·m"
)


TOOL = {"North": "TW-1", "South": "TW-2"}


def paper(tag, contractor, lubricant="non-metallic paste"):
    facts = {"lubricant": lubricant, "tool": TOOL[contractor]}
    return f"{tag},2020-01-05,{PAPER.format(contractor=contractor, **facts)}"


MORE = {
    **SHEETS,
    "people.csv": "code,role\nT1,register keeper\nA1,auditor\nW1,fitting inspector\n",
    "instruments.csv": "name,kind\nTW-1,torque wrench\nTW-2,torque wrench\n",
    "certificates.csv": "instrument,number,valid_from_on,valid_until_on\n"
    "TW-1,C-1,2019-06-01,2020-06-01\n",
    "joints.csv": SHEETS["joints.csv"] + "J-3,B-1,East,in duty,2020-01-10,31.4,-41.9\n",
    "devices.csv": "joint,fitted_on,kind,layout,nominal_size,pressure_class,facing,"
    "gasket_material,gasket_thickness,sleeve_material,sleeve_thickness,washer_material,"
    "washer_thickness,stud_size,stud_count,stud_grade,torque_target,lubricant_allowed,"
    "gasket_outside,gasket_inside\n"
    + "".join(f"J-{n},2020-01-05,{KIT}\n" for n in (1, 2, 3)),
    "installations.csv": "joint,device_fitted_on,installed_on,contractor,fitter,"
    "witness,face_a,face_b,centreline_offset,parallelism,hole_offset,flange_thickness_a,"
    "flange_thickness_b,stud_length,threads_past_nut,sleeve_length,sleeve_projection,"
    "washer_order,lubricant,torque_tool,tightening_scheme,torque_target,pass_1,pass_2,"
    "pass_3,pass_4,tests_before,tests_after,photos,face_flatness,gap_at_rest,draw_up\n"
    f"{paper('J-1', 'North', 'copper paste')}\n{paper('J-2', 'South')}\n",
}
JOINT_HEAD = SHEETS["joints.csv"].splitlines()[0] + "\n"
EXCEPTION = (
    "number,decided_on,kind,person,second_person,subject,subject_key,why,until_on\n"
)


@pytest.fixture
def site(tmp_path):
    """J-1 by North with copper paste, J-2 by South and sound, J-3 without a record.

    North's wrench was in date, of South's nothing is known.
    """
    made = untried(new_site(tmp_path / "site", "SML", bytes(32)))
    folder = write(tmp_path / "sheets", MORE)
    report = load(made, [folder], now=NOW, by="T1", reason="start", rules=True)
    assert report.is_clean, report
    yield made
    made.register.close()


def handed(site, out, contractor=None, on=DAY):
    return write_handover(site, out, on=on, known=None, contractor=contractor)


def lines(out):
    with (out / "handover.csv").open(encoding="utf-8", newline="") as file:
        return {row["joint"]: row for row in csv.DictReader(file)}


def test_each_contractor_answers_for_its_own(site, tmp_path):
    assert handed(site, tmp_path / "out", "South").open == 0
    assert [*lines(tmp_path / "out")] == ["J-2"]
    assert (
        say("handover.nothing_open") in (tmp_path / "out" / "handover.html").read_text()
    )
    assert handed(site, tmp_path / "out", "North").open == 1
    found = lines(tmp_path / "out")["J-1"]
    assert found["open"].startswith("wrong lubricant: 'copper paste' names copper")
    assert (found["does_not_meet"], found["not_recorded"]) == ("1", "0")


def test_all_together_name_what_has_no_record(site, tmp_path):
    assert handed(site, tmp_path / "out").open == 2
    found = lines(tmp_path / "out")
    assert found["J-3"]["open"] == "no fitting record"
    assert found["J-3"]["contractor"] == "no contractor named"
    page = (tmp_path / "out" / "handover.html").read_text(encoding="utf-8")
    assert "3 joints; 2 with open points, 0 with an accepted exception. 100 %" in page


def test_before_the_work_there_is_nothing(site, tmp_path):
    assert handed(site, tmp_path / "out", on=dt.date(2019, 1, 1)).open == 0
    assert lines(tmp_path / "out") == {}


def test_an_unknown_contractor_is_told_who_is_known(site, tmp_path):
    with pytest.raises(WrongUse) as caught:
        handed(site, tmp_path / "out", "West")
    assert caught.value.problems[0].values["known"] == "North, South"


@pytest.mark.parametrize(
    ("until", "is_open", "told"),
    [
        ("", 0, "T1 on 2026-05-01: next shutdown"),
        ("2026-12-31", 0, "T1 on 2026-05-01, until 2026-12-31: next shutdown"),
        ("2026-05-14", 1, ""),
    ],
)
def test_an_accepted_exception_closes_until_it_ends(
    site, tmp_path, until, is_open, told
):
    rows = f"D-1,2026-05-01,accepted exception,T1,A1,joint,J-1,next shutdown,{until}\n"
    rows += "D-2,2026-05-01,released,T1,,joint,J-2,no crew,\n"
    sent = write(tmp_path / "more", {"decisions.csv": EXCEPTION + rows})
    load(site, [sent], now=NOW, by="T1", reason="decided")
    assert handed(site, tmp_path / "out", "North").open == is_open
    assert lines(tmp_path / "out")["J-1"]["exceptions"] == told


def test_what_was_sent_comes_back_byte_for_byte_though_records_change(site, tmp_path):
    handed(site, tmp_path / "a", "North")
    sent = (tmp_path / "a" / SUBMISSION).read_bytes()
    change = Change(DAY, NOW, "T1", "end of works")
    told = submit(site, tmp_path / "a", "North", change)
    sha256 = re.search("[0-9a-f]{64}", told)[0]
    with pytest.raises(WrongUse):
        submit(site, tmp_path / "a", "North", change)
    better = MORE["installations.csv"].replace("copper paste", "non-metallic paste")
    better = better.replace("draw_up\n", "draw_up,correction_reason\n")
    better = better.replace("12 N·m\n", "12 N·m,read from the drum\n")
    fixed = write(tmp_path / "fix", {"installations.csv": better})
    load(site, [fixed], now=NOW, by="T1", reason="right name")
    assert handed(site, tmp_path / "b", "North").open == 0
    back = give_back(site, sha256[:12], tmp_path / "c")
    assert back.index.read_bytes() == sent != (tmp_path / "b" / SUBMISSION).read_bytes()
    held = json.loads(sent)
    assert held["installations"][0]["lubricant"] == "copper paste"
    assert held["fingerprint"].startswith("1-")
    page = (tmp_path / "b" / "handover.html").read_text(encoding="utf-8")
    assert sha256 in page


def test_a_submission_that_is_gone_altered_or_never_was(site, tmp_path):
    with pytest.raises(WrongUse) as caught:
        give_back(site, "", tmp_path)
    assert caught.value.problems[0].values["kept"] == "none"
    with site.register.write(NOW, "T1", "a photo") as job:
        photo = {"sha256": "ab" * 32, "media_type": "image/png", "size_bytes": 1}
        job.add(Attachment(**photo, subject="joint", subject_key="J-1", view="side A"))
    handed(site, tmp_path / "a")
    told = submit(site, tmp_path / "a", None, Change(DAY, NOW, "T1", "end of works"))
    sha256 = re.search("[0-9a-f]{64}", told)[0]
    path_of(site.path, sha256).write_text("better words")
    with pytest.raises(BrokenRegister):
        give_back(site, sha256, tmp_path)


def test_the_share_on_record_leaves_out_what_tables_lack():
    row = {"joint": Link("J"), "contractor": "=N", "serial": "-1", "fitted_on": DAY}
    rows = [HandoverRow(**row, meets=2, fails=1, blank=1, table=5)]
    assert share_on_record(rows) == 0.75
    assert share_on_record([HandoverRow(**row)]) == share_on_record([]) == 0.0
    # What a spreadsheet would run is no longer run.
    assert handover_table(rows).splitlines()[1].startswith("J,'-1,'=N,")


@pytest.fixture
def run(site):
    """``run(words)``: a command of this site, in this process, on the fixed day."""
    site.register.close()

    def ran(command, *words):
        asked = [command, site.path, *words]
        return CliRunner().invoke(main, [str(word) for word in asked])

    return ran


def test_the_command_ends_with_what_is_open(run, tmp_path):
    to = ("--out", tmp_path / "out", "--on", DAY)
    assert run("handover", *to, "--contractor", "South").exit_code == 0
    assert run("handover", *to).exit_code == 1
    assert run("handover", *to, "--submit").exit_code == 2


def test_the_command_keeps_and_gives_back(run, tmp_path):
    to = ("--out", tmp_path / "out", "--on", DAY)
    kept = run("handover", *to, "--submit", "--by", "T1", "--reason", "end of works")
    short = re.search("--as-sent ([0-9a-f]+)", kept.output)[1]
    back = run("handover", "--out", tmp_path / "back", "--as-sent", short)
    assert back.exit_code == 0
    assert back.output.strip() == str(tmp_path / "back" / SUBMISSION)


def test_the_command_writes_a_sheet_per_tag(run, tmp_path):
    done = run("worksheet", "J-1", "j-2", "--out", tmp_path, "--on", DAY)
    assert done.exit_code == 0, done.output
    assert [(tmp_path / f"J-{n}.pdf").read_bytes()[:5] for n in (1, 2)] == [
        b"%PDF-"
    ] * 2
    none = run("worksheet", "J-9", "--out", tmp_path)
    assert none.exit_code == 2
    assert "J-1" in none.output


@pytest.mark.parametrize(("name", "start"), [("s.pdf", b"%PDF-"), ("s.HTML", b"<!d")])
def test_the_command_writes_the_one_file_that_is_named(run, tmp_path, name, start):
    out = tmp_path / "new" / name
    done = run("worksheet", "J-1", "--out", out, "--on", DAY)
    assert (done.exit_code, done.output.strip()) == (0, str(out))
    assert out.read_bytes()[: len(start)].lower() == start.lower()
    assert [*out.parent.iterdir()] == [out]


def test_one_file_for_two_joints_is_refused(run, tmp_path):
    done = run("worksheet", "J-1", "J-2", "--out", tmp_path / "s.pdf")
    assert done.exit_code == 2
    assert "s.pdf is one file, but 2 joints are asked for" in done.output
    assert [*tmp_path.glob("*.pdf")] == []


def test_a_joint_without_a_device_has_no_sheet(site, run, tmp_path):
    more = {"joints.csv": JOINT_HEAD + "J-4,B-1,East,planned,,31.4,-41.9\n"}
    load(site, [write(tmp_path / "j4", more)], now=NOW, by="T1", reason="planned")
    done = run("worksheet", "J-4", "--out", tmp_path)
    assert done.exit_code == 2
    assert "no device on record at J-4" in done.output
