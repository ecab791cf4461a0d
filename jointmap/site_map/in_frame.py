"""The part of a line that a picture shows, with no more points than can be seen."""

import numpy as np
import shapely

from jointmap.register.columns import Floats

# A line is cut this far outside the sheet, so that its end and its width are not seen.
OUTSIDE_PX = 8.0
# Points nearer to the line without them than this make no difference that is seen.
UNSEEN_PX = 0.1
# Places are rounded to a thousandth: a number next to nothing is beyond what clipping
# and simplifying can divide by.
_PLACES = 3


def runs_in_frame(places_px: Floats, width_px: float, height_px: float) -> list[Floats]:
    """Return the runs of a line that lie on a sheet, in the line's own order.

    ``places_px`` is (points, 2), from the sheet's upper left corner. A line that leaves
    the sheet and comes back has several runs; one that never meets it has none.
    """
    if len(places_px) < 2:  # noqa: PLR2004 - one point is no line
        return []
    least, most = -OUTSIDE_PX, OUTSIDE_PX
    line = shapely.linestrings(np.round(places_px, _PLACES))
    seen = shapely.clip_by_rect(line, least, least, width_px + most, height_px + most)
    runs = shapely.get_parts(shapely.simplify(seen, UNSEEN_PX, preserve_topology=False))
    return [shapely.get_coordinates(run) for run in runs if shapely.length(run) > 0]
