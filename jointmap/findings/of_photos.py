"""Findings in where cameras say they were; nothing else uses those places."""

from collections.abc import Iterator

from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.location.geodesic import metres_apart

# Beyond what telephones are off by between walls and trees, and a walk around the joint
# (common practice, no source).
FAR_METRE = 250.0
PHOTO_FAR = Kind(
    "photo_far",
    Gravity.FOR_THE_RECORD,
    "common_practice",
    day="day",
    numbers={"distance": FAR_METRE},
)


@finds(PHOTO_FAR)
def photos_far(seen: Seen) -> Iterator[Found]:
    """Yield each photo of a joint whose camera says it was far from it."""
    state = seen.site.state
    if not state.photo_places:
        return
    joints, rows = seen.site.assessed.ground.joints, seen.site.joint_rows
    for record in state.attachments.values():
        id_ = state.joint_ids.get(record.subject_key)
        place = state.place_of_photo.get(record.sha256)
        if id_ is None or place is None or record.subject != "joint":
            continue
        row = rows[id_]
        here = place.latitude_deg, place.longitude_deg
        there = float(joints.latitude_deg[row]), float(joints.longitude_deg[row])
        metres = metres_apart(here, there)
        if metres > FAR_METRE:  # never for a joint without a position
            yield seen.finding(
                PHOTO_FAR,
                About.joint(id_),
                "photo_far",
                view=record.view or record.sha256[:12],
                distance=metres,
                day=place.taken_on,
            )


PHOTO_FINDERS: tuple[Finder, ...] = (photos_far,)
