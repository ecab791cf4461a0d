"""The fitting worksheet as an HTML page and as PDF.

Memory grows with every sheet a process makes (about half a megabyte): whoever makes
many gives the work to a process of its own and ends it now and then.
"""

import math
from collections.abc import Mapping
from dataclasses import asdict

from markupsafe import Markup

from jointmap.reports.fixed_words import label
from jointmap.reports.rendering import render
from jointmap.reports.typesetting import pdf_of
from jointmap.reports.views import Fact
from jointmap.reports.views_worksheet import Worksheet
from jointmap.wording.worksheet import WORDS

TEMPLATE = "worksheet.typ"
_RADIUS = 40.0


def worksheet_page(view: Worksheet) -> str:
    """Return the sheet as an HTML page."""
    return render("worksheet.html", view)


def worksheet_pdf(view: Worksheet) -> bytes:
    """Return the sheet as PDF, A4, black and white."""
    return pdf_of(TEMPLATE, _plain(view))


def _plain(view: Worksheet) -> Mapping[str, object]:
    frame = view.frame
    words = {id_: label(f"worksheet.{id_}") for id_ in WORDS if "{" not in WORDS[id_]}
    foot = label("page.fingerprint", entry=frame.entry)
    return {
        **asdict(view),
        "fitted": [_named(fact) for fact in view.fitted],
        "words": words,
        "heading": f"{frame.site}, {frame.on.isoformat()}. {frame.training}",
        "foot": f"{foot} {frame.fingerprint[:16]}. {words['advises']}",
        "passes_title": label("worksheet.passes", scheme=view.scheme),
        "frame": None,
    }


def _named(fact: Fact) -> Mapping[str, str]:
    return {"name": label(f"field.{fact.name}"), "value": fact.value}


def worksheet_clock(turns: tuple[int, ...]) -> Markup:
    """Return the flange seen from side A: studs by number, turns outside the ring.

    Black and white; stud 1 is filled.
    """
    count = len(turns)
    studs = Markup("").join(_stud(n, t, count) for n, t in enumerate(turns, start=1))
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-60 -60 120 120"'
        ' class="work-clock" font-family="Open Sans, sans-serif" text-anchor="middle">'
        '<circle r="48" fill="none" stroke="#000" stroke-width="0.8"/>'
        '<circle r="22" fill="none" stroke="#000" stroke-width="0.8"/>'
        '<path d="M0-22V-14M-3-18L0-22L3-18" fill="none" stroke="#000"/>{}</svg>'
    ).format(studs)


def _stud(number: int, turn: int, count: int) -> Markup:
    angle = 2 * math.pi * (number - 0.5) / count
    size = min(7.0, 115.0 / count)
    ink, paper = ("#fff", "#000") if number == 1 else ("#000", "#fff")
    return Markup(
        '<circle cx="{:.2f}" cy="{:.2f}" r="{:.2f}" fill="{}" stroke="#000"/>'
        '<text x="{:.2f}" y="{:.2f}" font-size="{:.2f}" font-weight="700"'
        ' fill="{}">{}</text>'
        '<text x="{:.2f}" y="{:.2f}" font-size="{:.2f}">{}</text>'
    ).format(
        *_at(angle, _RADIUS, 0.0),
        size,
        paper,
        *_at(angle, _RADIUS, 0.38 * size),
        1.2 * size,
        ink,
        number,
        *_at(angle, _RADIUS + 14.0, 1.6),
        min(5.5, 180.0 / count),
        turn,
    )


def _at(angle: float, radius: float, down: float) -> tuple[float, float]:
    return radius * math.sin(angle), down - radius * math.cos(angle)
