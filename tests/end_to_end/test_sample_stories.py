"""What the demo's pages show without hunting: the stories of the sample site."""

import csv

import pytest

from tests.command_line import jointmap
from tests.reading_pages import part, words

# (page, what it says): the story's number in docs/explanation/sample_site.md.
TOLD = [
    (1, "dossiers/IJ-050.html", "stud 3 isolating on 1 of 2 sides"),
    (1, "dossiers/IJ-077.html", "stud 8 isolating on 1 of 2 sides"),
    (1, "dossiers/IJ-054.html", "19-07"),
    (2, "index.html", "KP-B03 : shorted since a bad test on 2026-04-14 (last good:"
     " 2025-04-09); suspects: 4; no joint is called shorted for it"),
    (2, "boundaries/KP-B03.html", "IT-32"),
    (3, "dossiers/IJ-018.html", "no counting test in 2024; the limit was 2024-12-31"),
    (3, "dossiers/IJ-018.html", "gap in months was kept, the calendar year was not"),
    (3, "dossiers/IJ-018.html", "gate locked"),
    (4, "dossiers/IJ-057.html", "'nickel anti-seize' names nickel, which conducts"),
    (4, "dossiers/IJ-059.html", "as usual"),
    (5, "held.html", "The two numbers look swapped"),
    (5, "held.html", "the neighbouring zone, EPSG:32623"),
    (6, "held.html", "A difference of datum is the likely cause"),
    (7, "dossiers/IJ-088.html", "38 %"),
    (8, "boundaries/KP-B05.html", "SD-44"),
    (9, "index.html", "TB-71 fitted 2025-10-02, no removal on record"),
    (9, "boundaries/PL-B05.html", "cause found: TB-71"),
    (10, "findings.html", "8 of 11 readings by T2 on 2025-06-03 equal the"),
    (10, "findings.html", "read IJ-010 and IJ-084 on 2025-06-03"),
    (11, "dossiers/IJ-011.html", "with M-07, certificate ended before"),
    (11, "dossiers/IJ-011.html", "D-2025-02"),
    (12, "dossiers/IJ-012.html", "IF-12"),
    (13, "dossiers/IJ-027.html", "stud 5 isolating on 1 of 2 sides"),
    (15, "boundaries/PL-B03.html", "D-2024-07"),
    (15, "boundaries/PL-B03.html", "2026-06-30"),
    (16, "findings.html", "6 shorted first seen in Alder Row between 2026-03-02"),
    (17, "dossiers/IJ-001.html", "painting"),
    (18, "held.html", "200 No unit. Write which of these is meant: N·m"),
    (19, "dossiers/IJ-040.html", "Potential shift"),
    (20, "dossiers/IJ-011.html", "one-side-a"),
    (22, "dossiers/IJ-118.html", "a tenth of the separately protected sections each"),
    (22, "sources.html", "A tenth of the separately protected sections each calendar"),
    (23, "due.html", "No date while out of use since 2024-12-11: tested 2024-12-03"),
    (23, "sources.html", "where they run out while out of use, before the next use"),
    (24, "dossiers/IJ-117.html", "repair not proved"),
    (25, "boundaries/KP-B03.html", "fix by KP-B03 2026-04-14 2026-11-05 174 days left"),
]  # fmt: skip
DOUBTFUL_PLACES = [
    "IJ-030", "IJ-034", "IJ-035", "IJ-036", "IJ-037", "IJ-038", "IJ-047", "IJ-061",
    "IJ-081",
]  # fmt: skip


@pytest.fixture(scope="module")
def due(pages):
    with (pages / "due.csv").open(encoding="utf-8", newline="") as file:
        return {r["subject"]: r for r in csv.DictReader(file)}


@pytest.mark.parametrize(("story", "page", "says"), TOLD)
def test_story_is_told_by_a_page(pages, story, page, says):
    assert says in words(pages / page), f"story {story}"


def test_no_joint_of_a_shorted_boundary_is_called_shorted(due):
    joints = [r for r in due.values() if r["kind"] == "joint"]
    assert {r["verdict"] for r in joints if r["boundary"] == "KP-B03"} == {
        "inconclusive"
    }
    assert [r["subject"] for r in joints if r["verdict"] == "shorted"] == []


