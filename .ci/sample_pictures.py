"""Draws the sample's one photo: an invented flange, with the facts a camera writes.

``python .ci/sample_pictures.py`` writes it anew and tells its row of attachments.csv.
The bytes depend on the version of Pillow, so the row may change with them.
"""

import hashlib
import math
import random
from fractions import Fraction
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter, TiffImagePlugin

PLACE = Path("sample_site/2024-06-14_spring_2024/photos/ij-012-front.jpg")
SIZE, MIDDLE, STUDS = (640, 480), (320, 240), 8


def drawn() -> Image.Image:
    """Return the picture of a flange with eight studs, a little dirty."""
    chance = random.Random(12)  # noqa: S311 - dirt
    picture = Image.new("RGB", SIZE, "#8d8f86")
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, 185, 640, 295), fill="#6f7f8c")
    pen.line((0, 200, 640, 200), fill="#9fb0bd", width=6)
    for radius, colour in ((170, "#54606a"), (160, "#75838f"), (92, "#8997a2")):
        pen.circle(MIDDLE, radius, fill=colour)
    pen.circle(MIDDLE, 60, fill="#39424a")
    for stud in range(STUDS):
        turn = math.radians(360 / STUDS * (stud + 0.5))
        at = MIDDLE[0] + 126 * math.sin(turn), MIDDLE[1] - 126 * math.cos(turn)
        pen.circle(at, 20, fill="#d9d3bf")  # the washer that isolates
        pen.regular_polygon((*at, 14), 6, rotation=stud * 17, fill="#4a4236")
    for _ in range(900):
        x, y = chance.randrange(640), chance.randrange(480)
        pen.point((x, y), fill=chance.choice(("#5a5a52", "#a8a497", "#7a5a40")))
    pen.text((18, 446), "IJ-012  invented for the sample site", fill="white")
    return picture.filter(ImageFilter.GaussianBlur(0.8))


def camera() -> Image.Exif:
    """Return what a camera would write: the day, and a place some metres off."""
    facts = Image.Exif()
    facts[0x0112] = 1
    facts.get_ifd(0x8769)[0x9003] = "2024:05:06 15:12:40"
    place = facts.get_ifd(0x8825)
    place[1], place[3] = "N", "W"
    for tag, parts in ((2, (31, 23, "14.3")), (4, (41, 32, "54.1"))):
        place[tag] = tuple(TiffImagePlugin.IFDRational(Fraction(p)) for p in parts)
    return facts


def main() -> None:
    """Write the picture and tell its row."""
    PLACE.parent.mkdir(exist_ok=True)
    drawn().save(PLACE, "JPEG", quality=72, exif=camera())
    data = PLACE.read_bytes()
    name = f"{PLACE.parent.name}/{PLACE.name}"
    print(f"{name},{hashlib.sha256(data).hexdigest()},image/jpeg,{len(data)}")


if __name__ == "__main__":
    main()
