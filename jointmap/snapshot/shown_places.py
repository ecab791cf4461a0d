"""Where joints are drawn and driven to: their position, or else their stated post."""

import json
from collections import Counter
from dataclasses import dataclass

import numpy as np

from jointmap.errors import Refused
from jointmap.location import posts_to_points, to_working
from jointmap.register import Alias, Joint
from jointmap.register.columns import Flags, Floats
from jointmap.snapshot.site_columns import Ground
from jointmap.snapshot.snapshot import Snapshot


@dataclass(frozen=True, slots=True)
class ShownPlaces:
    """One row per joint; NaN where neither position nor post is on record."""

    latitude_deg: Floats
    longitude_deg: Floats
    x_metre: Floats
    y_metre: Floats
    in_doubt: Flags  # the position as sent awaits a decision


def shown_places(state: Snapshot, ground: Ground) -> ShownPlaces:
    """Return each joint's working position, or the place of its stated post.

    Only for drawing and driving: what a test credits rests on working positions alone.
    """
    joints = ground.joints
    latitude, longitude = joints.latitude_deg.copy(), joints.longitude_deg.copy()
    every = _measurings(state)
    count = Counter(line_id for line_id, _ in every)
    for (line_id, name), measured in every.items():
        named = ground.joint_facts.post_measuring
        # Of one measuring alone a post need not say which.
        says = (named == name) | ((named == "") & (count[line_id] == 1))
        rows = np.flatnonzero(np.isnan(latitude) & (joints.line_id == line_id) & says)
        posts = ground.joint_facts.post_kilometre[rows]
        latitude[rows], longitude[rows] = posts_to_points(*measured, posts)
    x, y = to_working(latitude, longitude, state.site.working_crs)
    return ShownPlaces(latitude, longitude, x, y, _in_doubt(state, ground))


def _measurings(
    state: Snapshot,
) -> dict[tuple[int, str], tuple[list[list[float]], list[list[float]]]]:
    lines = state.lines
    found = {}
    for chainage in state.chainages.values():
        points = json.loads(lines[chainage.line_id].coordinates)
        ties = json.loads(chainage.tie_points)
        try:
            posts_to_points(points, ties, [])
        except Refused:
            continue  # a measuring of a route that the line no longer takes
        found[chainage.line_id, chainage.measuring] = (points, ties)
    return found


def _in_doubt(state: Snapshot, ground: Ground) -> Flags:
    named = {
        h.subject_key.removeprefix("joint ")
        for h in state.held.values()
        if h.is_open and h.column == "position" and h.subject_key.startswith("joint ")
    }
    held = state.stored.ids_with(Joint, "tag", named)
    aliases = state.stored.ids_with(Alias, "name", named)
    held += state.stored.values_of(Alias, "joint_id", aliases)
    flags: Flags = np.isin(ground.joints.joint_id, held)
    return flags & np.isnan(ground.joints.latitude_deg)
