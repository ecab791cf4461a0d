"""The small parts of reports: codes, clocks, blanks, terminal text, labels used."""

import re
import subprocess
import sys
from dataclasses import replace
from importlib.resources import files
from types import SimpleNamespace

import pytest

from jointmap.register.codes import DueState
from jointmap.register.fields import form_of
from jointmap.register.fitting import Device, Installation, ParallelPath
from jointmap.register.place import Joint
from jointmap.reports.fixed_words import DUE_STATES
from jointmap.reports.line_codes import line_code
from jointmap.reports.method_blanks import BLANKS_OF_METHOD, blanks_for
from jointmap.reports.pages import boundary_page, dossier_page, due_page
from jointmap.reports.stud_clock import stud_clock
from jointmap.reports.terminal import due_blocks, why_text
from jointmap.reports.views import Link, Sign
from jointmap.reports.views_due import DueMember
from jointmap.tables import METHODS
from jointmap.wording.families import SENTENCES
from jointmap.wording.labels import BLANKS, FIELDS, PAGES

TEMPLATES = {
    t.name: t.read_text(encoding="utf-8")
    for t in files("jointmap.reports").joinpath("templates").iterdir()
}
# Label ids stand in templates as "id" | t, "id" | cell, t("id", value=...),
# heads(["id", ...]) and so on.
QUOTED = re.compile(r"""["']([a-z0-9_]+)["']""")


def quoted_anywhere() -> set[str]:
    modules = [
        module.read_text(encoding="utf-8")
        for module in files("jointmap.reports").iterdir()
        if module.name.endswith(".py")
    ]
    return set(QUOTED.findall("\n".join([*TEMPLATES.values(), *modules])))


def test_every_label_of_a_template_exists() -> None:
    asked = re.compile(r"""\b(?:t|box|fact)\(\s*["']([a-z0-9_]+)["']""")
    fixed = re.compile(r"""["']([a-z0-9_]+)["'] \| (?:t|cell)\b""")
    ids = set()
    for text in TEMPLATES.values():
        ids |= {*asked.findall(text), *fixed.findall(text)}
        for several in re.findall(r"(?:heads|contents)\(\[([^\]]*)\]", text):
            ids |= set(QUOTED.findall(several))
        pattern = r"""\| (?:day|shown|sign|link)\(["']([a-z_]+)"""
        ids |= set(re.findall(pattern, text))
    assert len(ids) > 150
    said = {k.removeprefix("page.") for k in SENTENCES if k.startswith("page.")}
    assert ids - {"weekday_"} <= said


def test_every_label_of_pages_is_used() -> None:
    weekdays = {f"weekday_{n}" for n in range(7)}
    assert set(PAGES) - quoted_anywhere() - weekdays == set()


def test_templates_hold_no_words_of_their_own() -> None:
    code = re.compile(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}|<[^>]*>", re.DOTALL)
    pages = {n: t for n, t in TEMPLATES.items() if n.endswith(".html")}
    # Only the two letters of the sides, which every standard writes so.
    left = {n: set(re.findall(r"[A-Za-z]+", code.sub("", t))) for n, t in pages.items()}
    assert {n: words for n, words in left.items() if words - {"A", "B"}} == {}


def test_every_field_that_a_page_may_show_has_a_name() -> None:
    kinds = (Joint, Device, Installation, ParallelPath)
    labels = {c.label for kind in kinds for c in form_of(kind).columns}
    assert labels - {"as_written"} <= set(FIELDS)


def test_every_method_of_the_catalogue_has_its_blanks() -> None:
    assert set(BLANKS_OF_METHOD) == {method.code for method in METHODS}


def test_path_at_no_joint_says_so(boundary: object) -> None:
    nowhere = replace(boundary.paths[0], where=Link(""))
    page = boundary_page(replace(boundary, paths=(nowhere,)))
    assert 'data-label="Where"><span class="none">not on record</span>' in page


def test_every_blank_of_a_method_has_a_name() -> None:
    asked = {b.name for blanks in BLANKS_OF_METHOD.values() for b in blanks}
    assert asked | {"reading"} == set(BLANKS)
    assert [b.unit for b in blanks_for("potential-shift") if not b.once] == ["mV"] * 4
    assert [b.name for b in blanks_for("of our own")] == ["reading"]


