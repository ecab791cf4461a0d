"""Golden pages, and what must hold of every page whatever is on it."""

import re
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from jointmap.reports.every_report import REPORTS
from jointmap.reports.views import Link
from jointmap.wording import say

# report: the fixtures that give its view; the first one's text is the golden file.
EXAMPLES = {
    "index": ("index",),
    "dossier": ("dossier", "bare_dossier"),
    "boundary": ("boundary", "bare_boundary"),
    "boundary-statement": ("boundary", "bare_boundary"),
    "boundaries": ("boundaries",),
    "dossiers": ("dossiers",),
    "due": ("due",),
    "route-sheet": ("sheet",),
    "month": ("month",),
    "findings": ("findings",),
    "held": ("held",),
    "sources": ("sources",),
    "predicted": ("predicted", "bare_predicted"),
    "picture": ("picture",),
    "worksheet": ("worksheet", "bare_worksheet"),
    "handover": ("handover",),
    "why-text": ("why", "bare_why"),
    "dossier-text": ("dossier", "bare_dossier"),
}
CASES = [(name, view) for name, views in EXAMPLES.items() for view in views]
HTML_CASES = [case for case in CASES if not case[0].endswith("-text")]
VOID = {"meta", "link", "br", "img", "path", "circle"}
each_page = pytest.mark.parametrize(("report", "view"), HTML_CASES)


@pytest.fixture
def text(request: pytest.FixtureRequest, report: str, view: str) -> str:
    return REPORTS[report].make(request.getfixturevalue(view))


