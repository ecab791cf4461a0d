"""What the published pages tell of boundaries: state, cause, chances, what to do."""

import csv
import io
import re

import pytest

from tests.command_line import jointmap
from tests.reading_pages import words

# (story's number, page, what it says)
TOLD = [
    (2, "boundaries/KP-B03.html", "Boundary shorted, suspects: 4. No joint is called"),
    (2, "boundaries/KP-B03.html", "S2, S3 are one metal now"),
    (2, "boundaries/KP-B03.html", "decide by KP-B03 2026-04-14 2026-04-28 over by 17"),
    (2, "boundaries/KP-B03.html", "R2 6.8 A on 2026-05-12"),
    (2, "boundaries/KP-B03.html", "2.7 A more than the design"),
    (2, "boundaries/KP-B03-statement.html", "IT-32"),
    (2, "dossiers/IJ-031.html", "one of 4 suspects"),
    (2, "dossiers/IJ-031.html", "decide by KP-B03 2026-04-14 2026-04-28 over by 17"),
    (2, "due.html", "decide by KP-B03 2026-04-14 2026-04-28 over by 17"),
    ("leads", "dossiers/IJ-038.html", "leads that nobody has proved"),
    ("leads", "dossiers/IJ-038.html", "Due 2026-06-04: tested 2025-03-04"),
    (2, "boundaries/KP-B03.html", "New on 2025-11-18, after the last good reading"),
    (6, "held.html", "A difference of datum is the likely cause"),
    (8, "boundaries/KP-B05.html", "Isolating at every place that was read"),
    (8, "boundaries/KP-B05.html", "SD-44 surge protective device joining"),
    (9, "boundaries/PL-B05.html", "Found: TB-71"),
    (9, "boundaries/PL-B05.html", "plan by PL-B05 2025-10-02 2026-04-02 over by 43"),
    (15, "boundaries/PL-B03.html", "Joined on purpose by D-2024-07"),
    (15, "boundaries/PL-B03.html", "Verdict: joined on purpose"),
    (15, "boundaries/PL-B03.html", "joined on purpose until 2026-06-30, so nobody is"),
    (15, "boundaries/PL-B03-statement.html", "until 2026-06-30, so nobody is suspec"),
    (15, "boundaries/PL-B03.html", "joining IJ-063 2024-06-03 to still on 2026-04-22"),
    (15, "boundaries/PL-B03.html", "EP, DR, HG are one metal now"),
    (16, "boundaries/MT-B14.html", "Clamp ammeter on the riser"),
    (16, "boundaries/MT-B14.html", "6 shorted first seen in Alder Row"),
    (16, "dossiers/IJ-112.html", "it is the only suspect on record"),
    (16, "findings.html", "6 shorted first seen in Alder Row"),
    (17, "dossiers/IJ-003.html", "not to be used for transfer from 2026-04-21"),
    (17, "boundaries/JT-B01.html", "A reading lies between the limits"),
    (17, "boundaries/JT-B01-statement.html", "IJ-003, 2026-04-21: 640 ohm"),
    (17, "boundaries/JT-B01-statement.html", "not to be used for transfer"),
    (19, "dossiers/IJ-040.html", "Tested again on 2026-04-16, but not decided: Both"),
    (19, "dossiers/IJ-040.html", "balanced or joined, this method cannot tell"),
    (19, "boundaries/KP-B06.html", "Isolating at every place that was read"),
    (20, "dossiers/IJ-012.html", "no washer on side B: near zero there is how it is"),
    (20, "boundaries/TM-B01.html", "Isolating at every place that was read"),
]  # fmt: skip


@pytest.mark.parametrize(("story", "page", "says"), TOLD)
def test_story_of_a_boundary_is_told_by_a_page(pages, story, page, says):
    assert says in words(pages / page), f"story {story}"


