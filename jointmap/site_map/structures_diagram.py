"""A plain drawing of structures and the boundaries between them, as SVG text.

Structures stand in columns by how many boundaries they are from the first; each
boundary is a line with the glyph of its verdict in the middle.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import breadth_first_order, connected_components

from jointmap.plain_text import markup
from jointmap.register.codes import DueState, Verdict
from jointmap.site_map.glyph import glyph_group

BOX_WIDTH, BOX_HEIGHT = 96, 26
COLUMN, ROW = 210, 46
GLYPH_PX = 22
_MARGIN = 8
_INK, _PAPER = "#1a1a1a", "#ffffff"
_IN_TIME = DueState.IN_TIME.code
_JOINED_WIDTH, _APART_WIDTH = 4, 1.5
# From a box back along the line: where it turns, where its sign stands, the next sign.
_REACH, _SIGN, _SET_BACK, _TURN = 92, 32, 38, 16


@dataclass(frozen=True, slots=True)
class DrawnBoundary:
    """One boundary: the places of its two structures, its name and verdict."""

    a: int
    b: int
    name: str
    verdict: int
    is_joined: bool
    is_asked: bool = False


def structures_svg(
    names: Sequence[str], boundaries: Sequence[DrawnBoundary], label: str
) -> str:
    """Return the drawing; ``label`` tells of it to who cannot see it."""
    column, row = _places(len(names), boundaries)
    wide = _MARGIN * 2 + BOX_WIDTH + COLUMN * max(column, default=0)
    high = _MARGIN * 2 + BOX_HEIGHT + round(ROW * max(row, default=0))
    spots = {
        n: (_MARGIN + COLUMN * column[n], _MARGIN + ROW * row[n])
        for n in range(len(names))
    }
    merged = {end for b in boundaries if b.is_joined for end in (b.a, b.b)}
    routes = _routes(boundaries, spots)
    drawn = list(zip(boundaries, routes, strict=True))
    body = "".join(_line(b, route) for b, route in drawn)
    body += "".join(_box(name, spots[n], n in merged) for n, name in enumerate(names))
    body += "".join(_sign(b, route) for b, route in drawn)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" '
        f'width="{wide}" height="{high}" role="img" aria-label="{markup(label)}" '
        f'font-family="Open Sans, sans-serif" font-size="12">{body}</svg>'
    )


def _places(
    count: int, boundaries: Sequence[DrawnBoundary]
) -> tuple[list[int], list[float]]:
    """Return column and row of each structure: trees side by side, leaves in rows."""
    column, row = [0] * count, [0.0] * count
    if not count:
        return column, row
    a, b = [x.a for x in boundaries], [x.b for x in boundaries]
    graph = coo_array((np.ones(len(a)), (a, b)), shape=(count, count)).tocsr()
    degree = np.bincount([*a, *b], minlength=count)
    part = connected_components(graph, directed=False)[1]
    next_row = 0.0
    for label in dict.fromkeys(part.tolist()):
        members = np.flatnonzero(part == label)
        root = int(members[np.argmax(degree[members])])
        order, above = breadth_first_order(graph, root, directed=False)
        below: dict[int, list[int]] = {int(n): [] for n in order}
        for node in order[1:].tolist():
            below[int(above[node])].append(node)
            column[node] = column[int(above[node])] + 1
        next_row = _rows(root, below, row, next_row)
    return column, row


def _rows(
    node: int, below: Mapping[int, list[int]], row: list[float], next_row: float
) -> float:
    for child in below[node]:
        next_row = _rows(child, below, row, next_row)
    if below[node]:
        row[node] = (row[below[node][0]] + row[below[node][-1]]) / 2
        return next_row
    row[node] = next_row
    return next_row + 1.0


def _routes(
    boundaries: Sequence[DrawnBoundary], spots: Mapping[int, tuple[float, float]]
) -> list["_Route"]:
    """Return the way of each line, and where its sign stands.

    A line leaves its left box, turns once and meets the right box in that box's own
    row; further lines to one box set their signs back, one beside the other.
    """
    arrived: dict[int, int] = {}
    found = []
    for boundary in boundaries:
        left, right = sorted(
            (boundary.a, boundary.b), key=lambda n: (spots[n][0], spots[n][1])
        )
        before = arrived[right] = arrived.get(right, -1) + 1
        found.append(_route(spots[left], spots[right], before))
    return found


@dataclass(frozen=True, slots=True)
class _Route:
    path: str
    x: float
    y: float


def _route(start: tuple[float, float], end: tuple[float, float], before: int) -> _Route:
    middle = BOX_HEIGHT / 2
    x1, y1, y2 = start[0] + BOX_WIDTH, start[1] + middle, end[1] + middle
    if start[0] == end[0]:
        turn = x1 + _TURN * (2 + before)
        path = f"M{x1:g} {y1:g}H{turn:g}V{y2:g}H{x1:g}"
        return _Route(path, turn, (y1 + y2) / 2)
    y2 += before * _SET_BACK / 4
    path = f"M{x1:g} {y1:g}H{end[0] - _REACH:g}V{y2:g}H{end[0]:g}"
    return _Route(path, end[0] - _SIGN - before * _SET_BACK, y2)


def _box(name: str, at: tuple[float, float], is_merged: bool) -> str:
    x, y = at
    width = 3 if is_merged else 1.2
    return (
        f'<rect x="{x:g}" y="{y:g}" width="{BOX_WIDTH}" height="{BOX_HEIGHT}" rx="3"'
        f' fill="{_PAPER}" stroke="{_INK}" stroke-width="{width}"/>'
        f'<text x="{x + BOX_WIDTH / 2:g}" y="{y + 17:g}" text-anchor="middle"'
        f' fill="{_INK}">{markup(_short(name))}</text>'
    )


def _short(name: str) -> str:
    most = 13
    return name if len(name) <= most else f"{name[: most - 1]}…"


def _line(boundary: DrawnBoundary, route: _Route) -> str:
    width = _JOINED_WIDTH if boundary.is_joined else _APART_WIDTH
    return (
        f'<path d="{route.path}" fill="none" stroke="{_INK}"'
        f' stroke-width="{width}" stroke-linejoin="round"/>'
    )


def _sign(boundary: DrawnBoundary, route: _Route) -> str:
    x, y = route.x, route.y
    drawn = glyph_group(boundary.verdict, _IN_TIME, GLYPH_PX)
    corner = f"translate({x - GLYPH_PX / 2:g} {y - GLYPH_PX / 2:g})"
    weight = ' font-weight="bold"' if boundary.is_asked else ""
    words = f"{boundary.name}, {list(Verdict)[boundary.verdict]}"
    return (
        f"<g><title>{markup(words)}</title>"
        f'<g transform="{corner}">{drawn}</g>'
        f'<text x="{x:g}" y="{y + 20:g}" text-anchor="middle" font-size="9"'
        f' fill="{_INK}"{weight}>{markup(boundary.name)}</text></g>'
    )
