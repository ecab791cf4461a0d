"""How far to look in degrees of latitude for places within some metres."""

import numpy as np

from jointmap.location.reference_systems import to_working

# Over so small a step a reference system is as good as a plane.
_STEP_DEG = 1e-5
# A plane only nearly: look this much further.
_MORE = 1.5


def band_deg(
    latitude: float, longitude: float, metre: float, working_crs: str
) -> float:
    """Return a difference of latitude in degrees that no place within reach exceeds.

    Within reach are ``metre`` in the plane of the working system. 180 where that system
    does not hold at the place, so that every latitude is looked at.
    """
    beside = np.array([[0.0, 0.0], [_STEP_DEG, 0.0], [0.0, _STEP_DEG]])
    plane = np.array(
        to_working(latitude + beside[:, 0], longitude + beside[:, 1], working_crs)
    )
    slope = (plane[:, 1:] - plane[:, :1]) / _STEP_DEG  # metres for a degree
    if not np.isfinite(slope).all() or not np.linalg.det(slope):
        return 180.0
    north_deg_by_metre = np.linalg.inv(slope)[0]
    return float(np.hypot(*north_deg_by_metre) * metre * _MORE)