def test_the_tube_run_anew_is_the_first_suspect_and_the_first_check(demo):
    told = jointmap("boundary", demo / "site", "KP-B03").out
    chances = re.findall(r"suspect (\S+) \(.*?\), ([\d.]+) %", told)
    assert chances[0][0] == "IT-32"
    assert float(chances[0][1]) > 50
    left = float(re.search(r"not on record: ([\d.]+) %", told)[1])
    assert sum(float(c) for _, c in chances) + left == pytest.approx(100, abs=0.3)
    checks = re.findall(r"check (\d+): (\S+): (.*)", told)
    assert checks[0][1] == "IT-32"
    # Outside the kit first; what lifts protection is held back without an AC reading.
    inside = [int(n) for n, _, what in checks if "Radio-frequency" in what]
    outside = [int(n) for n, _, what in checks if "lamp ammeter" in what]
    assert max(outside) < min(inside)
    lifted = told.split("Lift its lead")[1]
    assert "not now: no AC reading of this boundary is on record" in lifted
    assert "put the lead back" in lifted


def test_sections_with_more_current_than_designed_name_where_to_look(pages):
    found = words(pages / "findings.html")
    assert "S2 draws 6.8 A" in found
    assert "Look at: KP-B03" in found


def test_nothing_is_saved_by_asking_what_would_merge(demo):
    register = demo / "site" / "register.sqlite"
    before = register.read_bytes()
    told = jointmap("boundary", demo / "site", "--if-shorts", "IJ-041")
    assert told.code == 0
    assert "KP-B07 is joined and these are one metal: S4, EP, DR, HG" in told.out
    assert register.read_bytes() == before


def test_halving_of_the_mains_cuts_nobody_off(demo):
    told = jointmap("boundary", demo / "site", "--halve", "TN").out
    assert "TN: 19 services in order; at most 6 readings" in told
    assert "no customer is cut off" in told
    assert jointmap("boundary", demo / "site", "--halve", "nowhere").code == 2


def test_a_structure_without_services_cannot_be_halved(demo):
    ran = jointmap("boundary", demo / "site", "--halve", "S2")
    assert (ran.code, ran.out) == (2, "")
    assert "S2 is no main with services" in ran.err


@pytest.mark.parametrize("suffix", [".html", ".pdf"])
def test_a_statement_is_written_and_the_same_each_time(demo, tmp_path, suffix):
    files = [tmp_path / f"{n}{suffix}" for n in "ab"]
    for file in files:
        ran = jointmap("boundary", demo / "site", "KP-B03", "--out", file)
        assert ran.code == 0
    assert files[0].read_bytes() == files[1].read_bytes()
    if suffix == ".pdf":
        assert files[0].read_bytes().startswith(b"%PDF")
        assert files[0].read_bytes().count(b"/Type /Page\n") <= 1


@pytest.mark.parametrize("words_", [("KP-B03", "x.txt"), ("", "x.pdf")])
def test_a_statement_of_nothing_or_of_another_form_is_refused(demo, tmp_path, words_):
    name, file = words_
    asked = [name] if name else []
    ran = jointmap("boundary", demo / "site", *asked, "--out", tmp_path / file)
    assert ran.code == 2
    assert not (tmp_path / file).exists()


def test_check_ends_with_1_and_names_what_stands_in_gas(demo):
    ran = jointmap("findings", demo / "site", "--only", "design")
    assert ran.code == 1
    assert "IJ-093  stands where gas may be (enclosed place)" in ran.out
    # SD-43 and SD-44B stand at the other two joints of KP 41.
    assert "IJ-045  beside a power line and no surge protective device" in ran.out
    one = jointmap("findings", demo / "site", "IJ-003")
    assert one.code == 1
    assert "Act today: Not to be used for transfer: 1\n  To do:  " in one.out
    assert "  Keep the arm or hose out of use." in one.out
    assert "  IJ-003  not to be used for transfer from" in one.out
    assert jointmap("findings", demo / "site", "IJ-040x").code == 2


