"""Small maps as SVG text, for dossiers and route sheets: north up, with a scale bar.

Drawn on a plane touching the earth at the middle of what is shown: true to scale there,
and good to 0.1 % over the few tens of kilometres that a sheet holds.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from jointmap.plain_text import markup
from jointmap.register.columns import Floats
from jointmap.site_map.data import MapLine, Tick
from jointmap.site_map.glyph import glyph_group, glyph_label
from jointmap.site_map.in_frame import runs_in_frame
from jointmap.site_map.style import ACCENT, INK, LINE, PAPER, QUIET
from jointmap.site_map.words import SENTENCES

GLYPH_PX = 16
NEIGHBOUR_PX = 12
BORDER_PX = 44
LEAST_WIDTH_METRE = 120.0
TICK_ROOM_PX = 40
UPWARD = -0.2  # a label's side, on a screen whose y grows downward
KILOMETRE = 1000
RUN = 3
# WGS 84, from its definition: half axis in metre, first eccentricity squared.
HALF_AXIS_METRE = 6378137.0
ECCENTRICITY_SQUARED = 0.00669437999014


@dataclass(frozen=True, slots=True)
class Spot:
    """One joint on a small map; codes are places in ``register.codes``."""

    tag: str
    latitude_deg: float
    longitude_deg: float
    verdict: int
    due_state: int
    is_suspect: bool = False


@dataclass(frozen=True, slots=True)
class Depot:
    """Where a route begins and ends."""

    name: str
    latitude_deg: float
    longitude_deg: float


@dataclass(frozen=True, slots=True)
class _Frame:
    """The piece of land that is shown, and its place on the sheet."""

    latitude_deg: float
    longitude_deg: float
    pixel_per_metre: float
    width_px: int
    height_px: int

    def place(self, longitude_deg: float, latitude_deg: float) -> tuple[float, float]:
        """Return the place on the sheet, in pixels from its upper left corner."""
        east, north = _metres_per_degree(self.latitude_deg)
        x = (longitude_deg - self.longitude_deg) * east * self.pixel_per_metre
        y = (latitude_deg - self.latitude_deg) * north * self.pixel_per_metre
        return round(self.width_px / 2 + x, 1), round(self.height_px / 2 - y, 1)

    def places(self, lon_lat_deg: Floats) -> Floats:
        """Return places on the sheet, not rounded; both are (points, 2)."""
        metre = np.array(_metres_per_degree(self.latitude_deg)) * (1.0, -1.0)
        middle = np.array([self.longitude_deg, self.latitude_deg])
        from_middle = (lon_lat_deg - middle) * metre * self.pixel_per_metre
        sheet: Floats = from_middle + np.array([self.width_px, self.height_px]) / 2
        return sheet

    def holds(self, tick: Tick) -> bool:
        """Return whether a post lies on the sheet."""
        x, y = self.place(tick.longitude_deg, tick.latitude_deg)
        return 0 <= x <= self.width_px and 0 <= y <= self.height_px


def _metres_per_degree(latitude_deg: float) -> tuple[float, float]:
    """Return metres per degree of longitude and of latitude on WGS 84."""
    angle = math.radians(latitude_deg)
    root = 1.0 - ECCENTRICITY_SQUARED * math.sin(angle) ** 2
    across = HALF_AXIS_METRE / math.sqrt(root)
    along = across * (1.0 - ECCENTRICITY_SQUARED) / root
    return math.radians(across * math.cos(angle)), math.radians(along)


def _frame(places: Sequence[tuple[float, float]], width: int, height: int) -> _Frame:
    """Return the frame that holds all ``places`` (longitude, latitude)."""
    lons, lats = zip(*places, strict=True)
    lon, lat = (min(lons) + max(lons)) / 2, (min(lats) + max(lats)) / 2
    east, north = _metres_per_degree(lat)
    wide = max((max(lons) - min(lons)) * east, LEAST_WIDTH_METRE)
    high = max((max(lats) - min(lats)) * north, LEAST_WIDTH_METRE * height / width)
    scale = min((width - 2 * BORDER_PX) / wide, (height - 2 * BORDER_PX) / high)
    return _Frame(lat, lon, scale, width, height)


def _text(x: float, y: float, text: str, anchor: str = "start", more: str = "") -> str:
    return (
        f'<text x="{x:g}" y="{y:g}" text-anchor="{anchor}" paint-order="stroke"'
        f' stroke="{PAPER}" stroke-width="3"{more}>{markup(text)}</text>'
    )


def _path(points: Iterable[Sequence[float]], stroke: str, more: str = "") -> str:
    text = " ".join(f"{x:g},{y:g}" for x, y in points)
    return f'<polyline points="{text}" fill="none" stroke="{stroke}"{more}/>'


def _tick_step(frame: _Frame) -> int:
    room = TICK_ROOM_PX / frame.pixel_per_metre / 1000
    return next((s for s in (1, 2, 5, 10, 20, 50, 100, 200) if s >= room), 500)


def _is_whole(kilometre: float, step: int) -> bool:
    return math.isclose(kilometre, round(kilometre / step) * step, abs_tol=1e-6)


def _tick(frame: _Frame, tick: Tick) -> str:
    """Return a stroke across the line and its label, on the lower side of it."""
    x, y = frame.place(tick.longitude_deg, tick.latitude_deg)
    across = math.radians(tick.bearing_deg + 90)
    dx, dy = math.sin(across), -math.cos(across)
    if dy < UPWARD:
        dx, dy = -dx, -dy
    ends = [(round(x + s * 5 * dx, 1), round(y + s * 5 * dy, 1)) for s in (-1, 1)]
    at = (round(x + dx * 22, 1), round(y + dy * 18 + 4, 1))
    label = _text(*at, f"KP {tick.kilometre:g}", "middle", f' fill="{QUIET}"')
    return _path(ends, LINE) + label


def _ticks(frame: _Frame, line: MapLine) -> str:
    step = _tick_step(frame)
    whole = [t for t in line.ticks if _is_whole(t.kilometre, step)]
    return "".join(_tick(frame, t) for t in whole if frame.holds(t))


def _line(frame: _Frame, line: MapLine | None) -> str:
    if line is None:
        return ""
    places = frame.places(line.lon_lat_deg)
    runs = runs_in_frame(places, frame.width_px, frame.height_px)
    drawn = (_path(run.round(1).tolist(), LINE, ' stroke-width="2"') for run in runs)
    return "".join(drawn) + _ticks(frame, line)


def _glyph(frame: _Frame, spot: Spot, size: int) -> str:
    x, y = frame.place(spot.longitude_deg, spot.latitude_deg)
    group = glyph_group(spot.verdict, spot.due_state, size, spot.is_suspect)
    title = f"{spot.tag}: {glyph_label(spot.verdict, spot.due_state)}"
    left, top = round(x - size / 2), round(y - size / 2)
    return (
        f'<g transform="translate({left} {top})"><title>{markup(title)}</title>'
        f"{group}</g>"
    )


def _scale_bar(frame: _Frame) -> str:
    """Return a bar of a round length, at most a third of the width."""
    most = frame.width_px / 3 / frame.pixel_per_metre
    power = 10.0 ** math.floor(math.log10(most))
    metre = max(n * power for n in (1, 2, 5) if n * power <= most)
    long = round(metre * frame.pixel_per_metre, 1)
    label = f"{metre / KILOMETRE:g} km" if metre >= KILOMETRE else f"{metre:g} m"
    y = frame.height_px - 10
    end = round(10 + long, 1)
    bar = [(10.0, y - 5), (10.0, y), (end, y), (end, y - 5)]
    return _path(bar, INK, ' stroke-width="1.5"') + _text(15, y - 5, label)


def _north(frame: _Frame) -> str:
    x = frame.width_px - 16
    arrow = [(x - 5, 28), (x, 18), (x + 5, 28)]
    stem = _path([(x, 18), (x, 44)], INK, ' stroke-width="1.5"')
    head = _path(arrow, INK, ' stroke-width="1.5"')
    return stem + head + _text(x, 14, SENTENCES["map.north"], "middle")


def _sheet(frame: _Frame, label: str, body: str) -> str:
    wide, high = frame.width_px, frame.height_px
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}"'
        f' viewBox="0 0 {wide} {high}" role="img" aria-label="{markup(label)}"'
        f' font-family="sans-serif" font-size="12" fill="{INK}">'
        f'<rect width="{wide}" height="{high}" fill="{PAPER}" stroke="#c8c8c8"/>'
        f"{body}{_scale_bar(frame)}{_north(frame)}</svg>"
    )


def _has_place(spot: Spot | Depot) -> bool:
    return math.isfinite(spot.latitude_deg) and math.isfinite(spot.longitude_deg)


def location_svg(
    point: Spot,
    neighbours: Sequence[Spot] = (),
    line: MapLine | None = None,
    size_px: tuple[int, int] = (360, 240),
) -> str:
    """Return a small map of a joint, those beside it and the line, as SVG text.

    A joint without a position (NaN) gives an empty text. Neighbours are drawn smaller
    and set the scale together with the joint; give those that are worth seeing.
    """
    if not _has_place(point):
        return ""
    beside = [n for n in neighbours if _has_place(n)]
    places = [(s.longitude_deg, s.latitude_deg) for s in (point, *beside)]
    frame = _frame(places, *size_px)
    x, y = frame.place(point.longitude_deg, point.latitude_deg)
    others = "".join(_glyph(frame, n, NEIGHBOUR_PX) for n in beside)
    name = _text(x, y - GLYPH_PX / 2 - 5, point.tag, "middle", ' font-weight="bold"')
    body = _line(frame, line) + others + _glyph(frame, point, GLYPH_PX) + name
    return _sheet(frame, SENTENCES["map.location_label"].format(tag=point.tag), body)


def _numbers(frame: _Frame, stops: Sequence[Spot]) -> str:
    """Return the stops' numbers; stops that would share a place share a label."""
    groups: list[tuple[float, float, list[int]]] = []
    numbered = [(n, s) for n, s in enumerate(stops, start=1) if _has_place(s)]
    for number, stop in numbered:
        x, y = frame.place(stop.longitude_deg, stop.latitude_deg)
        near = (
            g for g in groups if abs(g[0] - x) < GLYPH_PX and abs(g[1] - y) < GLYPH_PX
        )
        found = next(near, None)
        if found is None:
            groups.append((x, y, [number]))
        else:
            found[2].append(number)
    bold = ' font-weight="bold"'
    return "".join(
        _text(x + GLYPH_PX * 0.6, y - GLYPH_PX * 0.3, _runs(numbers), "start", bold)
        for x, y, numbers in groups
    )


