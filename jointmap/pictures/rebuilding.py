"""The copies that pages show: made anew of what can be seen, and bounded."""

from dataclasses import dataclass
from pathlib import Path

from jointmap.pictures.drawings import SVG, rebuilt_drawing
from jointmap.pictures.raster import rebuilt_raster

JPEG = "image/jpeg"
# What copies are made as; nothing else stands in a page.
MADE = (JPEG, SVG)


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """A copy for a page of its own, a small one, and what was left out, in words."""

    media_type: str
    page: bytes
    small: bytes
    notes: tuple[str, ...] = ()


def rebuilt(path: Path, media_type: str) -> Rebuilt:
    """Return the copies of a picture; raises ``Refused`` where none can be made."""
    if media_type == SVG:
        drawn, left_out = rebuilt_drawing(path)
        return Rebuilt(SVG, drawn, drawn, left_out)
    return Rebuilt(JPEG, *rebuilt_raster(path, media_type))
