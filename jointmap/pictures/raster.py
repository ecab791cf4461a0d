"""Pictures made of dots: is it one, and a new one made of its dots alone.

What is kept of a picture is what can be seen: no metadata, comment, profile, further
frame or byte behind its end reaches the new file.
"""

import io
from collections.abc import Mapping
from pathlib import Path

from PIL import Image

from jointmap.errors import Problem, Refused

# The program's own bound is told in a sentence; the library only warns at its own.
Image.MAX_IMAGE_PIXELS = None
MOST_DOTS = 64_000_000
PAGE_DOTS, SMALL_DOTS = 1600, 320
_PAGE_BYTES, _SMALL_BYTES = 600_000, 40_000
RASTER_FORMATS: Mapping[str, tuple[str, ...]] = {
    "image/png": ("PNG",),
    # Some telephones write several pictures in one JPEG file.
    "image/jpeg": ("JPEG", "MPO"),
    "image/tiff": ("TIFF",),
    "image/webp": ("WEBP",),
}
_ORIENTATION = 0x0112
_TURNED: Mapping[object, Image.Transpose] = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
# Grey values of more than eight bits are stretched over what is there.
_DEEP = ("I", "F", "I;16", "I;16B", "I;16L", "I;16N")


def opened(path: Path, media_type: str) -> Image.Image:
    """Open a picture as the type that its first bytes say, and as no other."""
    return Image.open(path, formats=RASTER_FORMATS[media_type])


def header_fault(path: Path, media_type: str) -> Problem | None:
    """Return why a file is no picture of its type; nothing where it is one."""
    try:
        opened(path, media_type).close()
    except Exception:
        facts = {"kind": RASTER_FORMATS[media_type][0]}
        return Problem("picture.no_raster", facts)
    return None


def rebuilt_raster(path: Path, media_type: str) -> tuple[bytes, bytes, tuple[str, ...]]:
    """Return a picture for a page, a small one, and notes; raises ``Refused``."""
    with opened(path, media_type) as picture:
        picture.draft("RGB", (PAGE_DOTS, PAGE_DOTS))  # a JPEG is read coarser at once
        width, height = picture.size
        if width * height > MOST_DOTS:
            facts = {"dots": width * height, "most": MOST_DOTS}
            raise Refused(Problem("picture.too_many_dots", facts))
        notes = ("first_only",) if _has_more(picture) else ()
        turned = _TURNED.get(_orientation(picture))
        picture.load()
        plain = _plain(_within(picture, PAGE_DOTS))
    if turned is not None:
        plain = plain.transpose(turned)
    page = _written(plain, _PAGE_BYTES)
    return page, _written(_within(plain, SMALL_DOTS), _SMALL_BYTES), notes


def _has_more(picture: Image.Image) -> bool:
    return picture.format != "MPO" and bool(getattr(picture, "is_animated", False))


def _orientation(picture: Image.Image) -> object:
    try:
        return picture.getexif().get(_ORIENTATION)
    except (OSError, SyntaxError, ValueError, TypeError, KeyError):
        return None  # a camera's facts that cannot be read turn nothing


def _within(picture: Image.Image, dots: int) -> Image.Image:
    """Return the picture so that neither side has more than ``dots``."""
    longer = max(picture.size)
    if longer <= dots:
        return picture
    if picture.mode in _DEEP or picture.mode in ("1", "P", "PA"):
        picture = _plain(picture)
    width, height = (max(1, round(side * dots / longer)) for side in picture.size)
    return picture.resize((width, height), Image.Resampling.BICUBIC, reducing_gap=2.0)


def _plain(picture: Image.Image) -> Image.Image:
    """Return dots of red, green and blue; what shows through is white."""
    if picture.mode in _DEEP:
        low, high = picture.convert("F").getextrema()
        scale = 255.0 / ((high - low) or 1.0)  # type: ignore[operator]
        return picture.convert("F").point(lambda v: (v - low) * scale).convert("RGB")
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        seen = picture.convert("RGBA")
        white = Image.new("RGBA", seen.size, "white")
        return Image.alpha_composite(white, seen).convert("RGB")
    return picture.convert("RGB")


def _written(picture: Image.Image, most: int) -> bytes:
    """Return a JPEG of at most so many bytes; coarser, then smaller, until it is."""
    # A copy of the dots alone: whatever hangs on the picture stays behind.
    bare = Image.frombytes("RGB", picture.size, picture.tobytes())
    for quality in (82, 60, 35):
        written = io.BytesIO()
        bare.save(written, "JPEG", quality=quality, optimize=True)
        if len(written.getvalue()) <= most:
            return written.getvalue()
    return _written(_within(bare, max(bare.size) * 2 // 3), most)
