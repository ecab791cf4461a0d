"""Pages as a reader meets them: links, anchors, words, rows of lists."""

import html
import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit


class _Marks(HTMLParser):
    """Collects where a page leads and which anchors it offers."""

    def __init__(self) -> None:
        super().__init__()
        self.leads: list[str] = []
        self.anchors: set[str] = set()

    def handle_starttag(self, tag, attrs):
        del tag
        given = dict(attrs)
        self.leads += [given[n] for n in ("href", "src", "action") if given.get(n)]
        self.anchors |= {given[n] for n in ("id", "name") if given.get(n)}


def marks(page: Path) -> tuple[list[str], set[str]]:
    """Return the addresses a page leads to, and its anchors."""
    found = _Marks()
    found.feed(page.read_text(encoding="utf-8"))
    return found.leads, found.anchors


def broken(page: Path, top: Path) -> list[str]:
    """Return the addresses that lead off the machine or to nothing below ``top``."""
    leads, own = marks(page)
    return [a for a in leads if not _leads_somewhere(a, page, top, own)]


def _leads_somewhere(address: str, page: Path, top: Path, own: set[str]) -> bool:
    if address.startswith("data:"):
        return True
    parts = urlsplit(address)
    if parts.scheme or parts.netloc:
        return False
    target = (page.parent / unquote(parts.path)).resolve() if parts.path else page
    if not (target.is_file() and target.is_relative_to(top)):
        return False
    if not parts.fragment:
        return True
    anchors = own if target == page else marks(target)[1]
    return parts.fragment in anchors or target.name == "map.html"


def words(page: Path) -> str:
    """Return what a page says, with one space between words."""
    text = page.read_text(encoding="utf-8")
    text = re.sub(r"<(style|script|svg).*?</\1>", " ", text, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def rows(text: str) -> int:
    """Return how many rows the bodies of tables in this part of a page have."""
    bodies = re.findall(r"<tbody.*?</tbody>", text, flags=re.DOTALL)
    return sum(len(re.findall(r"<tr\b", body)) for body in bodies)


def part(page: Path, anchor: str) -> str:
    """Return a page from an anchor to the next heading of its rank."""
    text = page.read_text(encoding="utf-8")
    start = text.index(f'id="{anchor}"')
    end = re.search(r"<h2\b", text[start + 1 :])
    return text[start : start + 1 + end.start()] if end else text[start:]
