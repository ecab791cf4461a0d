"""What a planner wants side by side: sources to interrupt, stops easily confused."""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from jointmap.register.columns import Days, Floats, Ids, Table
from jointmap.routes.plan import CrewDayColumns, VisitColumns

# Users asked for stops within 5 m of one another to be boxed together.
CONFUSED_WITHIN_METRE = 5.0


@dataclass(frozen=True, slots=True)
class InterruptionColumns(Table):
    """One row per source, day and crew: from when to when it has to be cycling."""

    source_id: Ids
    day_on: Days
    crew: Ids
    from_second: Floats
    until_second: Floats
    visits: Ids


@dataclass(frozen=True, slots=True)
class NeighbourColumns(Table):
    """One row per pair of joints so close that a crew may take one for the other."""

    joint_id: Ids  # the lower id
    other_id: Ids
    distance_metre: Floats


def interruptions(
    visits: VisitColumns, crew_days: CrewDayColumns, joint_id: Ids, source_id: Ids
) -> InterruptionColumns:
    """Return which sources must be interrupted on which day, by source, then day.

    ``joint_id`` and ``source_id`` are pairs, shape (n,): testing that joint needs
    that source interrupted. A joint may need several, or none.
    """
    asked = np.flatnonzero(np.isin(joint_id, visits.joint_id))
    visit, found = np.nonzero(visits.joint_id[:, None] == joint_id[None, asked])
    pair = asked[found]
    days = crew_days.take(visits.crew_day[visit])
    key = np.column_stack(
        [
            source_id[pair],
            days.day_on.astype("datetime64[D]").astype(np.int64),
            days.crew,
        ]
    )
    groups, member = np.unique(key, axis=0, return_inverse=True)
    first = np.full(len(groups), np.inf)
    last = np.full(len(groups), -np.inf)
    np.minimum.at(first, member.ravel(), visits.start_second[visit])
    np.maximum.at(last, member.ravel(), visits.leave_second[visit])
    return InterruptionColumns(
        groups[:, 0],
        groups[:, 1].astype("datetime64[D]"),
        groups[:, 2],
        first,
        last,
        np.bincount(member.ravel(), minlength=len(groups)),
    )


def neighbours(
    joint_id: Ids,
    x_metre: Floats,
    y_metre: Floats,
    within_metre: float = CONFUSED_WITHIN_METRE,
) -> NeighbourColumns:
    """Return pairs of joints within a few metres, by lower id, then higher id.

    Places that are NaN have no neighbours.
    """
    known = np.flatnonzero(~np.isnan(x_metre + y_metre))
    places = np.column_stack([x_metre, y_metre])[known]
    found = cKDTree(places.reshape(-1, 2)).query_pairs(
        within_metre, output_type="ndarray"
    )
    one, two = known[found.reshape(-1, 2).T]
    pair = np.sort([joint_id[one], joint_id[two]], axis=0)
    apart = np.hypot(x_metre[one] - x_metre[two], y_metre[one] - y_metre[two])
    rows = np.lexsort((pair[1], pair[0]))
    return NeighbourColumns(pair[0][rows], pair[1][rows], apart[rows])
