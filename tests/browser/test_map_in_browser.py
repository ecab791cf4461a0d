"""The map in a real browser, from disk, as its users would use it."""

import math
import runpy

import numpy as np
import pytest

from jointmap.register.codes import DueState
from jointmap.site_map.page import page

pytestmark = pytest.mark.browser
sync_api = pytest.importorskip(
    "playwright.sync_api", reason="no playwright here: the map's browser tests"
)
SWITCHES = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
# Dark and coloured pixels of the joints' canvas.
INKED = """() => {
  const canvas = document.querySelector('.leaflet-joints-pane canvas');
  const pen = canvas.getContext('2d');
  const dots = pen.getImageData(0, 0, canvas.width, canvas.height).data;
  let ink = 0, shorted = 0;
  for (let i = 0; i < dots.length; i += 4) {
    if (dots[i + 3] < 200) continue;
    if (dots[i] < 40 && dots[i + 1] < 40 && dots[i + 2] < 40) ink += 1;
    if (dots[i] === 168 && dots[i + 1] === 67 && dots[i + 2] === 0) shorted += 1;
  }
  return {ink, shorted};
}"""


@pytest.fixture(scope="module")
def sample(root):
    return runpy.run_path(str(root / "tests" / "map_samples.py"))["sample_map"]


@pytest.fixture(scope="module")
def browser(chromium):
    with sync_api.sync_playwright() as engine:
        found = engine.chromium.launch(executable_path=chromium, args=list(SWITCHES))
        yield found
        found.close()


@pytest.fixture(scope="module")
def file(sample, tmp_path_factory):
    path = tmp_path_factory.mktemp("pages") / "map.html"
    path.write_text(page(sample(118)), encoding="utf-8")
    (path.parent / "dossiers").mkdir()
    (path.parent / "dossiers" / "IJ-012.html").write_text("<p>dossier of IJ-012</p>")
    return path


@pytest.fixture
def opened(browser):
    """A page whose faults and requests are kept."""
    pages = []

    def open_page(path, width=1280, height=860, address=""):
        sheet = browser.new_page(viewport={"width": width, "height": height})
        sheet.asked, sheet.faults = [], []
        sheet.on("request", lambda r: sheet.asked.append(r.url))
        sheet.on("console", lambda m: sheet.faults.append(m.text))
        sheet.on("pageerror", lambda e: sheet.faults.append(str(e)))
        sheet.goto(path.as_uri() + address)
        sheet.wait_for_selector("body[data-ready]")
        pages.append(sheet)
        return sheet

    yield open_page
    for sheet in pages:
        assert sheet.faults == []
        sheet.close()


def count_text(sheet):
    return sheet.locator("#count").inner_text()


def box_of(sheet, word):
    return sheet.locator("fieldset label", has=sheet.get_by_text(word, exact=True))


def numbers_of(sheet, group):
    found = sheet.locator(f"#{group} .number").all_inner_texts()
    return [int(n.replace(",", "")) for n in found]


def test_opens_with_one_request_and_draws(opened, file):
    sheet = opened(file)
    assert sheet.asked == [file.as_uri()]
    drawn = sheet.evaluate(INKED)
    assert drawn["ink"] > 500
    assert drawn["shorted"] > 100


def test_counts_equal_the_lists(opened, file, sample):
    joints = sample(118).joints
    sheet = opened(file)
    assert numbers_of(sheet, "verdicts") == [
        int((joints.verdict == k).sum()) for k in range(5)
    ]
    assert numbers_of(sheet, "states") == [
        int((joints.due_state == k).sum()) for k in range(len(DueState))
    ]
    assert sheet.locator("#list button").count() == 118
    assert count_text(sheet) == "118 of 118 joints · 2 of them without a position"


def test_filters_change_count_list_and_drawing(opened, file, sample):
    joints = sample(118).joints
    sheet = opened(file)
    box_of(sheet, "shorted").locator("input").uncheck()
    left = int((joints.verdict != 2).sum())
    assert count_text(sheet).startswith(f"{left} of 118 joints")
    assert sheet.locator("#list button").count() == left
    assert sheet.evaluate(INKED)["shorted"] == 0
    assert sum(numbers_of(sheet, "states")) == left
    sheet.select_option("#area", label="Plant")
    plant = int(((joints.verdict != 2) & (joints.area == 3)).sum())
    assert count_text(sheet).startswith(f"{plant} of 118 joints")
    sheet.click("#reset")
    assert count_text(sheet).startswith("118 of 118 joints")
    assert box_of(sheet, "shorted").locator("input").is_checked()