def test_one_side_kits_are_healthy(pages, due):
    terminal = [f"IJ-{n:03d}" for n in range(11, 27)]
    assert {due[t]["verdict"] for t in terminal} == {"isolating"}
    named = part(pages / "findings.html", "stud_one_side")
    assert [t for t in terminal if t in named] == []


def test_a_bond_out_of_use_has_a_rule_and_no_date(pages, due):
    assert due["RB-02"]["last_allowed_on"] == ""
    assert due["RB-02"]["state"] == "before next use"
    assert "RB-02" not in part(pages / "findings.html", "no_basis")
    assert "tested before it is used again" in words(pages / "due.html")


@pytest.mark.parametrize("tag", DOUBTFUL_PLACES)
def test_joint_with_a_doubtful_position_has_its_date_all_the_same(pages, due, tag):
    assert due[tag]["last_allowed_on"]
    assert due[tag]["state"] not in ("no basis", "before next use")
    assert tag in words(pages / "held.html")
    assert tag in part(pages / "findings.html", "position_doubt")


def test_those_are_all_positions_in_doubt(pages):
    found = part(pages / "findings.html", "position_doubt").count("<tr") - 1
    assert found == len(DOUBTFUL_PLACES)


def test_temporary_bond_is_past_its_limit(due):
    assert due["TB-71"]["state"] == "past the limit"
    assert due["TB-71"]["last_allowed_on"] == "2025-11-02"


def test_wrong_lubricant_shortens_the_interval(due):
    assert "wrong lubricant" in due["IJ-057"]["because"]
    assert due["IJ-057"]["basis"] == "condition"


def test_a_page_is_marked_as_training_data(pages):
    for page in ("index.html", "dossiers/IJ-001.html", "boundaries/KP-B03.html"):
        assert "all data are invented" in words(pages / page)


@pytest.mark.parametrize(
    ("known", "shows", "hides"),
    [
        # The sheet of 2024 had IJ-027 and IJ-028 crossed over until 2025-04-25.
        ("2025-04-24", "2024-04-10", "Corrections of values"),
        ("2026-05-15", "2024-04-10", ""),
    ],
)
def test_dossier_as_known_on_an_earlier_day(demo, known, shows, hides):
    ran = jointmap("dossier", demo / "site", "IJ-027", "--known", known)
    assert ran.code == 0
    assert f"as known on {known}"[:12] in ran.out
    assert shows in ran.out
    assert not hides or hides not in ran.out


def csv_of(demo, *words_):
    ran = jointmap("due", demo / "site", "--format", "csv", *words_)
    assert ran.code == 0
    return {r["subject"]: r for r in csv.DictReader(ran.out.splitlines())}


def test_due_list_as_known_before_the_reading_came_in(demo, due):
    before = csv_of(demo, "--known", "2026-04-01")
    assert before["IJ-031"]["verdict"] == "isolating"
    assert due["IJ-031"]["verdict"] == "inconclusive"
    assert before["IJ-031"]["last_test_on"] == "2025-04-09"


def test_state_of_an_earlier_day_counts_no_later_test(demo):
    then = csv_of(demo, "--on", "2025-04-08")
    days = [r["last_test_on"] for r in then.values() if r["last_test_on"]]
    assert max(days) <= "2025-04-08"


def test_value_before_its_correction(demo, tmp_path):
    for known, name in (("2024-06-15", "old.html"), ("2026-05-15", "new.html")):
        out = tmp_path / name
        words_ = ("dossier", demo / "site", "IJ-031", "--known", known, "--out", out)
        assert jointmap(*words_).code == 0
    old, new = words(tmp_path / "old.html"), words(tmp_path / "new.html")
    assert "as known on 2024-06-14" in old or "as known on 2024-06-15" in old
    assert old != new


@pytest.mark.parametrize("old_name", ["IF-12"])
def test_an_older_name_opens_the_joint(demo, old_name):
    ran = jointmap("why", demo / "site", old_name)
    assert ran.code == 0
    assert ran.out.startswith("IJ-012 ")
