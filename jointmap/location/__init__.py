"""Where things are: reference systems, kilometre posts, doubtful places.

The only owner of pyproj; distances are ellipsoidal (WGS 84) throughout.
"""

from jointmap.location.band import band_deg
from jointmap.location.chainage import (
    Ticks,
    convert_posts,
    kilometre_ticks,
    points_to_posts,
    posts_on,
    posts_to_points,
)
from jointmap.location.doubts import doubts, problems
from jointmap.location.measuring import Measuring, measuring
from jointmap.location.places import (
    DOUBT_KINDS,
    DoubtLimits,
    Doubts,
    Extent,
    PlaceColumns,
    Places,
)
from jointmap.location.reference_systems import (
    area_of_use,
    check_name,
    epsg_number,
    to_lat_lon,
    to_working,
)
from jointmap.location.shapes import shape_faults, tie_faults

__all__ = [
    "DOUBT_KINDS",
    "DoubtLimits",
    "Doubts",
    "Extent",
    "Measuring",
    "PlaceColumns",
    "Places",
    "Ticks",
    "area_of_use",
    "band_deg",
    "check_name",
    "convert_posts",
    "doubts",
    "epsg_number",
    "kilometre_ticks",
    "measuring",
    "points_to_posts",
    "posts_on",
    "posts_to_points",
    "problems",
    "shape_faults",
    "tie_faults",
    "to_lat_lon",
    "to_working",
]
