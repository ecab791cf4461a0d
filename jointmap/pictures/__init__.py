"""What an attached file is, and the copy of it that a page may show.

Every function here takes apart bytes that a stranger wrote. They are called in a child
process with limits; what they give back is plain text, numbers and bytes made anew.
"""

from jointmap.pictures.camera_places import CameraPlace, camera_place
from jointmap.pictures.kinds import ACCEPTED, SHOWN, Kind, kind_of
from jointmap.pictures.rebuilding import MADE, Rebuilt, rebuilt

__all__ = [
    "ACCEPTED",
    "MADE",
    "SHOWN",
    "CameraPlace",
    "Kind",
    "Rebuilt",
    "camera_place",
    "kind_of",
    "rebuilt",
]
