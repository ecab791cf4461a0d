"""Hostile pictures in the form that pages show them: nothing runs, nothing is asked."""

import datetime as dt
import hashlib

import pytest

from jointmap.changes.load import load
from jointmap.pictures import kind_of, rebuilt
from jointmap.workflows.publish import write_pages
from tests.opened_site import FIRST, ON, opened
from tests.pictures_made import ACCEPTED, ACT, CARRIERS, NOT_REBUILT, drawing
from tests.small_site import write

pytestmark = pytest.mark.browser
sync_api = pytest.importorskip(
    "playwright.sync_api", reason="no playwright here: the pictures' browser tests"
)
SWITCHES = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic",
            "--no-first-run", "--disable-background-networking",
            "--disable-component-update", "--disable-sync")  # fmt: skip
RAN = "document.documentElement.getAttribute('ran')"
DRAWN = "[...document.images].every(i => i.complete && i.naturalWidth > 0)"
WIDE = "document.documentElement.scrollWidth"
VIEW = "<script>alert(1)</script>"


@pytest.fixture(scope="module")
def browser(chromium):
    with sync_api.sync_playwright() as engine:
        found = engine.chromium.launch(executable_path=chromium, args=list(SWITCHES))
        yield found
        found.close()


@pytest.fixture
def page(browser):
    made = browser.new_page(viewport={"width": 1000, "height": 700})
    made.asked, made.said = [], []
    made.on("request", lambda r: made.asked.append(r.url))
    made.on("dialog", lambda d: (made.said.append(d.message), d.dismiss()))
    made.on("console", lambda m: made.said.append(m.text))
    yield made
    made.close()


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The published pages of a site with every hostile file on one joint."""
    folder = tmp_path_factory.mktemp("pictures")
    files = {**CARRIERS, **NOT_REBUILT, **{n: d for n, (d, _) in ACCEPTED.items()}}
    rows = ["file,sha256,media_type,size_bytes,subject,subject_key,view"]
    for number, (name, data) in enumerate(files.items()):
        write(folder / "sent" / "files", {f"{number}": data})
        kind = kind_of(folder / "sent" / "files" / f"{number}").media_type
        sha256 = hashlib.sha256(data).hexdigest()
        rows.append(
            f"files/{number},{sha256},{kind},{len(data)},joint,J-1,{name} {VIEW}"
        )
    write(folder / "sent", {"attachments.csv": "\n".join([*rows, ""])})
    site = opened(folder)
    now = FIRST + dt.timedelta(days=1)
    report = load(
        site, [folder / "sent" / "attachments.csv"], now=now, by="T1", reason="sent"
    )
    assert report.is_clean, report
    write_pages(site, folder / "pages", on=ON, known=None)
    site.register.close()
    return folder / "pages"


def quiet(page):
    far = [a for a in page.asked if not a.startswith(("file:", "data:"))]
    return page.evaluate(RAN) is None and not far and not page.said


def test_the_probe_sees_what_runs(page, tmp_path):
    (tmp_path / "x.svg").write_bytes(CARRIERS["script"])
    page.goto((tmp_path / "x.svg").as_uri())
    page.wait_for_function(f"{RAN} === '1'")
    assert page.said == ["1"]
    (tmp_path / "x.svg").write_bytes(CARRIERS["image"])
    page.goto((tmp_path / "x.svg").as_uri())
    assert not quiet(page)


def test_on_the_dossier_nothing_runs_and_all_is_drawn(page, pages):
    page.goto((pages / "dossiers" / "J-1.html").as_uri())
    assert quiet(page)
    assert page.evaluate(DRAWN)
    assert page.locator(".pictures img").count() == 24
    assert page.locator(".pictures li").count() == len(
        {*CARRIERS.values(), *NOT_REBUILT.values(), *(d for d, _ in ACCEPTED.values())}
    )
    assert VIEW in page.locator(".pictures").inner_text()
    page.set_viewport_size({"width": 360, "height": 700})
    assert page.evaluate(WIDE) <= 360
    # Nothing of the page leads to a file as it was sent.
    hrefs = page.eval_on_selector_all("a[href]", "a => a.map(x => x.href)")
    assert all(h.partition("#")[0].endswith(".html") for h in hrefs)


def test_on_a_picture_s_own_page_nothing_runs(page, pages):
    own = sorted((pages / "pictures").glob("*.html"))
    assert len(own) >= len({*CARRIERS.values()})
    for path in own:
        page.goto(path.as_uri())
        page.click("img")
        assert quiet(page), path.read_text("utf-8")[:2000]
        assert page.evaluate(DRAWN)
        assert VIEW in page.locator("h1").inner_text()
    assert all(a.startswith(("file:", "data:")) for a in page.asked)
    known = {".html", ".csv", ".json"}
    assert {p.suffix for p in pages.rglob("*") if p.is_file()} <= known


@pytest.mark.parametrize("name", CARRIERS)
def test_a_drawing_made_anew_is_still_even_on_its_own(page, tmp_path, name):
    (tmp_path / "x").write_bytes(CARRIERS[name])
    made = rebuilt(tmp_path / "x", kind_of(tmp_path / "x").media_type)
    (tmp_path / "x.svg").write_bytes(made.page)
    page.goto((tmp_path / "x.svg").as_uri())
    page.mouse.click(20, 15)
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert quiet(page), made.page
    assert page.url.endswith("x.svg")


def test_a_drawing_made_anew_looks_as_it_did(page, tmp_path):
    inside = (
        '<defs><linearGradient id="g"><stop offset="0" stop-color="red"/>'
        '<stop offset="1" style="stop-color:blue"/></linearGradient></defs>'
        '<rect x="2" y="2" width="40" height="20" style="fill:url(#g);stroke:#000"/>'
        '<g id="u" transform="translate(5 30)"><path d="M0 0h30" stroke="green"/></g>'
        '<use xlink:href="#u" y="4"/><text x="2" y="38" font-size="5">Ω &amp; é</text>'
    )
    (tmp_path / "a.svg").write_bytes(drawing(inside))
    made = rebuilt(tmp_path / "a.svg", kind_of(tmp_path / "a.svg").media_type)
    (tmp_path / "b.svg").write_bytes(made.page)
    shots = []
    for name in ("a.svg", "b.svg"):
        page.goto((tmp_path / name).as_uri())
        shots.append(page.screenshot())
    assert made.notes == ()
    assert shots[0] == shots[1]
    assert ACT not in made.page.decode()