def test_due_up_to_a_month_is_inclusive(opened, file, sample):
    joints = sample(118).joints
    sheet = opened(file)
    sheet.select_option("#until", label="up to the end of 2026-05")
    wanted = int((joints.due_on <= np.datetime64("2026-05-31")).sum())
    assert 0 < wanted < 118
    assert sheet.locator("#list button").count() == wanted


@pytest.mark.parametrize(
    ("choice", "wanted"),
    [
        ("position in doubt", 2),
        ("no position", 2),
        ("suspects of a shorted boundary", None),
    ],
)
def test_marks(opened, file, sample, choice, wanted):
    if wanted is None:
        wanted = int(sample(118).joints.is_suspect.sum())
    sheet = opened(file)
    sheet.select_option("#only", label=choice)
    assert sheet.locator("#list button").count() == wanted > 0


def test_search_finds_an_old_name_and_enter_opens_it(opened, file):
    sheet = opened(file)
    sheet.fill("#search", "if-12")
    sheet.wait_for_function("document.querySelectorAll('#list button').length === 1")
    assert sheet.locator("#list .tag").inner_text() == "IJ-012"
    sheet.press("#search", "Enter")
    assert "IF-12; K/12 old" in sheet.locator("#details").inner_text()
    sheet.fill("#search", "no such joint")
    sheet.wait_for_function("document.querySelectorAll('#list button').length === 0")
    assert "No joint fits" in sheet.locator("#list-note").inner_text()


def test_keyboard_opens_and_closes_details(opened, file):
    sheet = opened(file)
    row = sheet.locator("#list button").first
    tag = row.locator(".tag").inner_text()
    row.focus()
    sheet.keyboard.press("Tab")
    sheet.keyboard.press("Shift+Tab")
    outline = "getComputedStyle(document.activeElement).outlineStyle"
    assert sheet.evaluate(outline) == "solid"
    sheet.keyboard.press("Enter")
    assert sheet.locator("#details h2").inner_text() == tag
    assert sheet.evaluate("document.activeElement.id") == "details-tag"
    sheet.keyboard.press("Escape")
    assert sheet.locator("#details").is_hidden()
    assert sheet.evaluate("document.activeElement.innerText").startswith(tag)


def test_a_click_on_a_glyph_opens_it_and_several_are_listed(opened, file):
    sheet = opened(file, address="#joint=IJ-031")
    sheet.wait_for_timeout(400)
    sheet.keyboard.press("Escape")
    box = sheet.locator("#map_site").bounding_box()
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    sheet.mouse.click(*middle)
    assert sheet.locator("#details h2").inner_text() == "IJ-031"
    sheet.keyboard.press("Escape")
    sheet.get_by_role("button", name="Whole site").click()
    sheet.wait_for_timeout(600)
    place = sheet.evaluate(
        "at => map_site.latLngToContainerPoint(at)",
        [31.421 + 0.02 * math.sin(9), -42.2],
    )
    sheet.mouse.click(box["x"] + place["x"], box["y"] + place["y"])
    assert sheet.locator("#details h2").inner_text().endswith("joints here")
    sheet.locator("#details ol button").first.click()
    sheet.get_by_role("button", name="Back to the list of joints here").click()
    assert sheet.locator("#details h2").inner_text().endswith("joints here")


def test_two_joints_at_one_place_stand_apart_close_up(opened, file):
    """0.8 m apart, less than a glyph even close up: set side by side."""
    sheet = opened(file, address="#joint=IJ-028")
    sheet.wait_for_timeout(600)
    box = sheet.locator("#map_site").bounding_box()
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    for aside, tag in ((-16, "IJ-027"), (16, "IJ-028")):
        sheet.keyboard.press("Escape")
        sheet.mouse.click(middle[0] + aside, middle[1] - 33)
        assert sheet.locator("#details h2").inner_text() == tag


