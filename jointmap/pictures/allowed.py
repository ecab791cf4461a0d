"""What a rebuilt drawing may hold: elements, attributes and values, all by list.

Names and values are those of SVG 1.1 (W3C Recommendation, second edition, 2011) which
draw without a script, a style sheet, a clock, another file or a part inside itself.
"""

import re
from collections.abc import Callable, Iterator, Mapping

ELEMENTS = frozenset({
    "svg", "g", "defs", "title", "desc", "path", "rect", "circle", "ellipse", "line",
    "polyline", "polygon", "text", "tspan", "use", "linearGradient", "radialGradient",
    "stop", "clipPath",
})  # fmt: skip
# These only hold others: what is in them is drawn, they themselves are left.
UNWRAPPED = frozenset({"a", "switch"})
# Nothing of what is seen hangs on these.
UNSEEN = frozenset({"metadata"})

PRESENTATION = frozenset({
    "clip-path", "clip-rule", "color", "display", "dominant-baseline", "fill",
    "fill-opacity", "fill-rule", "font-family", "font-size", "font-style",
    "font-weight", "letter-spacing", "opacity", "stop-color", "stop-opacity", "stroke",
    "stroke-dasharray", "stroke-dashoffset", "stroke-linecap", "stroke-linejoin",
    "stroke-miterlimit", "stroke-opacity", "stroke-width", "text-anchor",
    "text-decoration", "visibility", "word-spacing",
})  # fmt: skip
GEOMETRY = frozenset({
    "clipPathUnits", "cx", "cy", "d", "dx", "dy", "fx", "fy", "gradientTransform",
    "gradientUnits", "height", "id", "offset", "points", "preserveAspectRatio", "r",
    "rotate", "rx", "ry", "spreadMethod", "transform", "viewBox", "width", "x", "x1",
    "x2", "y", "y1", "y2",
})  # fmt: skip
# Attributes that change nothing that is seen, in drawings of most programs.
SILENT = frozenset(
    {"version", "baseProfile", "class", "role", "lang", "enable-background"}
)

NAME = re.compile(r"[A-Za-z_][\w.-]{0,99}", re.ASCII)
_VALUE = re.compile(r"[A-Za-z0-9_#.,%()+\- \t\r\n'\"]*", re.ASCII)
_LOCAL = re.compile(r"url\(['\"]?#([A-Za-z_][\w.-]{0,99})['\"]?\)", re.ASCII)
_WITH_LOCAL = frozenset({"fill", "stroke", "clip-path"})
_LONG = frozenset({"d", "points"})
_MOST_LONG, _MOST = 400_000, 1000
XLINK = "http://www.w3.org/1999/xlink"


def attributes(
    element: str, given: Mapping[str, str], left_out: Callable[[str], object]
) -> dict[str, str]:
    """Return what is kept of an element's attributes; names what is left out.

    Names come as expat gives them: with their namespace before a space.
    """
    kept: dict[str, str] = {}
    for name, value in given.items():
        if name == "style":
            kept |= dict(_declarations(value, left_out))
        elif name in ("href", f"{XLINK} href") and element == "use":
            if _is_inside(value):
                kept["href"] = value
            else:
                left_out("href")
        elif _is_known(name) and _is_allowed(name, value):
            kept[name] = value
        elif _is_known(name) or not _is_silent(name):
            left_out(name)
    return kept


def _is_inside(target: str) -> bool:
    """Whether a reference names a part of the same picture."""
    return target.startswith("#") and NAME.fullmatch(target[1:]) is not None


def _is_known(name: str) -> bool:
    return name in PRESENTATION or name in GEOMETRY


def _is_silent(name: str) -> bool:
    """Whether nobody misses an attribute: other namespaces, notes of editors."""
    return " " in name or name in SILENT or name.startswith("data-")


def _declarations(
    style: str, left_out: Callable[[str], object]
) -> Iterator[tuple[str, str]]:
    """Yield the declarations of a style attribute that are presentation attributes."""
    for declaration in style[:_MOST_LONG].split(";"):
        name, colon, value = (p.strip() for p in declaration.partition(":"))
        if colon and name in PRESENTATION and _is_allowed(name, value):
            yield name, value
        elif colon and not name.startswith("-"):
            left_out(name)


def _is_allowed(name: str, value: str) -> bool:
    if len(value) > (_MOST_LONG if name in _LONG else _MOST):
        return False
    if name == "id":
        return NAME.fullmatch(value) is not None
    if name in _WITH_LOCAL and _LOCAL.fullmatch(value.strip()):
        return True
    return bool(_VALUE.fullmatch(value)) and "url" not in value.lower()


def asks_for(kept: Mapping[str, str]) -> Iterator[str]:
    """Yield the ids of the parts that an element draws with."""
    if "href" in kept:
        yield kept["href"][1:]
    for name in _WITH_LOCAL & kept.keys():
        if found := _LOCAL.fullmatch(kept[name].strip()):
            yield found[1]
