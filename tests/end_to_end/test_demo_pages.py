"""The pages of the demo: nothing leads nowhere, every count equals its list."""

import csv
import re
import shutil
import subprocess
import sys

import pytest

from tests.command_line import ROOT, as_process, jointmap
from tests.reading_pages import broken, part, rows, words

DAY = "2026-05-15"


@pytest.fixture(scope="module")
def index(pages):
    return (pages / "index.html").read_text(encoding="utf-8")


def due_of(pages):
    with (pages / "due.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_two_demos_give_the_same_bytes(pages, tmp_path):
    other = {"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"}
    assert as_process("demo", tmp_path / "again", **other).code == 0
    other = tmp_path / "again" / "pages"
    names = sorted(p.relative_to(pages) for p in pages.rglob("*") if p.is_file())
    assert names == sorted(
        p.relative_to(other) for p in other.rglob("*") if p.is_file()
    )
    assert [
        n for n in names if (pages / n).read_bytes() != (other / n).read_bytes()
    ] == []


def test_demo_leaves_what_the_readme_names(demo, pages):
    assert {p.name for p in demo.iterdir()} == {"site", "pages"}
    assert {"site.toml", "register.sqlite"} <= {
        p.name for p in (demo / "site").iterdir()
    }
    wanted = {"index.html", "map.html", "due.csv", "boundaries", "dossiers", "months"}
    assert wanted <= {p.name for p in pages.iterdir()}
    assert len(list((pages / "dossiers").glob("IJ-*.html"))) == 118
    assert len(list((pages / "months" / "2026-06").glob("2026-06-*.html"))) > 0


def test_every_address_leads_to_a_file_or_an_anchor_below_pages(pages):
    found = {p: broken(p, pages) for p in pages.rglob("*.html")}
    assert len(found) > 170
    assert {str(p): b for p, b in found.items() if b} == {}


def test_pages_that_stand_alone_lead_nowhere_else(demo, tmp_path):
    site, alone = demo / "site", tmp_path / "june"
    args = ("--on", DAY, "--out")
    assert jointmap("month", site, "2026-06", *args, alone).code == 0
    statement = tmp_path / "june" / "KP-B03.html"
    assert jointmap("boundary", site, "KP-B03", *args, statement).code == 0
    found = {p.name: broken(p, alone) for p in alone.glob("*.html")}
    assert len(found) > 3
    assert {n: b for n, b in found.items() if b} == {}
    sheet = next(n for n in found if n.startswith("2026-06-"))
    assert f'href="{sheet}"' in (alone / "index.html").read_text(encoding="utf-8")


def test_no_page_loads_anything_from_elsewhere(pages):
    elsewhere = re.compile(r"""(src|href|url\(|@import)\W{0,3}(https?:)?//""")
    for page in pages.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        # The map's program is one script; what it asks for is seen in a browser.
        text = re.sub(r"<script\b[^>]*>.*?</script>", "", text, flags=re.DOTALL)
        assert not elsewhere.search(text), page


def test_each_page_names_its_days_and_the_register_it_tells_of(pages):
    prints = set()
    for page in pages.rglob("*.html"):
        text = words(page) if page.name != "map.html" else page.read_text("utf-8")
        assert DAY in text, page
        assert re.search(r"known (on )?2026-05-14", text), page
        prints |= set(re.findall(r"27-[0-9a-f]{64}", text)) or {f"none in {page}"}
    assert len(prints) == 1, prints


def ways(index):
    pattern = r'<span class="count">[a-z]+ (\d+)</span><a href="([^"]+)"'
    return {href: int(count) for count, href in re.findall(pattern, index)}


def test_counts_of_the_index_equal_the_lists_they_open(pages, index):
    found = ways(index)
    of_map = re.search(r'"count":\s*(\d+)', (pages / "map.html").read_text("utf-8"))
    assert found.pop("map.html") == 118 == int(of_map[1] if of_map else 118)
    assert found.pop("findings.html") == rows(
        (pages / "findings.html").read_text("utf-8")
    )
    due = (pages / "due.html").read_text("utf-8")
    assert found.pop("due.html") == rows(due[due.index('<h2 id="past-the-limit"') :])
    for href in [h for h in found if "#" in h]:
        name, anchor = href.split("#")
        assert found.pop(href) == rows(part(pages / name, anchor)), href
    for href in ("boundaries/index.html", "dossiers/index.html", "held.html"):
        assert found.pop(href) == rows((pages / href).read_text("utf-8")), href
    assert found == {}


def test_findings_of_each_kind_are_as_many_as_said(pages, index):
    told = re.findall(r'<h3><a href="findings.html#(\w+)">[^<]*: (\d+)</a>', index)
    assert len(told) >= 15
    for kind, count in told:
        assert rows(part(pages / "findings.html", kind)) == int(count), kind
    total = int(re.search(r"(\d+) findings", words(pages / "index.html"))[1])
    assert sum(int(count) for _, count in told) == total


def test_joints_by_verdict_are_the_due_list_s(pages, index):
    counts = re.search(r'<ul class="counts".*?</ul>', index, flags=re.DOTALL)[0]
    plain = re.sub(r"<svg.*?</svg>", "", counts, flags=re.DOTALL)
    told = re.findall(r"<li>(\d+) .*?<b>([^<]+)</b>", plain, flags=re.DOTALL)
    joints = [r for r in due_of(pages) if r["kind"] == "joint"]
    # A joint on a boundary that is joined on purpose has no date of its own.
    assert sum(int(n) for n, _ in told) == 118 == len(joints) + 1
    for count, verdict in told:
        own = sum(r["verdict"] == verdict for r in joints)
        assert own == int(count) - (verdict == "inconclusive"), verdict


def test_lines_of_the_due_page_hold_every_line_of_the_file(pages):
    said = words(pages / "due.html")
    subjects = [r["subject"] for r in due_of(pages)]
    assert len(subjects) == len(set(subjects))
    assert [s for s in subjects if s not in said] == []


def test_due_file_equals_the_command(demo, pages):
    ran = jointmap("due", demo / "site", "--format", "csv")
    assert (ran.code, ran.out) == (0, (pages / "due.csv").read_text(encoding="utf-8"))


def test_publishing_again_writes_nothing_anew(demo, pages, tmp_path):
    copy = shutil.copytree(pages, tmp_path / "pages")
    times = {p: p.stat().st_mtime_ns for p in copy.rglob("*") if p.is_file()}
    ran = jointmap("publish", demo / "site", "--out", copy)
    assert (ran.code, ran.out.strip()) == (0, str(copy / "index.html"))
    assert {p: p.stat().st_mtime_ns for p in times} == times


def test_start_of_the_command_line_leaves_the_large_libraries_out():
    heavy = {"sqlalchemy", "pandas", "geopandas", "folium", "pint", "numpy", "pyproj"}
    code = "import sys, jointmap.cli; print(*sys.modules)"
    ran = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=True,
    )
    assert heavy & set(ran.stdout.split()) == set()


@pytest.mark.parametrize("asked", [("due",), ("why", "IJ-057")])
def test_due_and_why_read_no_unit_that_needs_the_units_library(demo, asked):
    name, *more = asked
    command = [name, str(demo / "site"), *more]
    code = (
        "import sys; from jointmap.cli import main\n"
        f"main({command!r}, standalone_mode=False)\n"
        "sys.exit('pint' in sys.modules)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, cwd=ROOT, check=False
    )
    assert ran.returncode == 0, ran.stderr


def commands():
    from jointmap.cli import main

    return sorted(main.commands)


@pytest.mark.parametrize("name", commands())
def test_help_says_what_is_read_and_written_with_one_example(name):
    from click import Context

    from jointmap.cli import main

    command = main.commands[name]
    text = command.get_help(Context(command, info_name=name))
    assert re.search(r"\bReads?\b", text), text
    assert re.search(r"\bwrit(es?|ten|ing)\b", text, flags=re.IGNORECASE), text
    assert text.count("Example: jointmap " + name) == 1, text


def test_help_from_the_shell():
    ran = jointmap("load", "--help")
    assert ran.code == 0
    assert "Example: jointmap load" in ran.out