def test_a_tag_with_markup_stays_text(opened, file):
    sheet = opened(file)
    sheet.evaluate("() => { window.alert = () => { window.broken = true; }; }")
    sheet.fill("#search", "ij-021")
    sheet.wait_for_function("document.querySelectorAll('#list button').length === 1")
    sheet.press("#search", "Enter")
    assert "<script>alert(1)</script>" in sheet.locator("#details h2").inner_text()
    assert sheet.evaluate("window.broken") is None


def test_joint_without_a_position_is_listed_not_drawn(opened, file):
    sheet = opened(file, address="#joint=IJ-006")
    assert "No position on record" in sheet.locator("#details").inner_text()
    assert sheet.get_by_role("button", name="Show on the map").count() == 0


def test_dossier_opens(opened, file):
    sheet = opened(file, address="#joint=IJ-012")
    sheet.get_by_role("link", name="Open the dossier").click()
    sheet.wait_for_url("**/dossiers/IJ-012.html")
    assert "dossier of IJ-012" in sheet.locator("body").inner_text()


def test_address_sets_the_filter(opened, file, sample):
    joints = sample(118).joints
    sheet = opened(file, address="#verdict=shorted,doubtful&due=past%20the%20limit")
    wanted = ((joints.verdict == 1) | (joints.verdict == 2)) & (joints.due_state == 3)
    assert sheet.locator("#list button").count() == int(wanted.sum())


@pytest.mark.parametrize("width", [360, 412])
def test_phone_width(opened, file, width):
    sheet = opened(file, width, 740)
    assert sheet.evaluate("document.documentElement.scrollWidth") == width
    over = "Array.from(document.querySelectorAll('#panel *')).filter(e => {const b ="
    over += f" e.getBoundingClientRect(); return b.right > {width} + 1}}).length"
    assert sheet.evaluate(over) == 0
    assert sheet.locator("#map_site").bounding_box()["height"] >= 180
    assert "Advises, does not authorise" in sheet.locator(".caution").inner_text()
    sheet.locator("#list button").nth(2).click()
    assert sheet.locator("#details").is_visible()


def test_print_fits_one_sheet_and_the_screen_comes_back(opened, file, tmp_path):
    sheet = opened(file)
    before = sheet.evaluate("[map_site.getZoom(), map_site.getCenter().lng]")
    paper = sheet.pdf(path=tmp_path / "map.pdf", format="A4", print_background=True)
    assert paper.count(b"/Type /Page\n") == 1
    sheet.wait_for_timeout(200)
    after = sheet.evaluate("[map_site.getZoom(), map_site.getCenter().lng]")
    assert after == pytest.approx(before, abs=1e-3)
    assert sheet.evaluate("document.body.className") == ""


def test_plain_form_shows_the_same(opened, sample, tmp_path):
    path = tmp_path / "plain.html"
    path.write_text(page(sample(118), plain=True), encoding="utf-8")
    sheet = opened(path)
    assert count_text(sheet).startswith("118 of 118 joints")


def test_a_browser_that_cannot_unpack_is_told(browser, file):
    sheet = browser.new_page()
    sheet.add_init_script("delete window.DecompressionStream")
    sheet.goto(file.as_uri())
    sheet.wait_for_selector("#trouble:visible")
    assert "plain form" in sheet.locator("#trouble").inner_text()
    sheet.close()


@pytest.mark.parametrize("number", [0, 1])
def test_a_site_with_next_to_nothing(opened, sample, tmp_path, number):
    path = tmp_path / "little.html"
    path.write_text(page(sample(number)), encoding="utf-8")
    assert count_text(opened(path)).startswith(
        f"{number} of {number} joint{'s' * (number != 1)}"
    )


def test_many_joints(opened, sample, tmp_path, count):
    number = count(20_000, 1_000_000)
    path = tmp_path / "many.html"
    path.write_text(page(sample(number)), encoding="utf-8")
    sheet = opened(path)
    assert count_text(sheet).startswith(f"{number:,} of {number:,} joints")
    assert sheet.locator("#list button").count() == 200
    assert sheet.evaluate(INKED)["ink"] > 500