class Outline(HTMLParser):
    """Reads a page strictly: every element opened is closed in its turn."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.faults: list[str] = []
        self.levels: list[int] = []
        self.ids: list[str] = []
        self.hrefs: list[str] = []
        self.heads: list[dict[str, str | None]] = []
        self.addresses: list[str] = []
        self.words: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        had = dict(attrs)
        if tag not in VOID:
            self.open.append(tag)
        if tag == "th":
            self.heads.append(had)
        if re.fullmatch(r"h[1-6]", tag):
            self.levels.append(int(tag[1]))
        self.ids += [had["id"]] if had.get("id") else []
        self.hrefs += [had["href"]] if tag == "a" and had.get("href") else []
        self.addresses += [v for k, v in attrs if k in ("src", "href", "action") and v]

    def handle_startendtag(self, tag: str, attrs: list) -> None:
        """SVG elements close themselves."""

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"{tag} at {self.getpos()}")

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words.append(data)


def test_every_report_has_an_example() -> None:
    assert set(EXAMPLES) == set(REPORTS)


@pytest.mark.parametrize(("report", "view"), CASES)
def test_matches_its_golden_file(
    text: str, report: str, view: str, golden: Callable[[str, str], None]
) -> None:
    ending = "txt" if report.endswith("-text") else "html"
    bare = "-bare" if view.startswith("bare") else ""
    golden(f"reports/{report}{bare}.{ending}", text)


@each_page
def test_view_is_the_one_the_report_names(
    request: pytest.FixtureRequest, report: str, view: str
) -> None:
    assert isinstance(request.getfixturevalue(view), REPORTS[report].view)


@each_page
def test_html_is_well_formed(text: str) -> None:
    outline = Outline(text)
    assert outline.faults == []
    assert outline.open == []
    assert text.startswith("<!doctype html>\n<html lang=")


@each_page
def test_headings_go_down_one_level_at_a_time(text: str) -> None:
    levels = Outline(text).levels
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


@each_page
def test_header_cells_say_what_they_head(text: str) -> None:
    assert all(h.get("scope") in ("col", "row") for h in Outline(text).heads)


@each_page
def test_ids_are_unique_and_links_on_the_page_resolve(text: str) -> None:
    outline = Outline(text)
    assert len(set(outline.ids)) == len(outline.ids)
    inner = {h[1:] for h in outline.hrefs if h.startswith("#")}
    assert inner <= set(outline.ids)


@each_page
def test_page_asks_the_network_for_nothing(text: str) -> None:
    outside = [a for a in Outline(text).addresses if re.match(r"(?i)[a-z]+:|//", a)]
    pictures = [a for a in outside if a.startswith("data:image/")]
    assert [a for a in outside if a not in pictures] == ["data:,"]
    assert "url(" not in text
    assert "@import" not in text
    assert "<script" not in text


@each_page
def test_page_says_when_and_from_what_it_was_made(text: str) -> None:
    said = " ".join(Outline(text).words)
    assert "As of 2026-05-15, as known on 2026-05-15" in said
    assert "6f1c9be2a0d4478fb1f7c6a3e59d2041" in said
    assert "entry 14" in said
    assert "does not authorise" in said
    assert "jointmap 0.1.0" in said


FORBIDDEN = re.compile(
    r"(?i)\b(isolated|insulated|leaks?|failed|(?<!top )dead|annual|near miss|held"
    r"|(?<!measuring )(?<!in the )span|(?<!time )zone|(?<!potential )shift|seal"
    r"|(?<!temporary )(?<!resistance )(?<!drainage )bond(?! on purpose)|live)\b"
)


@each_page
def test_no_bare_word_that_means_something_else_in_a_plant(text: str) -> None:
    said = " ".join(Outline(text).words).replace("jointmap waiting SITE", "")
    assert FORBIDDEN.findall(said) == []


@each_page
def test_two_makings_give_the_same_text(
    request: pytest.FixtureRequest, text: str, report: str, view: str
) -> None:
    assert REPORTS[report].make(request.getfixturevalue(view)) == text


HOSTILE = '<img src=x onerror="alert(1)">&\'"'


@pytest.mark.parametrize("field", ["tag", "summary"])
def test_hostile_text_in_a_dossier_is_shown_not_run(
    dossier: object, field: str
) -> None:
    page = REPORTS["dossier"].make(replace(dossier, **{field: HOSTILE}))
    assert "<img src=x" not in page
    assert "&lt;img src=x" in page
    assert Outline(page).faults == []


@pytest.mark.parametrize("field", ["view", "media_type", "why", "small", "sha256"])
def test_hostile_text_of_a_file_is_shown_not_run(
    dossier: object, picture: object, field: str
) -> None:
    odd = replace(picture.file, **{field: HOSTILE})
    for page in (
        REPORTS["dossier"].make(replace(dossier, files=(odd,))),
        REPORTS["picture"].make(replace(picture, file=odd)),
    ):
        assert "<img src=x" not in page
        assert Outline(page).faults == []


def test_hostile_link_stays_inside_its_quotes(index: object) -> None:
    link = Link(HOSTILE, '"><b>')
    bad = replace(index.findings[0], subject=link, sentence=HOSTILE)
    page = REPORTS["index"].make(replace(index, findings=(bad,)))
    assert 'href="&#34;&gt;&lt;b&gt;"' in page
    assert "<img" not in page


def test_links_start_from_the_index_folder(dossier: object, index: object) -> None:
    assert 'href="../boundaries/KP-B03.html"' in REPORTS["dossier"].make(dossier)
    assert 'href="boundaries/KP-B03.html"' in REPORTS["index"].make(index)


def test_blank_says_not_on_record(bare_dossier: object) -> None:
    words = " ".join(Outline(REPORTS["dossier"].make(bare_dossier)).words)
    assert words.count(say("page.not_on_record")) >= 10
    assert "None" not in words.replace("None.", "")


def test_index_shows_five_of_a_kind_and_points_to_the_rest(index: object) -> None:
    page = REPORTS["index"].make(index)
    assert page.count("Meter M-07, certificate ended") == 5
    assert 'href="findings.html#instrument_lapsed">all 7</a>' in page


def test_kinds_looked_for_and_not_found_are_named(findings: object) -> None:
    words = " ".join(Outline(REPORTS["findings"].make(findings)).words)
    none = words.split("Looked for, none found:")[1]
    assert say("finding.copied_reading") in none
    assert say("finding.missed_year") not in none


def test_finding_of_an_unknown_kind_is_an_error(findings: object) -> None:
    odd = replace(findings.findings[0], kind="odd")
    with pytest.raises(KeyError):
        REPORTS["findings"].make(replace(findings, findings=(odd,)))


def test_page_without_findings_says_so(findings: object) -> None:
    page = REPORTS["findings"].make(replace(findings, findings=(), looked_for=()))
    assert say("page.no_findings") in page


def test_due_counts_equal_the_lines(due: object) -> None:
    page = REPORTS["due"].make(due)
    assert ">past the limit</a></th>" in page
    assert (due.joints("past the limit"), due.others("past the limit")) == (1, 0)
    assert (due.joints("in time"), due.joints("no basis")) == (2, 2)
    assert len(due.of_state("past the limit")) == 1
    assert '<td class="num">5</td><td class="num">6</td><td class="num">1</td>' in page


def test_due_line_of_an_unknown_state_is_refused(due: object) -> None:
    lost = replace(due.lines[0], state=Link("late"))
    with pytest.raises(AttributeError):
        replace(due, lines=(lost,))
    with pytest.raises(ValueError, match="late"):
        replace(due, lines=(replace(lost, state=type(due.lines[1].state)("late")),))


def test_sheet_shows_no_last_reading_and_a_box_for_each(sheet: object) -> None:
    page = REPORTS["route-sheet"].make(sheet)
    assert page.count('<div class="code"><svg') == 2
    assert page.count('<span class="unit">V AC</span>') == 6
    without = replace(sheet, with_codes=False, ac_limit="", stops=())
    assert say("page.local_codes_rule") in REPORTS["route-sheet"].make(without)


def test_sheet_without_an_ac_limit_says_to_ask(sheet: object) -> None:
    page = REPORTS["route-sheet"].make(replace(sheet, ac_limit="", with_codes=False))
    assert page.count(say("page.ac_stop_no_limit")) == 2
    assert '<div class="code"><svg' not in page
    assert "2026-06-W02-1-K7" in page


def test_month_with_nothing_left_over_says_so(month: object) -> None:
    page = REPORTS["month"].make(
        replace(month, unserved=(), interruptions=(), access=(), travel_note="")
    )
    for id_ in ("all_served", "no_interruptions", "no_access_needed"):
        assert say(f"page.{id_}") in page


def test_sources_with_nothing_in_force_say_so(sources: object) -> None:
    page = REPORTS["sources"].make(replace(sources, rules=(), limits=()))
    assert say("page.no_rules") in page
    assert say("page.no_limits") in page
