"""The map page: one HTML text with everything inside, the same bytes each time.

Folium makes the script that sets up the map, from words of this package only: it
compiles what it is given. What stands in the register reaches the page as JSON in a
script element that is not run, and is put on the screen as text by our own script.
"""

from functools import cache
from importlib.resources import files

import folium
from branca.element import Figure
from folium.template import Template
from jinja2 import Environment, PackageLoader, StrictUndefined

from jointmap.plain_text import (
    own_markup,
    policy,
    script_json,
    shown_value,
    visible,
)
from jointmap.register.codes import DueState, Verdict
from jointmap.site_map.columns_text import NOTHING, Packed, pack
from jointmap.site_map.data import MapData, MapLine, bounds_of
from jointmap.site_map.glyph import glyph_data
from jointmap.site_map.style import ACCENT, LINE, QUIET
from jointmap.site_map.words import SENTENCES

SCRIPTS = ("unpack", "joints", "glyphs", "sheets", "ground", "marks", "panel", "start")
MONTHS_AHEAD = 24


@cache
def _asset(name: str) -> str:
    folder = files("jointmap.site_map") / "assets"
    return folder.joinpath(*name.split("/")).read_text(encoding="utf-8")


def _script_text(text: str) -> str:
    """Return text that cannot end the script element it stands in."""
    return text.replace("</script", "<\\/script").replace("<!--", "<\\!--")


@cache
def _leaflet_script() -> str:
    script = _asset("leaflet/leaflet.js").split("//# sourceMappingURL")[0]
    licence = _asset("leaflet/LICENSE").strip()
    return _script_text(f"/*\n{licence}\n*/\n{script}")


@cache
def _style() -> str:
    """Return Leaflet's style, without the pictures this map does not show, and ours."""
    lines = _asset("leaflet/leaflet.css").splitlines()
    kept = "\n".join(line for line in lines if "url(" not in line)
    return kept + _asset("map/map.css")


@cache
def _own_script() -> str:
    parts = [_asset(f"map/{name}.js") for name in SCRIPTS]
    own = '(function () {\n"use strict";\n' + "\n".join(parts) + "})();"
    start = f"window.startJointMap({_OfflineMap().get_name()});"
    return _script_text(f"\n{_folium_script()}\n{own}\n{start}\n")


def _line(line: MapLine) -> dict[str, object]:
    ticks = [
        [t.kilometre, t.longitude_deg, t.latitude_deg, t.bearing_deg]
        for t in line.ticks
    ]
    return {"name": visible(line.name), "at": line.lon_lat_deg.tolist(), "ticks": ticks}


def _months(data: MapData) -> list[str]:
    first = data.on.year * 12 + data.on.month - 1
    ahead = range(first, first + MONTHS_AHEAD)
    return [f"{n // 12:04d}-{n % 12 + 1:02d}" for n in ahead]


def _settings(data: MapData, packed: Packed) -> dict[str, object]:
    return {
        "on": data.on.isoformat(),
        "count": len(data.joints),
        "parts": packed.parts,
        "packed": packed.is_packed,
        "nothing": NOTHING,
        "verdicts": [str(w) for w in Verdict],
        "states": [str(w) for w in DueState],
        "boundaries": [visible(name) for name in data.boundary_names],
        "areas": [visible(name) for name in data.area_names],
        "kinds": data.kind_names,
        "months": _months(data),
        "lines": [_line(line) for line in data.lines],
        "points": [
            [visible(p.name), visible(p.kind), p.longitude_deg, p.latitude_deg]
            for p in data.points
        ],
        "bounds": bounds_of(data),
        "glyph": glyph_data(),
        "colours": {"accent": ACCENT, "line": LINE, "quiet": QUIET},
        "words": SENTENCES,
    }


class _OfflineMap(folium.Map):
    """A folium map with Leaflet inside the page, a fixed name and no text of ours."""

    default_js: list[tuple[str, str]] = []  # noqa: RUF012 - folium's own shape
    default_css: list[tuple[str, str]] = []  # noqa: RUF012
    _template = Template(
        """
        {% macro script(this, kwargs) %}
        var {{ this.get_name() }} = L.map({{ this.get_name()|tojson }},
            {center: {{ this.location|tojson }}, ...{{ this.options|tojavascript }}});
        {% endmacro %}
        """
    )

    def __init__(self) -> None:
        super().__init__(
            location=(0.0, 0.0),
            tiles=None,
            zoom_start=2,
            max_zoom=21,
            # Leaflet's own options; its corner note would be an outward link.
            attribution_control=False,
            maxZoom=21,
            minZoom=1,
            zoom_snap=0.25,
            zoom_delta=1,
            wheel_px_per_zoom_level=90,
        )
        self._id = "site"


def _folium_script() -> str:
    """Return what folium writes to set up the map; nothing of the register goes in."""
    figure = Figure()
    figure.add_child(_OfflineMap())
    figure.render()
    text: str = figure.script.render()
    return text


@cache
def _templates() -> Environment:
    return Environment(
        loader=PackageLoader("jointmap.site_map", "assets/map"),
        autoescape=True,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
        finalize=shown_value,
    )


def page(data: MapData, *, plain: bool = False) -> str:
    """Return the map page of ``data`` as HTML text.

    The page asks for nothing: script, style and joints are inside it. ``plain`` leaves
    the joints unpacked, for a browser without ``DecompressionStream`` (a larger file).
    Equal input gives equal text.
    """
    packed = pack(data.joints, data.on, plain=plain)
    style, leaflet, script = _style(), _leaflet_script(), _own_script()
    return (
        _templates()
        .get_template("page.html")
        .render(
            w=SENTENCES,
            data=data,
            policy=policy([style], [leaflet, script]),
            style=own_markup(style),
            leaflet=own_markup(leaflet),
            settings=own_markup(script_json(_settings(data, packed))),
            block=own_markup(packed.text),
            script=own_markup(script),
        )
    )