def test_why_answers_for_a_path_and_for_a_boundary(demo):
    path = jointmap("why", demo / "site", "SD-27").out
    assert "surge protective device; Boundary: KP-B01" in path
    assert "Next: test SD-27 by 2027-04-09: Check of a surge protective device." in path
    boundary = jointmap("why", demo / "site", "KP-B03").out
    assert boundary == jointmap("boundary", demo / "site", "KP-B03").out


def test_what_changed_since_a_day_and_since_a_state(demo):
    day = jointmap("findings", demo / "site", "--since", "2026-04-30")
    assert day.out.startswith("Since 2026-04-30 (entry ")
    assert day.code == int(" 0 new" not in day.out)
    foot = jointmap("dossier", demo / "site", "IJ-018").out.rsplit(" ", 1)[1].strip()
    now = jointmap("findings", demo / "site", "--since", foot)
    assert (now.code, now.out.count("\n")) == (0, 1), now.said
    assert "0 new, 0 closed, 0 told otherwise, 0 records corrected" in now.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--since", "yesterday"), "no state of the register is meant by 'yesterday'"),
        (("--since", "1999-01-01"), "accepted: a day from 2"),
        (("--since", "2026-04-30", "IJ-018"), "--since cannot be asked together"),
        (("--days", "3"), "--days cannot be asked together"),
        (("--only", "late", "IJ-018"), "SUBJECT cannot be asked together"),
    ],
)
def test_findings_asked_wrongly(demo, words, says):
    ran = jointmap("findings", demo / "site", *words)
    assert (ran.code, says in ran.said) == (2, True), ran.said


def test_findings_come_by_gravity_then_by_subject(demo):
    ran = jointmap("findings", demo / "site", "--format", "csv")
    rows = [*csv.DictReader(io.StringIO(ran.out))]
    words = ["Act today", "Act soon", "Look", "For the record"]
    keys = [(words.index(row["gravity"]), row["subject"]) for row in rows]
    assert keys == sorted(keys)
    assert {word for word, _ in keys} == {0, 1, 2, 3}
    assert all(row["next_step"] and row["source"] for row in rows)


def test_findings_as_csv(demo):
    ran = jointmap("findings", demo / "site", "IJ-003", "--format", "csv")
    assert ran.out.splitlines()[0] == "gravity,kind,subject,on,because,next_step,source"
    assert ran.code == 1


def test_rules_in_force_are_listed(demo):
    told = jointmap("rules", "list", demo / "site").out
    assert told.startswith("In force on 2026-05-15: ")
    assert "49 CFR 192.465(a)" in told


def test_a_dossier_is_not_written_as_what_it_is_not(demo, tmp_path):
    ran = jointmap("dossier", demo / "site", "IJ-018", "--out", tmp_path / "x.pdf")
    assert (ran.code, "accepted: a file whose name ends in .html" in ran.err) == (
        2,
        True,
    )
    assert not (tmp_path / "x.pdf").exists()


def test_the_first_page_tells_what_changed_lately_as_the_command_does(demo, tmp_path):
    page = (demo / "pages" / "index.html").read_text(encoding="utf-8")
    told = jointmap("findings", demo / "site", "--since", "2026-04-15").out.splitlines()
    summary = " ".join(" ".join(told).split()).partition(" New:")[0]
    assert f"<p>{summary}." in page
    new = [line for line in told if line.startswith("New: ")]
    assert new
    changed = page.partition('id="changed"')[2].partition("<h2>")[0]
    assert re.findall("<h3>(New: .*?)</h3>", changed) == new
    # Nothing is on record before the site was begun: nothing can have changed.
    ran = jointmap(
        "publish", demo / "site", "--out", tmp_path / "pages", "--on", "2016-01-01"
    )
    assert ran.code == 0, ran.said
    early = (tmp_path / "pages" / "index.html").read_text(encoding="utf-8")
    assert 'id="changed"' not in early
