"""Boundary statements of the demo on paper: one A4 sheet each, nothing cut off."""

import pytest

from tests.browser.test_reports_in_browser import SWITCHES

pytestmark = pytest.mark.browser
sync_api = pytest.importorskip(
    "playwright.sync_api", reason="no playwright here: no statement was printed"
)
LAST = "document.querySelector('.foot').getBoundingClientRect().bottom"
A4_PX = 297 * 96 / 25.4


def test_every_statement_prints_on_one_sheet(chromium, pages, count):
    files = sorted(pages.glob("boundaries/*-statement.html"))
    # The longest first: they are the ones that may not fit.
    files.sort(key=lambda f: f.stat().st_size, reverse=True)
    with sync_api.sync_playwright() as engine:
        browser = engine.chromium.launch(executable_path=chromium, args=list(SWITCHES))
        page = browser.new_page(viewport={"width": 696, "height": 1040})
        too_long = []
        for file in files[: count(8, len(files))]:
            page.goto(file.as_uri())
            pdf = page.pdf(prefer_css_page_size=True)
            page.emulate_media(media="print")
            if pdf.count(b"/Type /Page\n") != 1 or page.evaluate(LAST) > A4_PX:
                too_long.append(file.name)
        browser.close()
    assert files
    assert too_long == []
