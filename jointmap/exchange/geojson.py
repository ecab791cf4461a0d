"""A GeoJSON collection of lines, taken apart feature by feature (RFC 7946).

Each value is looked at before it is used: what a file holds may be anything.
"""

import json
import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any, NoReturn

from jointmap.errors import Problem, Refused
from jointmap.incoming.size_limits import POINTS, beyond
from jointmap.register.told import Told

ACCEPTED_TYPE = "LineString"
_MISSING = object()
_SHOWN = 80  # letters of a value
# Name of the file, number of the feature, name and value of a property.
Plain = Callable[[str, int, str, object], str]


def features_of(name: str, found: object) -> list[object]:
    """Return the features of a collection; raises ``Refused`` for anything else."""
    features = found.get("features", _MISSING) if isinstance(found, dict) else found
    if not (isinstance(found, dict) and isinstance(features, list)):
        _refuse("feature.none", name, features)
    return features


def cells_of(name: str, number: int, feature: object, plain: Plain) -> dict[str, str]:
    """Return a feature as the cells of a row; raises ``Refused`` with what was found.

    ``plain`` makes a cell of a property's value.
    """
    if not isinstance(feature, dict):
        _refuse("feature.object", name, feature, number=number)
    points = _line(name, number, feature)
    properties = feature.get("properties", _MISSING)
    if not isinstance(properties, dict | None):
        _refuse("feature.properties", name, properties, number=number)
    pairs = list(_pairs(name, number, points))
    given = (properties or {}).items()
    cells = {k: plain(name, number, k, v) for k, v in given if v is not None}
    return {**cells, "coordinates": json.dumps(pairs, separators=(",", ":"))}


def _line(name: str, number: int, feature: Mapping[str, Any]) -> list[object]:
    geometry = feature.get("geometry", _MISSING)
    if not isinstance(geometry, dict):
        _refuse("feature.geometry", name, geometry, number=number)
    type_ = geometry.get("type", _MISSING)
    if type_ != ACCEPTED_TYPE:
        _refuse("feature.type", name, type_, number=number)
    points = geometry.get("coordinates", _MISSING)
    if not isinstance(points, list) or not points[1:]:
        _refuse("feature.coordinates", name, points, number=number)
    if len(points) > POINTS.most:
        raise beyond(POINTS, len(points), name, number)
    return points


def _pairs(name: str, number: int, points: list[object]) -> Iterator[list[float]]:
    for at, point in enumerate(points, start=1):
        facts = {"number": number, "point": at}
        if not isinstance(point, list) or not point[1:]:
            _refuse("feature.point", name, point, **facts)
        for value in point[:2]:
            if not _is_number(value):
                _refuse("feature.point", name, value, **facts)
        yield [float(value) for value in point[:2]]


def _is_number(value: object) -> bool:
    # To Python, true and false are whole numbers too.
    is_truth = isinstance(value, bool)
    return not is_truth and isinstance(value, int | float) and math.isfinite(value)


def _refuse(id_: str, name: str, found: object, **facts: object) -> NoReturn:
    raise Refused(Problem(id_, {**facts, "found": _told(found)}, name))


def _told(found: object) -> str | Told:
    """Return what was found as a person would call it; no more than its start."""
    if found is _MISSING:
        return "missing"
    if isinstance(found, list):
        return Told("found.list", {"count": len(found)})
    if isinstance(found, dict):
        return Told("found.object")
    return json.dumps(found[:_SHOWN] if isinstance(found, str) else found)
