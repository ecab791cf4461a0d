"""All that is written of a site, and what must hold of each file."""

import csv
import io
import re
from html.parser import HTMLParser
from pathlib import Path

from jointmap.pages.boundary.statement import write_statement
from jointmap.pages.dossier.page import dossier_html
from jointmap.pages.month.page import write_month
from jointmap.plain_text.policy import policy
from jointmap.plain_text.visible import UNSEEN
from jointmap.register import Boundary, Joint
from jointmap.sites.site_folder import SiteFolder
from jointmap.workflows.export import export_joints
from jointmap.workflows.handover import write_handover
from jointmap.workflows.late import late_shown
from jointmap.workflows.publish import write_pages
from jointmap.workflows.worksheet import write_worksheets
from tests.opened_site import ON

# What a spreadsheet takes for a formula once blanks and quotes are gone (OWASP, "CSV
# Injection"); written here a second time, and another way, on purpose.
FORMULA_SIGNS = set("=+-@\t\r＝＋－＠")  # noqa: RUF001
NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")


def write_all(site: SiteFolder, out: Path) -> None:
    """Write every page, sheet, table and PDF that the program makes, below ``out``."""
    out.mkdir()
    at = {"on": ON, "known": None}
    write_pages(site, out / "pages", **at)
    write_month(site, "2026-06", out / "pages" / "months" / "2026-06", **at)
    with site.register.read() as state:
        tags = [joint.tag for joint in state.records(Joint).values()]
        name = next(iter(state.records(Boundary).values())).name
    # Whoever types a tag may leave out the blanks around it, and so the sheets ask.
    asked = [tag for tag in tags if tag == tag.strip()]
    if asked:
        write_worksheets(site, asked, out / "sheets", **at, scheme="thirds")
        (out / "one.html").write_text(dossier_html(site, asked[0], **at), "utf-8")
    for suffix in ("html", "pdf"):
        write_statement(site, name, out / f"statement.{suffix}", **at)
    write_handover(site, out / "handover", **at, contractor=None)
    for suffix in ("csv", "geojson", "gpkg", "gpx"):
        export_joints(site, out / f"joints.{suffix}", **at)
    late, _ = late_shown(site, days=1, known=None, form="csv")
    (out / "late.csv").write_text(late, "utf-8")


class Skeleton(HTMLParser):
    """The elements of a page without its words: what a browser would make of it."""

    def __init__(self, page: Path) -> None:
        super().__init__(convert_charrefs=True)
        self.marks: set[tuple[str, str]] = set()
        self.addresses: list[str] = []
        self.policy = ""
        self.own: dict[str, list[str]] = {"style": [], "script": []}
        self.words: list[str] = []
        self._inside = ""
        self.feed(page.read_bytes().decode())
        self.close()

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.marks |= {(tag, name) for name in ("", *given)}
        self.addresses += [given[n] for n in ("href", "src") if given.get(n)]
        self.words += [v for n, v in attrs if v and n in {"aria-label", "title"}]
        if given.get("http-equiv") == "Content-Security-Policy":
            self.policy = given["content"]
        is_run = tag == "style" or (tag == "script" and "type" not in given)
        self._inside = tag if is_run else ""

    def handle_endtag(self, tag):
        self._inside = "" if tag == self._inside else self._inside

    def handle_data(self, data):
        if self._inside:
            self.own[self._inside].append(data)
        else:
            self.words.append(data)

    @property
    def expected_policy(self) -> str:
        """The policy of just what this page holds."""
        return policy(self.own["style"], self.own["script"])

    @property
    def text(self) -> str:
        """What the page says, attributes that are read out included."""
        return "\n".join(self.words)


def without_digests(text: str) -> str:
    """Leave out digests and fingerprints, which hold any four digits by chance."""
    return re.sub(r"[0-9a-f]{12,}", "", text)


def unseen_in(text: str) -> list[str]:
    """Return the unseen characters of a text, ends of lines apart."""
    return sorted({hex(ord(c)) for c in UNSEEN.findall(text.replace("\n", ""))})


def cells_of(path: Path) -> list[str]:
    """Return every cell of a CSV file."""
    text = path.read_bytes().decode()
    return [c for row in csv.reader(io.StringIO(text), strict=True) for c in row]


def is_formula(cell: str) -> bool:
    """Return whether a spreadsheet would reckon a cell, numbers apart."""
    first = cell.lstrip(' \u00a0"`\u2018\u2019\u201c\u201d')[:1]
    return first in FORMULA_SIGNS and not NUMBER.fullmatch(cell)
