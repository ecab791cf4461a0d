"""Places far from all others of a site."""

import numpy as np

from jointmap.location.geodesic import inverse
from jointmap.location.places import DoubtLimits, PlaceColumns, Places
from jointmap.register.columns import Flags, Floats


def far_from_others(
    places: PlaceColumns, is_open: Flags, others: Places, limits: DoubtLimits
) -> tuple[Flags, Floats]:
    """Return which places are far from the middle of all, and how far each is (metre).

    The middle is that of ``others`` and of the open places together; medians, so that
    one place that is wrong moves nothing. Of too few places nothing is said.
    """
    none = np.full(len(places), np.nan)
    crowd = [
        np.concatenate([getattr(others, name), getattr(places, name)[is_open]])
        for name in ("latitude_deg", "longitude_deg")
    ]
    known = ~np.isnan(crowd[0] + crowd[1])
    if known.sum() < limits.others_least:
        return np.zeros(len(places), np.bool_), none
    middle = [np.median(axis[known]) for axis in crowd]
    spread = float(np.median(_metre(middle, crowd[0][known], crowd[1][known])))
    metre = none.copy()
    metre[is_open] = _metre(
        middle, places.latitude_deg[is_open], places.longitude_deg[is_open]
    )
    most = max(limits.others_times * spread, limits.others_metre)
    return metre > most, metre


def _metre(middle: list[np.floating], latitude: Floats, longitude: Floats) -> Floats:
    here = [np.full(len(latitude), axis) for axis in middle]
    return inverse(here[0], here[1], latitude, longitude)[1]
