"""Other ways to read the numbers sent: axes swapped, sign lost, next zone.

Each way gives a second place for every row. It explains a bad place when the second
one lies in the site and near its line.
"""

from collections.abc import Iterator

import numpy as np

from jointmap.location.against_the_site import (
    POLE_DEG,
    Standing,
    Surroundings,
    standing,
)
from jointmap.location.geodesic import inverse
from jointmap.location.places import (
    AXES_SWAPPED,
    DOUBT_KINDS,
    OTHER_ZONE,
    SIGN_LOST,
    Doubts,
    PlaceColumns,
)
from jointmap.location.reference_systems import to_lat_lon
from jointmap.register.columns import Flags, Floats, Ids

# EPSG numbers of neighbouring UTM zones: WGS 84 north, south; ETRS89.
ZONE_FAMILIES = ((32601, 32660), (32701, 32760), (25828, 25838))
ROUND_THE_GLOBE = 60
FULL_TURN_DEG = 360.0


def explained(
    places: PlaceColumns, seen: Standing, around: Surroundings
) -> Iterator[Doubts]:
    """Yield a doubt for each other reading that makes sense of a bad place."""
    rows = np.flatnonzero(_is_gross(seen, around))
    bad = places.take(rows)
    for kind, zone, latitude, longitude in _readings(bad):
        after = standing(bad, latitude, longitude, around)
        good = np.flatnonzero(_makes_sense(after, around))
        if good.size:
            again = latitude[good], longitude[good]
            yield _doubts(kind, rows[good], bad.take(good), again, zone[good])


def _is_gross(seen: Standing, around: Surroundings) -> Flags:
    far = seen.line_metre > around.limits.near_line_metre
    return seen.is_placed & (seen.is_outside | far)


def _makes_sense(after: Standing, around: Surroundings) -> Flags:
    near = after.line_metre <= around.limits.near_line_metre
    # Of a place on no line the extent alone can tell.
    told = np.where(np.isnan(after.line_metre), around.extent is not None, near)
    return after.is_placed & ~after.is_outside & told


def _readings(
    places: PlaceColumns,
) -> Iterator[tuple[str, Ids, Floats, Floats]]:
    none = np.zeros(len(places), dtype=np.int64)
    latitude, longitude = places.latitude_deg, places.longitude_deg
    plane = _is_plane(places)
    swapped_y, swapped_x = np.where(plane, np.nan, [longitude, latitude])
    for epsg, rows in _by_system(places, plane):
        x, y = places.captured_x[rows], places.captured_y[rows]
        swapped_y[rows], swapped_x[rows] = to_lat_lon(y, x, f"EPSG:{epsg}")
    yield AXES_SWAPPED, none, swapped_y, swapped_x
    for sign_y, sign_x in ((1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)):
        mirrored = np.where(plane, np.nan, [latitude * sign_y, longitude * sign_x])
        yield SIGN_LOST, none, *mirrored
    yield from _next_zones(places, plane)


def _next_zones(
    places: PlaceColumns, plane: Flags
) -> Iterator[tuple[str, Ids, Floats, Floats]]:
    for step in (-1, 1):
        zone = np.zeros(len(places), dtype=np.int64)
        there = np.full((2, len(places)), np.nan)
        for epsg, rows in _by_system(places, plane):
            zone[rows] = next_zone(epsg, step)
            if zone[rows[0]]:
                x, y = places.captured_x[rows], places.captured_y[rows]
                there[:, rows] = to_lat_lon(x, y, f"EPSG:{zone[rows[0]]}")
        yield OTHER_ZONE, zone, *there


def next_zone(epsg: int, step: int) -> int:
    """Return the EPSG number of the zone ``step`` zones on; 0 where there is none."""
    for first, last in ZONE_FAMILIES:
        if first <= epsg <= last:
            zone = epsg + step
            if last - first + 1 == ROUND_THE_GLOBE:
                return first + (zone - first) % ROUND_THE_GLOBE
            return zone if first <= zone <= last else 0
    return 0


def _is_plane(places: PlaceColumns) -> Flags:
    # Degrees never pass 360; a plane coordinate pair of a real place always does.
    size = np.maximum(np.abs(places.captured_x), np.abs(places.captured_y))
    return (size > FULL_TURN_DEG) & (places.captured_epsg > 0)


def _by_system(places: PlaceColumns, plane: Flags) -> Iterator[tuple[int, Ids]]:
    for epsg in np.unique(places.captured_epsg[plane]):
        yield int(epsg), np.flatnonzero(plane & (places.captured_epsg == epsg))


def _doubts(
    kind: str,
    rows: Ids,
    places: PlaceColumns,
    again: tuple[Floats, Floats],
    detail: Ids,
) -> Doubts:
    sent = places.latitude_deg, places.longitude_deg
    reachable = np.abs(sent[0]) <= POLE_DEG
    _, distance = inverse(*again, np.where(reachable, sent[0], np.nan), sent[1])
    none = np.full(len(rows), np.nan)
    code = np.full(len(rows), DOUBT_KINDS.index(kind), dtype=np.int16)
    return Doubts(rows, code, *again, distance, none, none, detail)
