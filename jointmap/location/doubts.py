"""Places that cannot be right as sent, and what they may have been meant to be.

Nothing is changed here: each doubt is a proposal that waits for a person.
"""

from collections.abc import Iterator, Sequence
from dataclasses import fields, replace

import numpy as np

from jointmap.errors import Problem
from jointmap.location.against_the_site import Standing, Surroundings, standing
from jointmap.location.chainage import posts_on
from jointmap.location.crowd import far_from_others
from jointmap.location.geodesic import vector
from jointmap.location.measuring import Measuring
from jointmap.location.offsets import moved_together
from jointmap.location.other_readings import explained
from jointmap.location.places import (
    DOUBT_KINDS,
    FAR_FROM_LINE,
    FAR_FROM_OTHERS,
    FAR_FROM_POST,
    OTHER_MEASURING,
    OUT_OF_RANGE,
    OUTSIDE_SITE,
    DoubtLimits,
    Doubts,
    Extent,
    PlaceColumns,
    Places,
)
from jointmap.register.columns import Flags, Ids

DEFAULT_LIMITS = DoubtLimits()
NO_OTHERS = Places(np.empty(0), np.empty(0))


def doubts(
    places: PlaceColumns,
    extent: Extent | None,
    measurings: Sequence[Measuring] = (),
    limits: DoubtLimits = DEFAULT_LIMITS,
    others: Places = NO_OTHERS,
) -> Doubts:
    """Return what is doubtful about places, sorted by row, then kind.

    Parameters
    ----------
    places : PlaceColumns
        Positions as sent in.
    extent : Extent or None
        The site's rectangle; without it nothing is called outside.
    measurings : sequence of Measuring
        The lines, each in the measurings in use; ``places.measuring`` points here.
    limits : DoubtLimits
        Distances from which on a place is doubted.
    others : Places
        Where other things of the site are; with ``places`` they are the crowd that
        a place on no line is held against.

    Returns
    -------
    Doubts
        An explained place (swapped, sign, zone, moved together, other measuring)
        is not listed a second time as merely outside or far.
    """
    around = Surroundings(extent, measurings, limits, others)
    seen = standing(places, places.latitude_deg, places.longitude_deg, around)
    found: list[Doubts] = []
    is_open = seen.is_placed.copy()
    steps = (_by_reading, _off_the_map, _by_measuring, _by_file, _far, _alone)
    for step in steps:
        for part in step(places, seen, is_open.copy(), around):
            found.append(part)
            is_open[part.row] = False
    return _joined(found)


def problems(found: Doubts) -> list[Problem]:
    """Return each doubt as id and values, for ``wording``, in the order of rows.

    The values are named row, latitude, longitude (proposed), distance, east, north
    (metres) and detail.
    """
    columns = {
        "row": found.row,
        "latitude": found.proposed_latitude_deg,
        "longitude": found.proposed_longitude_deg,
        "distance": found.distance_metre,
        "east": found.east_metre,
        "north": found.north_metre,
        "detail": found.detail,
    }
    rows = zip(*(c.tolist() for c in columns.values()), strict=True)
    values = [dict(zip(columns, row, strict=True)) for row in rows]
    kinds = [DOUBT_KINDS[k] for k in found.kind]
    return [Problem(*pair) for pair in zip(kinds, values, strict=True)]


def _by_reading(
    places: PlaceColumns, seen: Standing, _: Flags, around: Surroundings
) -> Iterator[Doubts]:
    yield from explained(places, seen, around)


def _off_the_map(
    _: PlaceColumns, seen: Standing, is_open: Flags, _around: Surroundings
) -> Iterator[Doubts]:
    yield _bare(OUT_OF_RANGE, is_open & seen.is_off_globe, seen)
    yield _bare(OUTSIDE_SITE, is_open & seen.is_outside & ~seen.is_off_globe, seen)


def _by_measuring(
    places: PlaceColumns, seen: Standing, is_open: Flags, around: Surroundings
) -> Iterator[Doubts]:
    limits = around.limits
    far = is_open & (seen.post_metre > limits.far_from_post_metre)
    on_line = far & (seen.line_metre <= limits.far_from_line_metre)
    for code, line in enumerate(around.measurings):
        for other, again in enumerate(around.measurings):
            if other == code or again.line_id != line.line_id:
                continue
            rows = np.flatnonzero(on_line & (places.measuring == code))
            yield from _read_in(places, rows, again, other, limits)


def _read_in(
    places: PlaceColumns, rows: Ids, again: Measuring, other: int, limits: DoubtLimits
) -> Iterator[Doubts]:
    expected = posts_on(again, places.post_kilometre[rows])
    sent = places.latitude_deg[rows], places.longitude_deg[rows]
    east, north = vector(*expected, *sent)
    fits = np.flatnonzero(np.hypot(east, north) <= limits.far_from_post_metre)
    if fits.size:
        yield Doubts(
            rows[fits],
            np.full(len(fits), DOUBT_KINDS.index(OTHER_MEASURING), dtype=np.int16),
            sent[0][fits],
            sent[1][fits],
            np.hypot(east, north)[fits],
            east[fits],
            north[fits],
            np.full(len(fits), other),
        )


def _by_file(
    places: PlaceColumns, seen: Standing, is_open: Flags, around: Surroundings
) -> Iterator[Doubts]:
    yield from moved_together(places, seen, is_open, around.limits)


def _far(
    _: PlaceColumns, seen: Standing, is_open: Flags, around: Surroundings
) -> Iterator[Doubts]:
    off_line = seen.line_metre > around.limits.far_from_line_metre
    off_post = seen.post_metre > around.limits.far_from_post_metre
    yield _bare(FAR_FROM_LINE, is_open & off_line, seen)
    yield _bare(FAR_FROM_POST, is_open & off_post & ~off_line, seen)


def _alone(
    places: PlaceColumns, seen: Standing, is_open: Flags, around: Surroundings
) -> Iterator[Doubts]:
    """Yield the places on no line that lie far from all others of the site."""
    far, metre = far_from_others(places, is_open, around.others, around.limits)
    found = _bare(FAR_FROM_OTHERS, far & np.isnan(seen.line_metre), seen)
    yield replace(found, distance_metre=metre[found.row])


def _bare(kind: str, where: Flags, seen: Standing) -> Doubts:
    rows = np.flatnonzero(where)
    own = seen.take(rows)
    return Doubts(
        rows,
        np.full(len(rows), DOUBT_KINDS.index(kind), dtype=np.int16),
        own.expected_latitude_deg,
        own.expected_longitude_deg,
        own.line_metre if kind == FAR_FROM_LINE else own.post_metre,
        own.east_metre,
        own.north_metre,
        np.zeros(len(rows), dtype=np.int64),
    )


def _joined(found: Sequence[Doubts]) -> Doubts:
    whole = Doubts(
        *(np.concatenate([getattr(d, f.name) for d in found]) for f in fields(Doubts))
    )
    return whole.take(np.lexsort((whole.kind, whole.row)))
