"""Where cameras say they were: records of their own, beside the joints' places."""

from jointmap.location.geodesic import metres_apart
from jointmap.pictures import CameraPlace
from jointmap.register import Attachment, PhotoPlace
from jointmap.register.codes import Subject
from jointmap.storage import Writing

_PLACE = ("latitude_deg", "longitude_deg")


def note_place(job: Writing, sha256: str, place: CameraPlace | None) -> None:
    """Record what a picture says of its place, once; it is nobody's position."""
    if place is None or job.known("photo_place").id_of((sha256,)) is not None:
        return
    job.add(
        PhotoPlace(
            sha256=sha256,
            latitude_deg=place.latitude_deg,
            longitude_deg=place.longitude_deg,
            taken_on=place.taken_on,
            taken_at=place.taken_at,
        )
    )


def distance_to(
    job: Writing, record: Attachment, place: CameraPlace | None
) -> float | None:
    """Return the metres from a picture's place to its joint's, if both are known."""
    joint = job.known("joint").id_of((record.subject_key,))
    if place is None or record.subject != "joint" or joint is None:
        return None
    known = job.known("position")
    id_ = known.id_of((Subject.JOINT, joint))
    if id_ is None:
        return None
    position = known.record(id_)
    there = getattr(position, _PLACE[0]), getattr(position, _PLACE[1])
    here = place.latitude_deg, place.longitude_deg
    return None if None in there else metres_apart(here, there)