def _runs(numbers: Sequence[int]) -> str:
    """Return rising numbers with runs of three or more drawn together: 1, 4-6."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts = [
        [f"{r[0]}-{r[-1]}"] if len(r) >= RUN else [str(n) for n in r] for r in runs
    ]
    return ", ".join(text for part in parts for text in part)


def _depot(frame: _Frame, depot: Depot) -> str:
    x, y = frame.place(depot.longitude_deg, depot.latitude_deg)
    square = (
        f'<rect x="{x - 5:g}" y="{y - 5:g}" width="10" height="10" fill="{ACCENT}"/>'
    )
    label = depot.name or SENTENCES["map.depot"]
    return square + _text(x, y + 19, label, "middle", f' fill="{ACCENT}"')


def route_svg(
    stops: Sequence[Spot],
    depot: Depot | None = None,
    line: MapLine | None = None,
    size_px: tuple[int, int] = (640, 360),
) -> str:
    """Return a map of a route, its stops numbered in the order given, as SVG text.

    A stop keeps its number when one before it has no position (NaN); such a stop is
    not drawn. Legs are straight: they show the order, not the road. With nothing to
    draw the text is empty.
    """
    ends = [depot] if depot is not None and _has_place(depot) else []
    placed = [s for s in stops if _has_place(s)]
    route: list[Spot | Depot] = [*ends, *placed, *ends]
    way = [(s.longitude_deg, s.latitude_deg) for s in route]
    if not placed:
        return ""
    frame = _frame(way, *size_px)
    legs = _path(
        [frame.place(*at) for at in way],
        ACCENT,
        ' stroke-width="1.5" stroke-dasharray="5 4"',
    )
    body = _line(frame, line) + legs + "".join(_depot(frame, d) for d in ends)
    body += "".join(_glyph(frame, s, GLYPH_PX) for s in placed)
    return _sheet(frame, SENTENCES["map.route_label"], body + _numbers(frame, stops))
