"""Every page of a hostile site in Chromium: nothing runs, nothing leaves, all shows."""

import pytest

from jointmap.plain_text import visible
from tests.hostile_pages import write_all
from tests.hostile_site import hostile_site, probes

pytestmark = pytest.mark.browser
sync_api = pytest.importorskip(
    "playwright.sync_api", reason="no playwright here: the probes' browser tests"
)
SWITCHES = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
SET_UP = (
    "addEventListener('securitypolicyviolation', e => window.ran = e.violatedDirective)"
)
SETTINGS = "JSON.parse(document.getElementById('map-settings').textContent)"


@pytest.fixture(scope="module")
def browser(chromium):
    with sync_api.sync_playwright() as engine:
        found = engine.chromium.launch(executable_path=chromium, args=list(SWITCHES))
        yield found
        found.close()


@pytest.fixture
def sheet(browser):
    """A page that keeps whatever a hostile text could have done."""
    page = browser.new_page(viewport={"width": 1280, "height": 860})
    page.add_init_script(SET_UP)
    page.asked, page.faults = [], []

    def asked_to_confirm(dialog):
        page.faults.append(dialog.message)
        dialog.dismiss()

    page.on("dialog", asked_to_confirm)
    page.on("request", lambda r: page.asked.append(r.url))
    page.on("console", lambda m: page.faults.append(m.text))
    page.on("pageerror", lambda e: page.faults.append(str(e)))
    yield page
    page.close()


def opened(sheet, path):
    """Open a page; say what was wrong with it."""
    sheet.asked.clear()
    sheet.goto(path.as_uri())
    if path.name == "map.html":
        sheet.wait_for_selector("body[data-ready]")
    ran = sheet.evaluate("window.ran")
    away = [url for url in sheet.asked if url not in {path.as_uri(), "data:,"}]
    return [*sheet.faults, *away, *([f"ran: {ran}"] if ran else [])]


def pages_of(folder):
    return sorted((folder / "out").rglob("*.html"))


def test_no_page_runs_or_asks_for_anything(sheet, hostile):
    pages = pages_of(hostile)
    assert len(pages) >= 18
    faults = {page.name: opened(sheet, page) for page in pages}
    assert {name for name, odd in faults.items() if odd} == set(), faults


def test_the_policy_stops_what_gets_into_a_page_all_the_same(sheet, hostile, tmp_path):
    """The second wall: markup put in by hand, as if escaping had failed."""
    for name in ("index", "map"):
        text = (hostile / "out" / "pages" / f"{name}.html").read_text("utf-8")
        bad = "<img src=x onerror='window.did=1'><script>window.did=1</script>"
        path = tmp_path / f"{name}.html"
        path.write_text(text.replace("</header>", f"</header>{bad}", 1), "utf-8")
        sheet.goto(path.as_uri())
        assert sheet.evaluate("[window.did === undefined, !!window.ran]") == [
            True,
            True,
        ]


def test_the_map_finds_shows_and_follows_hostile_names(sheet, hostile, all_probes):
    path = hostile / "out" / "pages" / "map.html"
    assert opened(sheet, path) == []
    tag = visible(f"{all_probes} joint.tag")
    assert sheet.evaluate(f"{SETTINGS}.areas") == [visible(f"{all_probes} joint.area")]
    sheet.fill("#search", "window.ran=1</script>")
    assert sheet.locator("#list button").count() == 2
    row = sheet.locator("#list .tag").first
    assert row.evaluate("e => e.textContent") == tag
    row.click()
    heading = sheet.locator("#details-tag")
    assert heading.evaluate("e => e.textContent") == tag
    sheet.locator("#details a").click()
    sheet.wait_for_load_state()
    assert "/dossiers/" in sheet.url
    assert tag in sheet.locator("main").evaluate("e => e.textContent")
    assert sheet.faults == []


@pytest.mark.full
@pytest.mark.parametrize("family", sorted({n.partition(".")[0] for n in probes()}))
def test_each_family_alone(sheet, tmp_path, family):
    own = [text for name, text in probes().items() if name.startswith(f"{family}.")]
    site = hostile_site(tmp_path, "".join(own))
    write_all(site, tmp_path / "out")
    site.register.close()
    faults = {page.name: opened(sheet, page) for page in pages_of(tmp_path)}
    assert {name: odd for name, odd in faults.items() if odd} == {}
