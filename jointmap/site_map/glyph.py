"""The sign of a joint: two short bars, and a gap that shows the verdict.

The shapes are data in a unit square; this module draws them as SVG and the page hands
the same data to its canvas, so there is one drawing only. Below the bars the ticks show
the due state; an arch over the bars marks a suspect.
"""

from dataclasses import dataclass
from functools import cache

from jointmap.plain_text import markup
from jointmap.register.codes import DueState, Verdict
from jointmap.site_map.style import INK, PAPER, TINTS
from jointmap.site_map.words import SENTENCES


@dataclass(frozen=True, slots=True)
class Shape:
    """A ``box`` (left, top, right, bottom) or a ``stroke`` (width, x, y, x, y, ...).

    Boxes snap to whole pixels when drawn, strokes do not. ``role``: ink, paper or tint.
    """

    kind: str
    role: str
    numbers: tuple[float, ...]


BAR, GAP = 0.18, 0.36
LEFT, RIGHT = 0.14, 0.86
TOP, BOTTOM = 0.18, 0.72
GAP_LEFT, GAP_RIGHT = LEFT + BAR, RIGHT - BAR


def _box(role: str, *numbers: float) -> Shape:
    return Shape("box", role, tuple(round(n, 4) for n in numbers))


def _stroke(*numbers: float) -> Shape:
    return Shape("stroke", "ink", tuple(round(n, 4) for n in numbers))


def _in_gap(x: float, y: float) -> tuple[float, float]:
    """Turn a place in the gap (0 to 1 each way) into one in the unit square."""
    return GAP_LEFT + x * GAP, TOP + y * (BOTTOM - TOP)


def _hatch() -> tuple[Shape, ...]:
    """Return 45 degree strokes cut at the edges of the gap."""
    high = BOTTOM - TOP
    found = []
    for reach in (0.18, 0.48, 0.78):
        start, end = max(0.0, reach - high), min(GAP, reach)
        found.append(
            _stroke(
                0.10,
                GAP_LEFT + start,
                TOP + reach - start,
                GAP_LEFT + end,
                TOP + reach - end,
            )
        )
    return tuple(found)


def _question() -> tuple[Shape, ...]:
    hook = ((0.14, 0.24), (0.32, 0.09), (0.68, 0.09), (0.86, 0.26), (0.86, 0.36))
    tail = ((0.50, 0.56), (0.50, 0.72))
    points = [n for at in hook + tail for n in _in_gap(*at)]
    left, top = _in_gap(0.37, 0.83)
    right, bottom = _in_gap(0.63, 1.0)
    return (_stroke(0.09, *points), _box("ink", left, top, right, bottom))


def _dots() -> tuple[Shape, ...]:
    tops = (0.19, 0.39, 0.59)
    return tuple(_box("ink", 0.43, top, 0.57, top + 0.12) for top in tops)


def _tinted(*marks: Shape, role: str = "tint") -> tuple[Shape, ...]:
    return (_box(role, GAP_LEFT, TOP, GAP_RIGHT, BOTTOM), *marks)


BARS = (
    _box("paper", LEFT - 0.08, TOP - 0.08, RIGHT + 0.08, BOTTOM + 0.08),
    _box("ink", LEFT, TOP, LEFT + BAR, BOTTOM),
    _box("ink", RIGHT - BAR, TOP, RIGHT, BOTTOM),
)
# by Verdict
GAPS = (
    _tinted(),
    _tinted(*_hatch()),
    _tinted(),
    _tinted(*_question()),
    _tinted(*_dots()),
)
TICK_TOP, TICK_BOTTOM = 0.82, 1.0
_UNDER = _box("paper", LEFT - 0.08, BOTTOM, RIGHT + 0.08, TICK_BOTTOM + 0.08)


def _dots_below(*lefts: float) -> tuple[Shape, ...]:
    return (_UNDER, *(_box("ink", x, 0.85, x + 0.10, 0.94) for x in lefts))


# by DueState: none; one tick; one wide tick; two ticks; three, two dots; one dot
TICKS: tuple[tuple[Shape, ...], ...] = (
    (),
    (_UNDER, _box("ink", 0.41, TICK_TOP, 0.59, TICK_BOTTOM)),
    (_UNDER, _box("ink", LEFT, TICK_TOP, RIGHT, 0.97)),
    (
        _UNDER,
        _box("ink", LEFT, TICK_TOP, LEFT + 0.25, TICK_BOTTOM),
        _box("ink", RIGHT - 0.25, TICK_TOP, RIGHT, TICK_BOTTOM),
    ),
    _dots_below(LEFT, 0.45, RIGHT - 0.10),
    _dots_below(0.30, 0.60),
    _dots_below(0.45),
)
ARCH = (
    _box("ink", LEFT + 0.05, 0.0, RIGHT - 0.05, 0.07),
    _box("ink", LEFT + 0.05, 0.0, LEFT + 0.12, 0.13),
    _box("ink", RIGHT - 0.12, 0.0, RIGHT - 0.05, 0.13),
)

