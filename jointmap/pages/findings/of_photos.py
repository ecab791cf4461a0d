"""Findings in where cameras say they were; nothing else uses those places."""

from collections.abc import Iterator

from jointmap.attached.photo_places import metres_between
from jointmap.pages.findings.finder import Seen
from jointmap.register import Attachment, PhotoPlace
from jointmap.reports.views import Finding

# Beyond what telephones are off by between walls and trees, and a walk around the joint
# (common practice, no source).
FAR_METRE = 250.0


def photos_far(seen: Seen) -> Iterator[Finding]:
    """Yield each photo of a joint whose camera says it was far from it."""
    state = seen.showing.assessed.state
    places = {p.sha256: p for p in state.records(PhotoPlace).values()}
    if not places:
        return
    tags = {joint.tag: id_ for id_, joint in seen.showing.joints.items()}
    joints, rows = seen.showing.assessed.ground.joints, seen.showing.joint_rows
    for record in state.records(Attachment).values():
        id_ = tags.get(record.subject_key)
        place = places.get(record.sha256)
        if id_ is None or place is None or record.subject != "joint":
            continue
        row = rows[id_]
        there = float(joints.latitude_deg[row]), float(joints.longitude_deg[row])
        metres = metres_between(place, *there)
        if metres > FAR_METRE:  # never for a joint without a position
            yield seen.finding(
                "photo_far",
                seen.showing.joint_link(id_),
                "photo_far",
                view=record.view or record.sha256[:12],
                distance=metres,
                day=place.taken_on,
            )
