"""Lines and their kilometre posts as maps draw them."""

import json

import numpy as np

from jointmap.errors import Refused
from jointmap.location import kilometre_ticks
from jointmap.register import Chainage, Line
from jointmap.site_map.data import MapLine, Tick
from jointmap.snapshot.snapshot import Snapshot


def map_lines(state: Snapshot) -> dict[int, MapLine]:
    """Return each line with the posts of its newest measuring, by id."""
    newest: dict[int, Chainage] = {}
    found = state.chainages.values()
    for chainage in sorted(found, key=lambda c: c.measured_on):
        newest[chainage.line_id] = chainage
    return {id_: _map_line(line, newest.get(id_)) for id_, line in state.lines.items()}


def _map_line(line: Line, chainage: Chainage | None) -> MapLine:
    coordinates = json.loads(line.coordinates)
    pairs = np.array(coordinates, dtype=np.float64)
    if chainage is None:
        return MapLine(line.name, pairs)
    try:
        ticks = kilometre_ticks(coordinates, json.loads(chainage.tie_points), 1.0)
    except Refused:
        # A measuring of a route that the line no longer takes, or one of old.
        return MapLine(line.name, pairs)
    rows = zip(
        ticks.post_kilometre.tolist(),
        ticks.longitude_deg.tolist(),
        ticks.latitude_deg.tolist(),
        ticks.azimuth_deg.tolist(),
        strict=True,
    )
    return MapLine(line.name, pairs, tuple(Tick(*row) for row in rows))
