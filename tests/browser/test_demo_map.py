"""The demo's own map and pages in a real browser: nothing is asked for."""

import csv

import pytest

pytestmark = pytest.mark.browser
sync_api = pytest.importorskip(
    "playwright.sync_api", reason="no playwright here: the demo's browser tests"
)
SWITCHES = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
INK = """() => {
  const canvas = document.querySelector('.leaflet-joints-pane canvas');
  const dots = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
  let ink = 0;
  for (let i = 0; i < dots.data.length; i += 4)
    if (dots.data[i + 3] > 200 && dots.data[i] < 40 && dots.data[i + 1] < 40) ink += 1;
  return ink;
}"""
DOUBTFUL = 9
# A4 less its margins, as the style sheet sets them.
PAPER_WIDTH, PAPER_HEIGHT = int(186 * 96 / 25.4), int(271 * 96 / 25.4)
STOPS = "[...document.querySelectorAll('.stop')].map(s => [s.id, s.offsetHeight])"
TYPE = "getComputedStyle(document.documentElement).fontSize"


@pytest.fixture(scope="module")
def browser(chromium):
    with sync_api.sync_playwright() as engine:
        found = engine.chromium.launch(executable_path=chromium, args=list(SWITCHES))
        yield found
        found.close()


@pytest.fixture
def opened(browser, pages):
    """Opens a page of the demo; keeps what it asked for and complained of."""
    sheets = []

    def open_(name, address=""):
        sheet = browser.new_page(viewport={"width": 1280, "height": 860})
        sheet.asked, sheet.faults = [], []
        sheet.on("request", lambda r: sheet.asked.append(r.url))
        sheet.on("console", lambda m: sheet.faults.append(m.text))
        sheet.on("pageerror", lambda e: sheet.faults.append(str(e)))
        sheet.goto((pages / name).as_uri() + address)
        if name == "map.html":
            sheet.wait_for_selector("body[data-ready]")
        sheets.append(sheet)
        return sheet

    yield open_
    for sheet in sheets:
        assert sheet.faults == []
        sheet.close()


def listed(sheet):
    return sheet.locator("#list button").count()


@pytest.mark.parametrize(
    "name",
    ["index.html", "map.html", "due.html", "findings.html", "dossiers/IJ-018.html",
     "boundaries/KP-B03.html", "months/2026-06/index.html"],
)  # fmt: skip
def test_a_page_asks_for_itself_and_nothing_else(opened, pages, name):
    assert opened(name).asked == [(pages / name).as_uri()]


def test_glyphs_are_drawn_and_every_joint_is_listed(opened):
    sheet = opened("map.html")
    assert sheet.evaluate(INK) > 500
    assert listed(sheet) == 118


def test_states_in_the_legend_are_the_due_list_s(opened, pages):
    with (pages / "due.csv").open(encoding="utf-8", newline="") as file:
        joints = [r for r in csv.DictReader(file) if r["kind"] == "joint"]
    sheet = opened("map.html", "#due=past%20the%20limit")
    assert listed(sheet) == sum(r["state"] == "past the limit" for r in joints) > 0


def test_filter_leaves_what_fits(opened):
    sheet = opened("map.html")
    sheet.select_option("#area", label="Alder Row")
    sheet.wait_for_function("document.querySelectorAll('#list button').length === 20")
    sheet.click("#reset")
    assert listed(sheet) == 118


def test_joints_in_doubt_are_a_choice(opened):
    sheet = opened("map.html")
    sheet.select_option("#only", label="position in doubt")
    assert listed(sheet) == DOUBTFUL


def test_old_name_finds_the_joint_by_keyboard_and_its_dossier_opens(opened, pages):
    sheet = opened("map.html")
    sheet.fill("#search", "if-12")
    sheet.wait_for_function("document.querySelectorAll('#list button').length === 1")
    sheet.press("#search", "Enter")
    assert sheet.locator("#details h2").inner_text() == "IJ-012"
    assert "IF-12" in sheet.locator("#details").inner_text()
    link = sheet.get_by_role("link", name="Open the dossier")
    link.focus()
    sheet.keyboard.press("Enter")
    sheet.wait_for_url("**/dossiers/IJ-012.html")
    wanted = [pages / "map.html", pages / "dossiers" / "IJ-012.html"]
    assert sheet.asked == [p.as_uri() for p in wanted]


def test_keyboard_alone_opens_the_first_of_the_list_and_closes_it(opened):
    sheet = opened("map.html")
    first = sheet.locator("#list button").first
    tag = first.locator(".tag").inner_text()
    first.focus()
    sheet.keyboard.press("Enter")
    assert sheet.locator("#details h2").inner_text() == tag
    sheet.keyboard.press("Escape")
    assert sheet.locator("#details").is_hidden()


def test_from_the_index_to_the_shorted_boundary(opened):
    sheet = opened("index.html")
    sheet.get_by_role("link", name="Boundaries shorted", exact=True).click()
    sheet.get_by_role("link", name="KP-B03").first.click()
    assert sheet.url.endswith("boundaries/KP-B03.html")
    assert "IT-32" in sheet.locator("#main").inner_text()


def test_every_stop_of_the_month_fits_one_sheet_of_paper(browser, pages):
    heights = {}
    for file in sorted(pages.glob("months/*/2026-*.html")):
        sheet = browser.new_page(viewport={"width": PAPER_WIDTH, "height": 740})
        sheet.goto(file.as_uri())
        sheet.emulate_media(media="print")
        for stop, height in sheet.evaluate(STOPS):
            heights[f"{file.name} {stop}"] = height
        assert float(sheet.evaluate(TYPE).removesuffix("px")) >= 13.5
        sheet.close()
    assert len(heights) > 20
    assert {s: h for s, h in heights.items() if h > PAPER_HEIGHT} == {}
