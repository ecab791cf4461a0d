"""Report pages in a real browser, from disk: on a phone, by keyboard, on paper."""

import pytest

pytestmark = pytest.mark.browser
sync_api = pytest.importorskip(
    "playwright.sync_api", reason="no playwright here: the reports' browser tests"
)
SWITCHES = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
# The golden files are what the reports make; the unit tests see to that.
PAGES = (
    "index", "dossier", "dossier-bare", "boundary", "boundaries", "due", "route-sheet",
    "month", "findings", "held", "sources",
)  # fmt: skip
each_page = pytest.mark.parametrize("name", PAGES)
# A4 less its margins, as the style sheet sets them.
PX_PER_MM = 96 / 25.4
PAPER_WIDTH, PAPER_HEIGHT = int(186 * PX_PER_MM), int(271 * PX_PER_MM)
WIDE = "document.documentElement.scrollWidth"
CELLS = "[...document.querySelectorAll('.stack td')].map(c => c.offsetWidth)"


@pytest.fixture(scope="module")
def browser(chromium):
    with sync_api.sync_playwright() as engine:
        found = engine.chromium.launch(executable_path=chromium, args=list(SWITCHES))
        yield found
        found.close()


@pytest.fixture
def opened(browser, root):
    """Opens a report at a width; keeps what it asked for and complained of."""
    pages = []

    def open_(name, width):
        page = browser.new_page(viewport={"width": width, "height": 740})
        page.asked, page.faults = [], []
        page.on("request", lambda r: page.asked.append(r.url))
        page.on("pageerror", lambda e: page.faults.append(str(e)))
        page.on("console", lambda m: page.faults.append(m.text))
        page.goto((root / "tests" / "golden" / "reports" / f"{name}.html").as_uri())
        pages.append(page)
        return page

    yield open_
    for page in pages:
        page.close()


@each_page
def test_page_opens_from_disk_and_asks_for_nothing_else(opened, name):
    page = opened(name, 1200)
    assert [url.rsplit("/", 1)[1] for url in page.asked] == [f"{name}.html"]
    assert page.faults == []


@each_page
@pytest.mark.parametrize("width", [360, 768, 1200])
def test_nothing_sticks_out_sideways(opened, name, width):
    page = opened(name, width)
    assert page.evaluate(WIDE) <= width
    assert all(cell >= 20 for cell in page.evaluate(CELLS))


@each_page
def test_first_tab_offers_to_skip_to_the_content(opened, name):
    page = opened(name, 360)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    assert page.locator(".skip").bounding_box()["x"] >= 0
    page.keyboard.press("Enter")
    page.wait_for_url("**#main")


@pytest.mark.parametrize("width", [360, 1200])
def test_tests_stay_a_table_for_a_screen_reader(opened, width):
    page = opened("dossier", width)
    rows = page.get_by_role("row").filter(has_text="boundary, read at IJ-031")
    assert rows.count() == 2
    assert rows.first.get_by_role("rowheader").inner_text().startswith("2026-04-14")
    assert rows.first.get_by_role("cell").count() == 6


def test_a_stop_without_studs_fits_one_sheet_of_paper(opened):
    page = opened("route-sheet", PAPER_WIDTH)
    page.emulate_media(media="print")
    heights = page.evaluate(
        "[...document.querySelectorAll('.stop:not(.long)')].map(s => s.offsetHeight)"
    )
    assert heights
    assert max(heights) <= PAPER_HEIGHT
    blank = page.locator(".blanks td").first.bounding_box()
    assert blank["height"] >= 10 * PX_PER_MM
    boxes = page.locator("#stop-1 .box")
    sizes = [boxes.nth(i).bounding_box() for i in range(boxes.count())]
    assert all(s["height"] >= 10 * PX_PER_MM for s in sizes)
    assert all(s["width"] >= 30 * PX_PER_MM for s in sizes)
    assert page.evaluate("getComputedStyle(document.body).fontSize") == "13.5px"
