"""Where and when a camera says it was: read once, bounded, believed by nobody."""

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jointmap.pictures.raster import RASTER_FORMATS, opened

_GPS, _CAMERA = 0x8825, 0x8769
_TAKEN = 0x9003
_SIDES = ((1, 2, "N", "S", 90.0), (3, 4, "E", "W", 180.0))
_GPS_TIME, _GPS_DAY = 7, 29
# Days before there were such cameras, and far years, are a clock that was never set.
_FIRST, _LAST = dt.date(1990, 1, 1), dt.date(2200, 1, 1)
_UNREADABLE = (OSError, SyntaxError, ValueError, TypeError, KeyError, ArithmeticError)
_PARTS = 3


@dataclass(frozen=True, slots=True)
class CameraPlace:
    """A position in degrees on WGS 84, the camera's own day, the receiver's instant."""

    latitude_deg: float
    longitude_deg: float
    taken_on: dt.date | None = None
    taken_at: dt.datetime | None = None


def camera_place(path: Path, media_type: str) -> CameraPlace | None:
    """Return the position written in a picture; nothing where none can be read."""
    if media_type not in RASTER_FORMATS:
        return None
    try:
        with opened(path, media_type) as picture:
            facts = picture.getexif()
            gps, camera = facts.get_ifd(_GPS), facts.get_ifd(_CAMERA)
            latitude, longitude = (_degrees(gps, *side) for side in _SIDES)
    except _UNREADABLE:
        return None
    if latitude is None or longitude is None or (latitude, longitude) == (0.0, 0.0):
        return None
    return CameraPlace(latitude, longitude, _day(camera.get(_TAKEN)), _instant(gps))


def _degrees(
    gps: Mapping[int, Any], side: int, parts: int, plus: str, minus: str, most: float
) -> float | None:
    """Return degrees of three rational numbers; nothing for odd ones."""
    numbers = [float(v) for v in gps[parts]]
    sign = {plus: 1.0, minus: -1.0}.get(str(gps[side]).strip("\x00 ").upper())
    if sign is None or len(numbers) != _PARTS or not all(map(math.isfinite, numbers)):
        return None
    value = numbers[0] + numbers[1] / 60 + numbers[2] / 3600
    return sign * round(value, 7) if min(numbers) >= 0 and value <= most else None


def _day(text: object) -> dt.date | None:
    try:
        day = dt.date.fromisoformat(str(text)[:10].replace(":", "-"))
    except ValueError:
        return None
    return day if _FIRST <= day < _LAST else None


def _instant(gps: Mapping[int, Any]) -> dt.datetime | None:
    """Return the receiver's instant, which is in universal time, to the second."""
    try:
        day = _day(gps[_GPS_DAY])
        hour, minute, second = (int(float(v)) for v in gps[_GPS_TIME])
        clock = dt.time(hour, minute, second, tzinfo=dt.UTC)
    except _UNREADABLE:
        return None
    return None if day is None else dt.datetime.combine(day, clock)
