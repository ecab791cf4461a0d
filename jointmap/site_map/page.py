"""The map page: one HTML text with everything inside, the same bytes each time.

Folium gives the page and the map object; nothing it would fetch is left in. One own
layer (``_JointLayer``) brings the joints as columns and the script that draws them.
"""

import json
from functools import cache
from importlib.resources import files
from typing import Any

import folium
from branca.element import Figure, MacroElement
from folium.template import Template
from jinja2 import Environment

from jointmap.register.codes import DueState, Verdict
from jointmap.site_map.columns_text import NOTHING, Packed, pack
from jointmap.site_map.data import MapData, MapLine, bounds_of
from jointmap.site_map.glyph import glyph_data
from jointmap.site_map.style import ACCENT, LINE, QUIET
from jointmap.wording.map_page import SENTENCES

SCRIPTS = ("unpack", "joints", "glyphs", "sheets", "ground", "marks", "panel", "start")
MONTHS_AHEAD = 24
# The page may run its own script and style and load nothing at all.
POLICY = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline';"
    " img-src data:"
)


@cache
def _asset(name: str) -> str:
    folder = files("jointmap.site_map") / "assets"
    return folder.joinpath(*name.split("/")).read_text(encoding="utf-8")


def _script_text(text: str) -> str:
    """Return text that cannot end the script element it stands in."""
    return text.replace("</script", "<\\/script").replace("<!--", "<\\!--")


def _leaflet_script() -> str:
    script = _asset("leaflet/leaflet.js").split("//# sourceMappingURL")[0]
    licence = _asset("leaflet/LICENSE").strip()
    return _script_text(f"/*\n{licence}\n*/\n{script}")


def _leaflet_style() -> str:
    """Return Leaflet's style without its pictures, which this map does not show."""
    lines = _asset("leaflet/leaflet.css").splitlines()
    return "\n".join(line for line in lines if "url(" not in line)


def _own_script() -> str:
    parts = [_asset(f"map/{name}.js") for name in SCRIPTS]
    return _script_text('(function () {\n"use strict";\n' + "\n".join(parts) + "})();")


def _json(value: object) -> str:
    """Return JSON that may stand inside a script element."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.replace("<", "\\u003c")


def _line(line: MapLine) -> dict[str, object]:
    ticks = [
        [t.kilometre, t.longitude_deg, t.latitude_deg, t.bearing_deg]
        for t in line.ticks
    ]
    return {"name": line.name, "at": line.coordinates, "ticks": ticks}


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
        "boundaries": data.boundary_names,
        "areas": data.area_names,
        "kinds": data.kind_names,
        "months": _months(data),
        "lines": [_line(line) for line in data.lines],
        "points": [
            [p.name, p.kind, p.longitude_deg, p.latitude_deg] for p in data.points
        ],
        "bounds": bounds_of(data),
        "glyph": glyph_data(),
        "colours": {"accent": ACCENT, "line": LINE, "quiet": QUIET},
        "words": SENTENCES,
    }


class _Page(Figure):
    """A page in the right language, with no element of chance in it."""

    _template = Template(
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n'
        "{{ this.header.render(**kwargs) }}\n</head>\n<body>\n"
        "{{ this.html.render(**kwargs) }}\n"
        "<script>\n{{ this.script.render(**kwargs) }}\n</script>\n</body>\n</html>\n"
    )


class _OfflineMap(folium.Map):
    """A folium map with Leaflet inside the page and a fixed name."""

    default_js: list[tuple[str, str]] = []  # noqa: RUF012 - folium's own shape
    default_css: list[tuple[str, str]] = []  # noqa: RUF012
    _template = Template(
        """
        {% macro header(this, kwargs) %}{{ this.head }}{% endmacro %}
        {% macro html(this, kwargs) %}{{ this.body }}{% endmacro %}
        {% macro script(this, kwargs) %}
        var {{ this.get_name() }} = L.map({{ this.get_name()|tojson }},
            {center: {{ this.location|tojson }}, ...{{ this.options|tojavascript }}});
        {% endmacro %}
        """
    )

    def __init__(self, head: str, body: str) -> None:
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
        self.head, self.body = head, body


class _JointLayer(MacroElement):
    """All joints as one layer: a block of columns and the script that draws it."""

    _template = Template(
        """
        {% macro html(this, kwargs) %}
        <script type="application/json" id="map-settings">{{ this.settings }}</script>
        <script type="text/plain" id="map-joints">{{ this.block }}</script>
        {% endmacro %}
        {% macro script(this, kwargs) %}
        {{ this.script }}
        window.startJointMap({{ this._parent.get_name() }});
        {% endmacro %}
        """
    )

    def __init__(self, data: MapData, packed: Packed) -> None:
        super().__init__()  # type: ignore[no-untyped-call]
        self._name, self._id = "JointLayer", "joints"
        self.settings = _json(_settings(data, packed))
        self.block = packed.text
        self.script = _own_script()


def _rendered(template: str, **values: Any) -> str:  # noqa: ANN401
    place = Environment(autoescape=True)
    return place.from_string(_asset(f"map/{template}")).render(w=SENTENCES, **values)


def page(data: MapData, *, plain: bool = False) -> str:
    """Return the map page of ``data`` as HTML text.

    The page asks for nothing: script, style and joints are inside it. ``plain`` leaves
    the joints unpacked, for a browser without ``DecompressionStream`` (a larger file).
    Equal input gives equal text.
    """
    head = _rendered(
        "head.html",
        data=data,
        policy=POLICY,
        style=_leaflet_style() + _asset("map/map.css"),
        leaflet=_leaflet_script(),
    )
    figure = _Page()
    site_map = _OfflineMap(head, _rendered("body.html", data=data, name="map_site"))
    site_map.add_child(_JointLayer(data, pack(data.joints, data.on, plain=plain)))
    figure.add_child(site_map)
    text: str = figure.render()
    return text