# A cell of 4 x 4 pixels, by Verdict: (role, left, top, right, bottom) in pixels.
_FRAME = (("ink", 0, 0, 4, 4), ("tint", 1, 1, 3, 3))
CELLS: tuple[tuple[tuple[str, int, int, int, int], ...], ...] = (
    _FRAME,
    (*_FRAME, ("ink", 1, 2, 2, 3), ("ink", 2, 1, 3, 2)),
    (("ink", 0, 0, 4, 4), ("tint", 0, 1, 4, 3)),
    (*_FRAME, ("ink", 1, 1, 2, 3)),
    (("paper", 0, 0, 4, 4), ("ink", 0, 0, 1, 1), ("ink", 3, 0, 4, 1),
     ("ink", 0, 3, 1, 4), ("ink", 3, 3, 4, 4)),
)  # fmt: skip


def shapes(verdict: int, due_state: int, is_suspect: bool = False) -> tuple[Shape, ...]:
    """Return the shapes of a glyph in drawing order, in a unit square."""
    arch = ARCH if is_suspect else ()
    return (*TICKS[due_state], *BARS, *GAPS[verdict], *arch)


def _colour(role: str, verdict: int) -> str:
    return {"ink": INK, "paper": PAPER, "tint": TINTS[verdict]}[role]


def _drawn(shape: Shape, colour: str, size: float) -> str:
    if shape.kind == "box":
        left, top, right, bottom = (int(n * size + 0.5) for n in shape.numbers)
        wide, high = max(right - left, 1), max(bottom - top, 1)
        return (
            f'<rect x="{left}" y="{top}" width="{wide}" height="{high}"'
            f' fill="{colour}"/>'
        )
    width, *places = (round(n * size, 2) for n in shape.numbers)
    points = " ".join(f"{x:g},{y:g}" for x, y in zip(*[iter(places)] * 2, strict=True))
    return (
        f'<polyline points="{points}" fill="none" stroke="{colour}"'
        f' stroke-width="{max(width, 0.8):g}"/>'
    )


@cache
def glyph_group(
    verdict: int, due_state: int, size_px: float, is_suspect: bool = False
) -> str:
    """Return the glyph's shapes as SVG text, to be placed inside a drawing."""
    return "".join(
        _drawn(s, _colour(s.role, verdict), size_px)
        for s in shapes(verdict, due_state, is_suspect)
    )


def glyph_label(verdict: int, due_state: int) -> str:
    """Return what the glyph says in words."""
    return SENTENCES["map.glyph_label"].format(
        verdict=Verdict.at(verdict), due=DueState.at(due_state)
    )


def glyph(verdict: int, due_state: int, size_px: int, is_suspect: bool = False) -> str:
    """Return the glyph as an SVG drawing of ``size_px`` with its meaning as its title.

    One pixel of white lies around it, so that it stays legible on a line.
    """
    label = markup(glyph_label(verdict, due_state))
    side = size_px + 2
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}" height="{side}"'
        f' viewBox="-1 -1 {side} {side}" role="img" aria-label="{label}">'
        f"<title>{label}</title>"
        f"{glyph_group(verdict, due_state, size_px, is_suspect)}</svg>"
    )


def glyph_data() -> dict[str, object]:
    """Return the drawing as plain lists for the page's canvas."""

    def plain(group: tuple[Shape, ...]) -> list[list[object]]:
        return [[s.kind, s.role, *s.numbers] for s in group]

    return {
        "bars": plain(BARS),
        "gaps": [plain(g) for g in GAPS],
        "ticks": [plain(t) for t in TICKS],
        "arch": plain(ARCH),
        "cells": [[list(c) for c in cell] for cell in CELLS],
        "ink": INK,
        "paper": PAPER,
        "tints": list(TINTS),
    }


def _legend_row(number: int, drawing: str, text: str) -> str:
    y = 6 + number * 26
    return (
        f'<g transform="translate(6 {y})">{drawing}</g>'
        f'<text x="38" y="{y + 16}">{markup(text)}</text>'
    )


def legend_svg() -> str:
    """Return the key of the glyph as one SVG drawing: verdicts, due states, suspect."""
    verdicts = [(glyph_group(v, 0, 22), str(w)) for v, w in enumerate(Verdict)]
    states = [(glyph_group(0, d, 22), str(w)) for d, w in enumerate(DueState)]
    suspect = (glyph_group(0, 0, 22, is_suspect=True), SENTENCES["map.legend_suspect"])
    rows = [*verdicts, *states, suspect]
    high = 12 + len(rows) * 26
    body = "".join(_legend_row(i, *row) for i, row in enumerate(rows))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="340" height="{high}"'
        f' viewBox="0 0 340 {high}" font-family="sans-serif" font-size="14"'
        f' fill="{INK}">{body}</svg>'
    )
