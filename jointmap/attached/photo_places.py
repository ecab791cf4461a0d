"""Where cameras say they were: records of their own, beside the joints' places."""

import numpy as np

from jointmap.location.geodesic import inverse
from jointmap.pictures import CameraPlace
from jointmap.register import Attachment, PhotoPlace
from jointmap.register.codes import Subject
from jointmap.storage import Writing


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
    there = [getattr(position, name) for name in ("latitude_deg", "longitude_deg")]
    return None if None in there else metres_between(place, *there)


def metres_between(
    place: CameraPlace | PhotoPlace, latitude: float, longitude: float
) -> float:
    """Return the metres on the ellipsoid from a picture's place to another."""
    here = place.latitude_deg, place.longitude_deg
    four = [np.array([v], dtype=float) for v in (*here, latitude, longitude)]
    return float(inverse(*four)[1][0])