def test_due_list_has_a_place_for_every_state() -> None:
    # What is not due stands on no line.
    assert sorted([*DUE_STATES, DueState.NOT_DUE]) == sorted(DueState)


def test_line_code_is_the_same_each_time_and_stands_alone() -> None:
    code = line_code("2026-06-W02-1-K7")
    assert code == line_code("2026-06-W02-1-K7")
    assert code != line_code("2026-06-W02-1-K8")
    assert code.startswith("<svg xmlns=")
    assert code.count("<path") == 1


@pytest.mark.parametrize("count", [1, 4, 8, 20, 52])
def test_stud_clock_has_each_stud_once(count: int) -> None:
    numbers = re.findall(r">(\d+)</text>", stud_clock(count))
    assert numbers == [str(n) for n in range(1, count + 1)]


def test_stud_one_is_right_of_top_and_holes_straddle_the_centreline() -> None:
    found = re.findall(r'cx="(-?[\d.]+)" cy="(-?[\d.]+)"', stud_clock(8))
    x, y = map(float, found[0])
    last_x, last_y = map(float, found[-1])
    assert x > 0 > y
    assert (last_x, last_y) == (-x, y)


def test_why_tells_first_what_the_verdict_rests_on(why: object) -> None:
    text = why_text(why)
    told = ["Verdict: ", "rests on", "2025-04-09  po", "newest", "2026-04-14  po"]
    places = [text.index(part) for part in told]
    assert places == sorted(places)
    assert "(does not count)" in text
    assert "> 2026-04-09  12 months by procedure" in text
    assert text.splitlines()[-1].startswith("Next: ")


def test_why_leaves_out_brackets_where_there_is_no_source(why: object) -> None:
    assert "[]" not in why_text(replace(why, tests=()))


def test_due_list_names_every_tag_of_a_long_group(due: object) -> None:
    tags = [f"IJ-{n:03d}" for n in range(40)]
    first, *others = map(Link, tags)
    credited = tuple(DueMember(link, Sign("in time")) for link in others)
    many = replace(due.lines[0], subject=first, credited=credited, remark="put off")
    *_, table = due_blocks(replace(due, lines=(many,)))
    title, (_, named, _, because) = table.rows
    assert title.text == f"{many.state.word}: 1"
    assert [word for word in re.findall(r"IJ-\d+", named) if word in tags] == tags
    assert because.endswith("put off")
    assert because.count(many.source) == 1
    assert [*due_blocks(replace(due, lines=()))][-1].rows == ()


@pytest.mark.parametrize(
    ("left", "words"),
    [(1, "1 day left"), (-1, "1 day past"), (0, "0 days left"), (-2, "2 days past")],
)
def test_one_day_is_one_day(due: object, left: int, words: str) -> None:
    line = replace(due.lines[0], days_left=left)
    assert f">{words}<" in due_page(replace(due, lines=(line,), until=None))


def test_late_by_one_day_is_one_day(dossier: object) -> None:
    page = dossier_page(dossier)
    assert ">1 day after the test<" in page
    assert ">42 days after the test<" in page


def test_word_for_a_glyphless_sign_stands_alone(dossier: object) -> None:
    plain = replace(dossier.verdict, glyph="")
    page = dossier_page(replace(dossier, verdict=plain))
    assert '<span class="sign"><b>inconclusive</b></span>' in page


def test_unknown_name_in_a_view_is_an_error() -> None:
    from jinja2 import UndefinedError

    with pytest.raises(UndefinedError):
        dossier_page(SimpleNamespace(tag="IJ-001"))


def test_pages_do_not_depend_on_the_hash_seed() -> None:
    program = (
        "import datetime as d; from jointmap.reports.views import *;"
        "from jointmap.reports.views_overview import *;"
        "from jointmap.reports.every_report import REPORTS;"
        "f = Frame(site='S', on=d.date(2026, 5, 15), known=d.date(2026, 5, 15),"
        " entry=1, fingerprint='0', version='0');"
        "k = ('no_basis', 'missed_year', 'cluster', 'floating');"
        "v = FindingsPage(frame=f, findings=(), looked_for=k);"
        "print(REPORTS['findings'].make(v))"
    )
    made = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={"PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(made) == 1


def test_every_label_can_be_said() -> None:
    families = ("page.", "field.", "user.", "finding.", "blank.")
    assert len([i for i in SENTENCES if i.startswith(families)]) > 300
